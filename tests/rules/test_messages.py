"""What is said about each fault and slip: what is wrong, which value, what to do."""

import pytest
from tests.rules.made_up import PROTOCOL, audited, changed

from thawline.base.errors import RuleError
from thawline.rules.reading import read_protocol
from thawline.rules.text import read_text

ITEM = "give each figure its own short code, a letter and a number, as in C4"
ISO = "write ISO 8601 in whole days, hours and minutes, as in P30D or PT2H30M"
PUBLISHED = "a published source names author, title, year and the day it was read"
OPEN = 'allows = "PT5H"'
FRIDGE = "low_c = 3\nhigh_c = 9\nlow_f = 37\nhigh_f = 48"

FORM = [
    ('item = "C4"\n', "", ["line 53: missing: clocks.open.item; add item to the table"]),
    (f'{OPEN}\nsource = "tale"', OPEN,
     ["line 53: missing: clocks.open.source; add source to the table"]),
    ("low_c = 3\n", "lov_c = 3\nlow_c = 3\n",
     ["line 26: unknown key: bands.refrigerator.lov_c; did you mean low_c?"]),
    ("low_c = 3", 'low_c = "3"',
     ["line 26: bands.refrigerator.low_c cannot be '3'; write a number"]),
    ("low_c = 3", "low_c = nan",
     ["line 26: bands.refrigerator.low_c cannot be NaN; "
      "write a number up to 1,000,000 with at most 6 decimals"]),
    ("value = 8,", "value = 8.5,",
     ["line 10: product.doses_per_vial.value cannot be 8.5; write a whole number"]),
    ("may = false", "may = 0",
     ["line 83: transport.punctured.may cannot be 0; write true or false"]),
    ("-06:00", "",
     ["line 7: protocol.effective_from cannot be 2021-06-01T06:00:00; "
      "write a time with its offset, as in 2026-02-02T06:00:00-06:00"]),
    ('title = "Made up"', "title = 3",
     ["line 5: protocol.title cannot be 3; write a text in quotes"]),
    ('counts = ["room", "open"]', 'counts = "room"',
     ["line 61: caps.room_total.counts cannot be 'room'; write a list"]),
    ("[transport.by.sledge]", '[transport.by."a b"]',
     ["line 86: transport.by has the name 'a b'; use letters, digits, - and _"]),
    (OPEN, "allows = 5",
     ["line 56: clocks.open.allows cannot be 5; "
      "write a duration in ISO 8601, as in PT2H30M or P30D"]),
    (OPEN, 'allows = "5.30 h"',
     ["line 56: clocks.open.allows: not a duration: '5.30 h'; "
      f"5.30 h is 318 min; 5 h 30 min is 330 min; {ISO}"]),
    (OPEN, 'allows = "five"', [f"line 56: clocks.open.allows: not a duration: 'five'; {ISO}"]),
    ('starts_on = "open"', 'starts_on = "opened"',
     ["missing: a clock that starts on open; vials would have no limit once open; "
      'add one with starts_on = "open"',
      "line 55: clocks.open.starts_on cannot be 'opened'; "
      "write one of leaves-frozen, to-table, open"]),
]  # fmt: skip
SENSE = [
    ("format = 1", "format = 2", ["line 1: format 2 is not known here; write format = 1"]),
    ("version = 2", "version = 0",
     ["line 6: protocol.version = 0; versions count from 1; write 1 or more"]),
    (f'{OPEN}\nsource = "tale"', f'{OPEN}\nsource = "hearsay"',
     ["line 57: clocks.open.source names 'hearsay', which [sources] does not have; "
      "add [sources.hearsay] with its kind"]),
    ('kind = "invented for the demo"', 'kind = "rumour"',
     ["line 113: unknown kind of source: 'rumour'; "
      "one of: published, common practice, from memory, invented for the demo"]),
    ('kind = "invented for the demo"', 'kind = "published"\nauthor = "A"\ntitle = "T"',
     [f"line 112: missing: sources.tale.read_on; {PUBLISHED}",
      "line 112: missing: sources.tale.year; "
      "add the year, or a note that the page is undated"]),
    ('["room", "open"]', '["room", "opened"]',
     ["line 61: caps.room_total.counts.1 names 'opened', which [clocks] does not have; "
      "known here: chilled, open, room"]),
    ('stops_on = "to-fridge"\n', "",
     ["line 46: missing: clocks.room.stops_on; table time pauses in the refrigerator; "
      'add stops_on = "to-fridge"']),
    ('starts_on = "open"\n', 'starts_on = "open"\nstops_on = "to-fridge"\n',
     ["line 56: clocks.open.stops_on: a clock that starts on open never pauses; "
      "take the key out"]),
    ('item = "C4"', 'item = "C2"',
     [f"line 47: item C2 is used 2 times, here by clocks.room.item; {ITEM}",
      f"line 54: item C2 is used 2 times, here by clocks.open.item; {ITEM}"]),
    ('item = "C4"', 'item = "c4"',
     [f"line 54: clocks.open.item = 'c4' is not a letter and a number; {ITEM}"]),
    ("{clocks.open.allows}", "{clocks.opened.allows}",
     ["line 110: lesson.0.says.en has the placeholder {clocks.opened.allows}, which names no "
      "figure; name a figure, as in {clocks.open.allows}"]),
    ('about = ["clocks.open"]', 'about = ["clocks.opened"]',
     ["line 109: lesson.0.about.0 names 'clocks.opened', which is no table of the file; "
      "name a table, as in clocks.open"]),
    (OPEN, 'allows = "PT0H"',
     ["line 56: clocks.open.allows allows no time at all; write a length above zero"]),
    ('allows = "PT10H"', 'allows = "P1D"',
     ["line 50: clocks.room.allows counts in days; it adds up or runs by the hour; "
      "write it in hours, as in PT24H"]),
    ('earliest = "P21D"', 'earliest = "PT504H"',
     ["line 93: schedule.dose_2.earliest counts in hours; dates are whole days; "
      "write whole days, as in P28D"]),
    ("value = 0.4,", "value = 0,",
     ["line 11: product.dose_volume_ml.value = 0 is no amount; write a number above zero"]),
    ("value = 0.4,", "value = 0.4005,",
     ["line 11: product.dose_volume_ml.value: volume is not a whole number of microlitres: "
      "0.4005 mL; write it with at most three decimals"]),
    ("\nmost = 2", "\nmost = -1",
     ["line 78: transport.trips.most = -1 is below zero; write 0 or more"]),
    ("value = 8, most = 9", "value = 8, most = 7",
     ["line 10: product.doses_per_vial.value is more than product.doses_per_vial.most; "
      "correct one of the two"]),
    ('repeat_after = "P21D"\n', "",
     ["line 91: missing: schedule.dose_2.repeat_after, the days from a dose that came too "
      "early to its repeat; add repeat_after to the table"]),
]  # fmt: skip
SLIPS = [
    (FRIDGE, FRIDGE.replace("37", "39"), ["line 28: 3 °C is 37.4 °F, not 39 °F (1.6 off)"]),
    (FRIDGE, FRIDGE.replace("37", "3"),
     ["line 28: bands.refrigerator.low is 3 in both units; 3 °C is 37.4 °F"]),
    (FRIDGE, "low_c = 37\nhigh_c = 9\nlow_f = 98.6\nhigh_f = 48",
     ["line 26: 37 is the published number in °F, here in °C",
      "line 26: 37 °C to 9 °C is the wrong way round",
      "line 26: bands.refrigerator.low_c is 37 °C; published two: 3 °C (here stricter)",
      "line 28: 98.6 °F to 48 °F is the wrong way round"]),
    ("low_c = -30\nhigh_c = -20\nlow_f = -22", "low_c = -34.4\nhigh_c = -20\nlow_f = -30",
     ["line 17: bands.frozen.low_c is -34.4 °C; published two: -30 °C",
      "line 19: -30 is the published number in °C, here in °F"]),
    ("high_f = -4", "high_f = 4",
     ["line 20: -20 °C is -4 °F, not 4 °F (8 off)",
      "line 20: 4 °F has the wrong sign; it is -4 °F"]),
    ("value = 0.4,", "value = 0.55,",
     ["line 11: 8 doses of 0.55 mL and 0.05 mL dead space need more than the fill of 4 mL",
      "line 11: product.dose_volume_ml.value is 0.55 mL; published two: 0.4 mL"]),
    ("value = 0.4,", "value = 0.04,",
     ["line 11: the fill of 4 mL holds 44 doses of 0.04 mL and 0.05 mL dead space, not 9",
      "line 11: product.dose_volume_ml.value is 0.04 mL; published two: 0.4 mL"]),
    ("most_kg = 50", "most_kg = 60", ["line 103: 110 lb is 49.9 kg, not 60 kg"]),
    ('"An open vial has {clocks.open.allows}."', '"An open vial has 6 h."',
     ['line 110: lesson.0.says.en says "6 h", which none of the figures it is about is']),
    ('"An open vial has {clocks.open.allows}."', '"An open vial has 5.30 h."',
     ["line 110: lesson.0.says.en: 5.30 h is 318 min; 5 h 30 min is 330 min"]),
    (OPEN, 'allows = "PT6H30M"',
     ["line 56: clocks.open.allows is 6 h 30 min; published two: 5 h"]),
]  # fmt: skip
LOOKS = [
    (FRIDGE, FRIDGE.replace("37", "36"),
     ["line 28: 36 °F for 3 °C is an old rounding; it is 37.4 °F"]),
    ("low_c = 9\nhigh_c = 21", "low_c = 8.9\nhigh_c = 21",
     ["line 34: 8.9 to 9 °C is in bands.refrigerator and in bands.room"]),
    ("low_c = 9\nhigh_c = 21", "low_c = 9.1\nhigh_c = 21",
     ["line 27: 9 to 9.1 °C is in no band and counts as out; "
      "say why with bands.refrigerator.named_gap_above"]),
    (OPEN, 'allows = "PT4H"',
     ["line 56: clocks.open.allows is 4 h; published two: 5 h (here stricter)"]),
    ('fill_volume_ml = { item = "D3", value = 4, source = "tale" }\n', "",
     ["line 11: no fill volume is given, so doses times volume cannot be checked"]),
    ("version = 2", 'version = 2\ncompared_with = "nothing"',
     ["line 7: the file is compared with no published edition"]),
]  # fmt: skip


