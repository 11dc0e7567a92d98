"""A protocol said in sentences, each figure from the file; all made up."""

import pytest
from tests.rules.made_up import PROTOCOL, changed, without

from thawline.rules.audit import figure_keys
from thawline.rules.plain import sentences
from thawline.rules.reading import examined, read_protocol

MORE = """
[transport.total]
item = "T3"
allows = "PT6H"
source = "tale"

[transport.by.mule]
item = "T7"
source = "tale"

[handling.return_from_table]
item = "H1"
may = true
source = "tale"

[handling.dry_ice]
item = "H2"
may = false
source = "tale"

[punctures]
item = "D5"
most = 12
source = "tale"

[predrawn]
item = "D6"
most_vials = 2
most_doses = 16
source = "tale"

[overrides.many-syringes]
item = "H3"
second_person = true
source = "tale"

[overrides.wrong-table]
item = "H4"
second_person = false
source = "tale"

[observation.usual]
item = "O1"
stays = "PT10M"
source = "tale"

[alarms.warm]
item = "A1"
band = "refrigerator"
delay = "PT7M"
dead_band_c = 0.25
source = "tale"

[reporting.warm]
item = "R1"
band = "refrigerator"
side = "above"
lasts = "PT40M"
within = "PT30H"
source = "tale"

[reporting.cold]
item = "R2"
band = "refrigerator"
side = "below"
lasts = "PT50M"
source = "tale"

[stations.desk]
item = "W1"
title.en = "Front desk"
roles = ["registrar"]
least_s = 45
most_s = 45
source = "tale"

[stations.chair]
item = "W2"
title.en = "Chair"
roles = ["vaccinator"]
least_s = 200
most_s = 240
source = "tale"

[[needles]]
item = "N2"
below_lb = 100
below_kg = 45
sex = "F"
shortest_in = 1
longest_in = 1
condition = "only with the skin stretched"
source = "tale"

[[needles]]
item = "N3"
sex = "M"
shortest_in = 1.25
longest_in = 1.5
source = "tale"

[[screening]]
item = "Q1"
ask.en = "Did you have the first dose here?"
yes = "give-15"
not_sure = "refer"
says.en = "Then come in."
source = "tale"

[[screening]]
item = "Q2"
ask.en = "Ill in the last {wait}?"
yes = "not-today"
not_sure = "refer"
wait = "P3D"
says.en = "Then wait."
source = "tale"
"""


def _said(raw):
    return {each.item: each.says for each in sentences(read_protocol(raw).protocol)}


def _all_said():
    return _said((PROTOCOL + MORE).encode())


@pytest.mark.parametrize(
    ("item", "says"),
    [
        ("D1", "A vial holds 8 doses; never more than 9 are drawn."),
        ("D2", "A dose is 0.4 mL."),
        ("D3", "A vial is filled with 4 mL."),
        ("D4", "0.05 mL stays in needle and syringe with each dose."),
        ("S1", "Frozen: minus 30 to minus 20 °C (minus 22 to minus 4 °F)."),
        ("C1", "Chilled: 20 days from leaving the freezer; nothing stops it."),
        (
            "C2",
            "Room: 10 h on the table, all stays together; the refrigerator stops it, "
            "nothing resets it; it runs on after opening.",
        ),
        ("C4", "Open: 5 h from opening; nothing stops it."),
        ("C9", "Room total: room and open together at most 12 h."),
        ("T1", "Thawing in the refrigerator takes 3 h, then 20 min on the table."),
        ("T2", "Thawing on the table takes 2 h."),
        ("T3", "Thawed vials are carried 6 h in all at most."),
        ("T4", "Thawed vials are carried at most 2 times."),
        ("T5", "Open vials are not carried."),
        ("T6", "By sledge: at most 4 h."),
        ("T7", "By mule: not allowed."),
        ("H1", "An unopened vial may go back to the refrigerator."),
        ("H2", "Vials must not go on dry ice."),
        ("D5", "At most 12 punctures of a vial."),
        ("D6", "Drawn ahead: 2 vials or 16 doses, the greater."),
        (
            "H3",
            "The refusal many-syringes may be set aside with a reason and a second person.",
        ),
        ("H4", "The refusal wrong-table may be set aside with a reason."),
        (
            "B1",
            "Second dose 21 days after the first or later; 3 days earlier counts when it has "
            "happened and is never booked. Late after 35 days. Earlier than that is an error "
            "and is repeated 21 days after it.",
        ),
        ("O1", "Stay after a dose, usual: 10 min."),
        ("N1", "Anybody up to 110 lb (50 kg): needle of 0.75 to 1 inch."),
        ("N2", "Women under 100 lb (45 kg): needle of 1 inch. Only with the skin stretched."),
        ("N3", "Men, heavier: needle of 1.25 to 1.5 inch."),
        ("A1", "Alarm warm: 7 min outside refrigerator; quiet again 0.25 °C inside."),
        ("R1", "Report warm: 40 min above refrigerator within 30 h."),
        ("R2", "Report cold: 50 min below refrigerator in one go."),
        ("W1", "Front desk: 45 s for one person."),
        ("W2", "Chair: 200 to 240 s for one person."),
        ("Q1", "Did you have the first dose here? Yes: give-15. Not sure: refer."),
        ("Q2", "Ill in the last 3 days? Yes: not-today 3 days from that day. Not sure: refer."),
    ],
)
def test_each_rule_is_said(item, says):
    assert _all_said()[item] == says


