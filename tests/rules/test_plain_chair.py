"""The chair's tables as sentences: each figure and each text with its item."""

from tests.cast import small
from tests.observe.made_up import CARD

from thawline.rules.plain import sentences

TABLES = """\
[technique.site]
item = "J1"
says.en = "Here"
source = "demo"
[[deviations]]
item = "V1"
what = "every"
says.en = "Say so."
source = "demo"
[[deviations]]
item = "V2"
what = "wrong-site"
repeat = "no"
says.en = "Elsewhere."
source = "demo"
"""


def _said(more):
    return {each.item: each.says for each in sentences(small(more).protocol)}


def test_the_emergency_card_is_said_figure_by_figure():
    said = _said(CARD)
    assert said["E1"] == "A made-up drug, 2 mg in a mL."
    assert said["E3"] == "By weight 0.02 mg/kg, at most 0.7 mg."
    assert said["E4"] == "Again after 4 min to 11 min."
    assert said["E5"] == "At least 2 doses present and unexpired, or a pause."
    assert said["E6"] == "Give it now."


def test_technique_and_errors_are_said_with_whether_to_repeat():
    said = _said(TABLES)
    assert said["J1"] == "Here."
    assert said["V1"] == "After every: Say so."
    assert said["V2"] == "After wrong-site: Elsewhere. Repeat: no."
