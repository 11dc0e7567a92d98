"""
Any reading outside is an excursion, and time out of range adds up.

CDC, Vaccine Storage and Handling Toolkit, resource "Handling a Temperature Excursion in Your
Vaccine Storage Unit" (p. 34 of the resources), as quoted; Immunize.org, "Vaccine viability and
expiration", 2023-07-26: generally the total time out of range counts; product information of
another frozen vaccine of 2021-07, section 6.3, as quoted: 4 h at 8 to 30 °C, a planned 2 h
included. As the project's cold-chain check values give them, 2026-11-25; rows E7 and E8.
"""

from datetime import timedelta

import numpy as np
from tests.store.records import FRIDGE, every

from thawline.store.exposure import Question, Verdict, exposure, together
from thawline.store.readings import readings
from thawline.store.tidy import tidied

MINUTE = 60_000


def test_e7_one_reading_of_8_1_is_an_excursion():
    found = exposure(tidied(every(5, "5.0 8.1 5.0")), Question(FRIDGE))

    assert found.verdict is Verdict.EXCURSION
    assert [one.readings for one in found.excursions] == [1]


def out_for(minutes):
    """Return what a record says that is out from its first to its last reading."""
    times = np.arange(0, minutes + 1, 30) * MINUTE
    return exposure(tidied(readings(times, np.full(len(times), 20_000))), Question(FRIDGE))


def test_e8_two_planned_hours_and_one_and_a_half_leave_half_an_hour_of_four():
    used = together([out_for(120), out_for(90)]).above.conservative_ms

    assert timedelta(hours=4) - timedelta(milliseconds=used) == timedelta(minutes=30)


def test_e8_another_hour_is_more_than_is_left():
    used = together([out_for(120), out_for(90), out_for(60)]).above.conservative_ms

    assert timedelta(milliseconds=used) > timedelta(hours=4)
