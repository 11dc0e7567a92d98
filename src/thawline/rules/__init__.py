"""
Handling rules as data: which limits are in force, who says so, and whether the file is right.

A protocol is one versioned TOML file. Every figure has an item code, a unit in its key and a
source; this room reads it into types, audits it, and compares two versions.
"""
