"""
Whether what arrived arrived in order.

Packing list, temperature, dry ice, damage, soft cartons; and for vials that come thawed,
whether their history came with them.
"""

# The public names are the modules: a question then loads only what it needs.
__all__ = ["inspection"]
