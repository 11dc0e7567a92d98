"""A small protocol and its references, all figures made up; real ones are tested elsewhere."""

from thawline.rules.audit import audit
from thawline.rules.published import read_published
from thawline.rules.reading import examined

PROTOCOL = """\
format = 1

[protocol]
id = "made-up"
title = "Made up"
version = 2
effective_from = 2021-06-01T06:00:00-06:00

[product]
doses_per_vial = { item = "D1", value = 8, most = 9, source = "tale" }
dose_volume_ml = { item = "D2", value = 0.4, source = "tale" }
fill_volume_ml = { item = "D3", value = 4, source = "tale" }
dead_space_ml = { item = "D4", value = 0.05, source = "tale" }

[bands.frozen]
item = "S1"
low_c = -30
high_c = -20
low_f = -22
high_f = -4
named_gap_above = "thawing"
source = "tale"

[bands.refrigerator]
item = "S2"
low_c = 3
high_c = 9
low_f = 37
high_f = 48
source = "tale"

[bands.room]
item = "S3"
low_c = 9
high_c = 21
low_f = 48
high_f = 70
source = "tale"

[clocks.chilled]
item = "C1"
starts_on = "leaves-frozen"
allows = "P20D"
source = "tale"

[clocks.room]
item = "C2"
starts_on = "to-table"
stops_on = "to-fridge"
allows = "PT10H"
source = "tale"

[clocks.open]
item = "C4"
starts_on = "open"
allows = "PT5H"
source = "tale"

[caps.room_total]
item = "C9"
counts = ["room", "open"]
allows = "PT12H"
source = "tale"

[thaw.refrigerator]
item = "T1"
takes = "PT3H"
then_room = "PT20M"
source = "tale"

[thaw.room]
item = "T2"
takes = "PT2H"
source = "tale"

[transport.trips]
item = "T4"
most = 2
source = "tale"

[transport.punctured]
item = "T5"
may = false
source = "tale"

[transport.by.sledge]
item = "T6"
allows = "PT4H"
source = "tale"

[schedule.dose_2]
item = "B1"
earliest = "P21D"
grace_for_judging = "P3D"
late_after = "P35D"
repeat_when_too_early = true
repeat_after = "P21D"
source = "tale"

[[needles]]
item = "N1"
most_lb = 110
most_kg = 50
shortest_in = 0.75
longest_in = 1
source = "tale"

[[lesson]]
about = ["clocks.open"]
says.en = "An open vial has {clocks.open.allows}."

[sources.tale]
kind = "invented for the demo"
"""

REFERENCES = """\
[editions.one]
effective_from = 2020-01-01T00:00:00Z

[editions.one.figures]
"product.dose_volume_ml.value" = { value = 0.4, source = "print" }
"product.doses_per_vial.value" = { value = 8, source = "print" }
"product.doses_per_vial.most" = { value = 9, source = "print" }
"bands.frozen.low_c" = { value = -28, source = "print" }
"bands.frozen.high_c" = { value = -20, source = "print" }
"bands.frozen.low_f" = { value = -18, source = "print" }
"bands.frozen.high_f" = { value = -4, source = "print" }
"bands.refrigerator.low_c" = { value = 3, source = "print" }
"bands.refrigerator.high_c" = { value = 9, source = "print" }
"bands.refrigerator.low_f" = { value = 37, source = "print" }
"bands.refrigerator.high_f" = { value = 48, source = "print" }
"bands.room.low_c" = { value = 9, source = "print" }
"bands.room.high_c" = { value = 21, source = "print" }
"clocks.chilled.allows" = { lasts = "P20D", source = "print" }
"clocks.room.allows" = { lasts = "PT10H", source = "print" }
"clocks.open.allows" = { lasts = "PT5H", source = "print" }
"thaw.refrigerator.takes" = { lasts = "PT3H", source = "print" }
"transport.trips.most" = { value = 2, source = "print" }
"transport.punctured.may" = { may = false, source = "print" }
"transport.by.sledge.allows" = { lasts = "PT4H", source = "print" }
"needles.0.most_lb" = { value = 110, source = "print" }
"predrawn.most_vials" = { value = 2, source = "print" }
"predrawn.most_doses" = { value = 16, source = "print" }
"schedule.dose_2.repeat_after" = { lasts = "P21D", source = "print" }
"transport.by.mule.allows" = { lasts = "PT1H", source = "print" }
"schedule.dose_2.earliest" = { lasts = "P21D", source = "print" }
"schedule.dose_2.grace_for_judging" = { lasts = "P3D", source = "print" }
"schedule.dose_2.late_after" = { lasts = "P35D", source = "print" }
"schedule.dose_2.repeat_when_too_early" = { may = true, source = "print" }

[editions.two]
effective_from = 2021-01-01T00:00:00Z
builds_on = "one"

[editions.two.figures]
"bands.frozen.low_c" = { value = -30, source = "print" }
"bands.frozen.low_f" = { value = -22, source = "print" }
"caps.room_total.allows" = { lasts = "PT12H", source = "print" }

[[superseded]]
key = "bands.refrigerator.low"
value_c = 3
value_f = 36
source = "print"

[sources.print]
kind = "invented for the demo"
"""


def published():
    """Return the made-up references, read anew so that each test tries it."""
    return read_published(REFERENCES.encode())


def changed(*swaps, protocol=PROTOCOL):
    """Return the protocol with each (old, new) swapped once; every old text must be there."""
    for old, new in swaps:
        assert old in protocol, old
        protocol = protocol.replace(old, new, 1)
    return protocol.encode()


def without(table, protocol=PROTOCOL):
    """Return the protocol without the table of that header."""
    head, header, rest = protocol.partition(f"{table}\n")
    assert header, table
    return (head + "[" + rest.partition("\n[")[2]).encode()


def slips(*swaps):
    """Return the codes that the audit finds after the swaps, each with its level."""
    return [(slip.code, slip.level.value) for slip in audited(changed(*swaps))]


def audited(raw):
    """Return the slips of a file's bytes against the made-up references."""
    return audit(examined(raw), published())
