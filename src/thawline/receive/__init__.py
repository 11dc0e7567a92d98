"""
Whether what arrived arrived in order.

Packing list, temperature, dry ice, damage, soft cartons; and for vials that come thawed,
whether their history came with them.
"""

from thawline.receive.inspection import (
    Arrival,
    arrival_findings,
    carried_findings,
    label_findings,
)

__all__ = ["Arrival", "arrival_findings", "carried_findings", "label_findings"]
