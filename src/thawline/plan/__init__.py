"""
What will be needed and when: people who come, vials to thaw, doses left over.

Arrays and plain values in, plain values out. Fractions appear only in forecasts, and their
names say so (`expected_...`, `chance_...`).
"""
