"""
Files and messages: bytes to values and back, without opening anything.

What a file leaves open is asked for by name, never guessed; what was decided is shown.
"""
