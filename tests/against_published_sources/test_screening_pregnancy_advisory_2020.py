"""
American College of Obstetricians and Gynecologists, practice advisory of 21 December 2020:
not withheld from pregnant or lactating people who choose it; least age 18 for the 28-day
product. Read on 2026-11-25. Field practice of 2021 referred both (no document is claimed).

Born on 29 February 2003 and 18 on 1 March 2021: CDSi logic specification, CALCDT-5, dates that
do not exist roll forward (decision 0031).
"""

from datetime import date

import pytest
from tests.against_published_sources.screened import came_to, screened

from thawline.rebook.dates import age_on
from thawline.screen.asking import Person


@pytest.mark.parametrize("answer", ["Q8=yes", "Q9=yes"])
def test_pregnant_and_nursing_people_are_referred_in_the_field_and_given_nationally(answer):
    february = date(2021, 2, 1)

    assert came_to("field-2021", february, answer) == ("refer", None)
    assert came_to("national-2021", february, answer) == ("give", 15)
    assert came_to("later-2022", february, answer) == ("give", 15)


@pytest.mark.parametrize(
    ("born", "on", "outcome"),
    [
        (date(2003, 2, 10), date(2021, 2, 9), "not-given"),
        (date(2003, 2, 10), date(2021, 2, 10), "give"),
        (date(2003, 3, 1), date(2021, 2, 28), "not-given"),
        (date(2004, 2, 29), date(2022, 2, 28), "not-given"),
        (date(2004, 2, 29), date(2022, 3, 1), "give"),
    ],
    ids=["17", "18 today", "tomorrow 18", "leap day, not yet", "leap day, 18 on 1 March"],
)
def test_nobody_under_18_is_given_it_and_the_birthday_itself_is_old_enough(born, on, outcome):
    person = Person(age=age_on(born, on))

    assert screened("national", on, person=person).outcome.bare == outcome
