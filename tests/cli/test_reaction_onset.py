"""
When a reaction began, as it is typed and as the draft tells it.

A date names a day and no hour: it is an interval, and no minute is made of it (settled
practice: what is not known is said, never guessed).
"""

import pytest
from tests.cli.test_reaction_notes import BY, WHO, clinic

__all__ = ["clinic"]


def _draft(clinic, *began):
    code, answer = clinic.ask("reaction", "note", WHO, "fever", *began, *BY)
    assert code == 0
    return clinic.ask("reaction", "report", answer["data"]["note"])[1]["data"]["draft"]


def test_a_day_is_told_as_a_range_up_to_when_it_was_noted(clinic):
    draft = _draft(clinic, "--began", "2026-02-03")  # the dose at 10:00, noted at 12:00

    assert draft["after the dose"] == "at least 0 min, at most 120 min"
    assert draft["began"].startswith("between 2026-02-03T00:00")
    assert draft["lot"] == "ZZ-1041"


def test_a_time_is_told_to_the_minute(clinic):
    assert _draft(clinic, "--began", "10:12")["after the dose"] == "12 min"


def test_nothing_is_made_of_an_unknown_beginning(clinic):
    draft = _draft(clinic)

    assert draft["began"] == draft["after the dose"] == "? (not known)"


@pytest.mark.parametrize("day", ["2026-02-04", "2027-02-03"])
def test_a_day_to_come_is_refused(clinic, day):
    code, answer = clinic.ask("reaction", "note", WHO, "fever", "--began", day, *BY)

    assert (code, answer["data"]) == (3, None)
    assert "later than now" in answer["error"]["says"]


def test_a_day_before_every_dose_is_refused(clinic):
    code, answer = clinic.ask("reaction", "note", WHO, "fever", "--began", "2026-02-01", *BY)

    assert code == 3
    assert "no dose before" in answer["error"]["says"]
