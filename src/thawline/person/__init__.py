"""
What a person's story means: the places booked, the checks before the needle, the doses had.

A person is a code here; names live elsewhere and never enter this room.
"""
