"""One use case a function: gather through ports, decide in a room, act on the ledger."""
