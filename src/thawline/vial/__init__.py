"""
What a vial's story means: its state, its running clocks, and until when it may be used.

The rules are written down in `docs/background/vial-clocks.md`; an independent reference in
`tests/reference/` was built from the same page and is compared with this room.
"""