def _said(old, new):
    return [slip.with_line for slip in audited(changed((old, new)))]


@pytest.mark.parametrize(("old", "new", "says"), FORM)
def test_a_fault_of_form_says_the_value_and_what_to_write(old, new, says):
    assert _said(old, new) == says


@pytest.mark.parametrize(("old", "new", "says"), SENSE)
def test_a_loose_end_says_what_it_hangs_on(old, new, says):
    assert [one for one in _said(old, new) if "(here stricter)" not in one] == says


@pytest.mark.parametrize(("old", "new", "says"), SLIPS)
def test_a_slip_says_both_figures(old, new, says):
    assert sorted(_said(old, new)) == sorted(says)


@pytest.mark.parametrize(("old", "new", "says"), LOOKS)
def test_something_to_look_at_says_why(old, new, says):
    assert [one for one in _said(old, new) if one in says] == says


@pytest.mark.parametrize(
    ("raw", "says", "advice"),
    [
        (b"#" * 300_000, "file of 300,000 bytes; a rule file has at most 262,144",
         "check that this is the protocol file"),
        (b"a = 1\n\xff", "line 2: not UTF-8: byte 0xff", "save the file as UTF-8"),
        (b"\n\na = [[[[[[[[[", "line 3: tables nested deeper than 8",
         "keep to the tables of the protocol format"),
        (b"a = 1e99999999999999999999", "not TOML: a number that nobody can read",
         "correct the line; docs/reference/protocol-format.md shows the format"),
    ],
)  # fmt: skip
def test_a_file_that_is_not_looked_at_says_why(raw, says, advice):
    with pytest.raises(RuleError) as refused:
        read_text(raw)

    assert (refused.value.says, refused.value.advice) == (says, advice)


def test_a_refusal_carries_the_advice_beside_the_sentence():
    with pytest.raises(RuleError) as refused:
        read_protocol(PROTOCOL.replace('item = "C4"\n', "").encode())

    assert refused.value.says == "line 53: missing: clocks.open.item"
    assert refused.value.advice == "add item to the table"
