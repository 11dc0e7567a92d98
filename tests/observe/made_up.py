"""An emergency card, stays and a kit with made-up figures; the printed ones are elsewhere."""

CARD = """\
[anaphylaxis.drug]
item = "E1"
says.en = "A made-up drug"
mg_per_ml = 2
source = "demo"
[anaphylaxis.adult]
item = "E2"
mg = 0.4
source = "demo"
[anaphylaxis.by_weight]
item = "E3"
mg_per_kg = 0.02
most_mg = 0.7
source = "demo"
[anaphylaxis.again]
item = "E4"
not_before = "PT4M"
not_after = "PT11M"
source = "demo"
[anaphylaxis.kit]
item = "E5"
least_doses = 2
source = "demo"
[anaphylaxis.steps.give]
item = "E6"
says.en = "Give it now."
source = "demo"
[observation.usual]
item = "O11"
stays = "PT10M"
source = "demo"
[observation.longer]
item = "O12"
stays = "PT25M"
source = "demo"
"""
