"""
What does it look like? Values to pictures: lines of text for a terminal, later the same as SVG.

Pure: a picture is a function of what it shows. Texture means state, and nothing is drawn in
colour; whoever prints adds the level of an alert.
"""
