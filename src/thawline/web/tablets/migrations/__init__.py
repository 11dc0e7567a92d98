"""The tables of `ops.db`, step by step."""