def test_each_rule_is_said_with_its_source():
    told = sentences(read_protocol((PROTOCOL + MORE).encode()).protocol)

    assert {each.item for each in told if each.source != "tale"} == set()


def test_every_item_of_a_file_is_said_once():
    leaves = examined((PROTOCOL + MORE).encode()).leaves
    items = [leaf for key, leaf in leaves.items() if key.endswith(".item")]

    assert sorted(_all_said()) == sorted(items)
    assert len(figure_keys(leaves)) > len(items)


@pytest.mark.parametrize(
    ("old", "new", "item", "says"),
    [
        (
            "repeat_when_too_early = true\n",
            "",
            "B1",
            "Second dose 21 days after the first or later; 3 days earlier counts when it has "
            "happened and is never booked. Late after 35 days. Earlier than that is an error "
            "and is not repeated.",
        ),
        ("most_kg = 50\n", "", "N1", "Anybody up to 110 lb: needle of 0.75 to 1 inch."),
        ("most_lb = 110\n", "", "N1", "Anybody up to 50 kg: needle of 0.75 to 1 inch."),
        (
            "[caps.room_total]",
            "[caps.room-total]",
            "C9",
            "Room total: room and open together at most 12 h.",
        ),
        ("value = 8, most = 9", "value = 8", "D1", "A vial holds 8 doses."),
        ("\nmost = 2", "\nmost = 1", "T4", "Thawed vials are carried at most once."),
        ("may = false", "may = true", "T5", "Open vials may be carried."),
        (
            'allows = "PT10H"',
            'after_open = "stops"\nallows = "PT10H"',
            "C2",
            "Room: 10 h on the table, all stays together; the refrigerator stops it, "
            "nothing resets it; it counts until the vial is opened.",
        ),
        (
            'repeat_when_too_early = true\nrepeat_after = "P21D"\n',
            "",
            "B1",
            "Second dose 21 days after the first or later; 3 days earlier counts when it has "
            "happened and is never booked. Late after 35 days. Earlier than that is an error "
            "and is not repeated.",
        ),
    ],
)
def test_what_a_file_says_otherwise_is_said_otherwise(old, new, item, says):
    assert _said(changed((old, new)))[item] == says


def test_one_vial_drawn_ahead_is_one_vial():
    one = MORE.replace("most_vials = 2", "most_vials = 1")

    assert _said((PROTOCOL + one).encode())["D6"] == (
        "Drawn ahead: 1 vial or 16 doses, the greater."
    )


def test_what_is_absent_is_not_said():
    gone = ('dead_space_ml = { item = "D4", value = 0.05, source = "tale" }\n', "")

    assert "D4" not in _said(changed(gone))


def test_carrying_that_is_not_spoken_of_is_not_said():
    raw = without("[transport.trips]").decode()

    assert {"T4", "T5"} & _said(without("[transport.punctured]", raw)).keys() == set()
