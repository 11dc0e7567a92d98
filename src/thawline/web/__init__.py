"""
The site's pages: each station's screen, served on the site's own network.

A page asks the same use cases as the command line and shows what they answer; every press goes
through one registry of acts (`acts.py`), one table of rights (`rights.toml`) and the ledger's
one writer. Django keeps log-ins and sessions in `ops.db`, which may be lost.
"""
