"""
How is this logger file written, and what does it say? Bytes to values.

What cannot be told from the file is asked for, never guessed.
"""
