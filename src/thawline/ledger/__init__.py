"""
What happened, written once: events, the doses each one moves, and how they fold into a state.

Nothing here reads a clock, a file or a database. `adapters/db` keeps the events on disk.
"""
