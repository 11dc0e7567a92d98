"""What is said about watching temperatures, each figure from the file; all made up."""

import pytest
from tests.rules.made_up import PROTOCOL

from thawline.rules.plain import sentences
from thawline.rules.reading import read_protocol

WATCHED = """
[alarms.warm]
item = "A1"
band = "refrigerator"
delay = "PT7M"
dead_band_c = 0.25
clears_after = "PT3M"
calls_next_after = "PT12M"
source = "tale"

[alarms.cold]
item = "A2"
band = "refrigerator"
delay = "PT9M"
dead_band_c = 1
source = "tale"

[device_alarms.box_hot]
item = "A3"
device = "paper thermometer"
at_c = 44
side = "above"
lasts = "PT2H"
reach = "single"
source = "tale"

[device_alarms.box_warm]
item = "A4"
device = "paper thermometer"
at_c = 11
side = "above"
lasts = "PT21H"
reach = "cumulative"
at_c_counts = false
lasts_counts = false
source = "tale"

[logging]
item = "L1"
interval_most = "PT6M"
accuracy_c = 0.4
source = "tale"

[kinetic]
item = "L2"
activation_energy_kj_per_mol = 80.5
source = "tale"

[rounds.table]
item = "L3"
every = "PT50M"
source = "tale"

[rounds.display]
item = "L4"
times_a_day = 3
source = "tale"
"""


def _told(tables=WATCHED):
    return sentences(read_protocol((PROTOCOL + tables).encode()).protocol)


@pytest.mark.parametrize(
    ("item", "says"),
    [
        (
            "A1",
            "Alarm warm: 7 min outside refrigerator; quiet again 0.25 °C inside for 3 min; "
            "nobody answers: the next is due after 12 min.",
        ),
        ("A2", "Alarm cold: 9 min outside refrigerator; quiet again 1 °C inside."),
        (
            "A3",
            "Box hot: a paper thermometer sounds after 2 h in one go at or above 44 °C. "
            "An excursion is one before.",
        ),
        (
            "A4",
            "Box warm: a paper thermometer sounds after more than 21 h in all above 11 °C. "
            "An excursion is one before.",
        ),
        (
            "L1",
            "A logger reads at least every 6 min and may be off by 0.4 °C; "
            "that never excuses a reading.",
        ),
        ("L2", "Mean kinetic temperature with 80.5 kJ/mol describes, and clears nothing."),
        ("L3", "The temperature at each table is read every 50 min."),
        ("L4", "Each unit's display is read 3 times a day: now, lowest, highest; then reset."),
    ],
)
def test_each_look_at_a_temperature_is_said_with_its_source(item, says):
    (said,) = [each for each in _told() if each.item == item]

    assert (said.says, said.source) == (says, "tale")


def test_a_display_read_once_a_day_is_read_once():
    once = WATCHED.replace("times_a_day = 3", "times_a_day = 1")

    assert [each.says for each in _told(once) if each.item == "L4"] == [
        "Each unit's display is read once a day: now, lowest, highest; then reset."
    ]
