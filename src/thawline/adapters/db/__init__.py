"""
The site's two SQLite files: the ledger, which is only added to, and the names, which can go.

Nothing else in the process opens these files: closing any other handle on them would drop
SQLite's locks.
"""
