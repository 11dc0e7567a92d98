"""
The inks of every picture: daylight on white paper, told apart in grey and by every eye.

Colour means one thing only, that somebody must answer; the same is always said by shape and in
words too. A test holds the inks apart in three simulated kinds of colour vision.
"""

PAPER = "#FFFFFF"
INK = "#12161A"
MUTED = "#4B535B"
RULE = "#7A828A"
FAINT = "#E4E1DB"
BANDS = (FAINT, "#A5A7A8", "#70757A")
"""The greys of nested bands, from the widest to the narrowest."""
STOP = "#B00E2E"
HAND = "#3B1FA0"
FONT = "Atkinson Hyperlegible Next, Helvetica, Arial, sans-serif"
"""Names alone: a picture brings no font and fetches none."""
