"""Errors with a dose by a made-up table: what it does not say is asked, never made up."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace
from tests.cast import small

from thawline.app.calculators import Slip, after_error
from thawline.base.durations import read_allowance
from thawline.base.errors import RecordError
from thawline.base.quantities import Microlitres
from thawline.give.deviations import by_volume, guidance, report_draft
from thawline.rules.chair import What

DAY = date(2026, 2, 3)
TABLE = """\
[[deviations]]
item = "V1"
what = "every"
says.en = "Say so."
source = "demo"
[[deviations]]
item = "V2"
what = "wrong-site"
says.en = "Another place."
source = "demo"
[[deviations]]
item = "V3"
what = "too-early"
repeat = "by-schedule"
says.en = "Too early."
source = "demo"
"""
RULES = small(TABLE).protocol


def _guided(what, rules=RULES):
    return guidance(what, DAY, rules.deviations, rules.schedule.dose_2)


@given(st.integers(1, 2000), st.integers(2, 1000))
def test_each_volume_but_the_dose_itself_is_one_error(volume, dose):
    if volume == dose:
        with pytest.raises(RecordError, match=f"{dose} microlitres is the dose"):
            by_volume(Microlitres(volume), Microlitres(dose))
        return
    found = by_volume(Microlitres(volume), Microlitres(dose))
    assert (found is What.TOO_MUCH) == (volume > dose)
    assert (found is What.LESS_THAN_HALF) == (2 * volume < dose)
    assert (found is What.TOO_LITTLE) == (2 * volume == dose)


def test_an_error_the_table_has_no_row_for_goes_to_the_clinical_lead():
    found = _guided(What.TOO_MUCH)
    assert (found.repeat, found.item) == (None, None)
    assert found.findings[0].code == "ask-clinical-lead"
    assert found.tell == "Say so."


def test_a_row_without_a_word_about_repeating_asks_too():
    found = _guided(What.WRONG_SITE)
    assert found.repeat is None
    assert found.says.startswith("Another place. Whether to repeat is not said")


def test_an_empty_table_still_says_to_tell_and_report():
    found = _guided(What.WRONG_SITE, small().protocol)
    assert found.tell == "Tell the person and the clinical lead, and report it."


def test_a_schedule_that_does_not_repeat_says_so():
    found = _guided(What.TOO_EARLY)
    assert (found.repeat, found.says) == ("no", "Too early. Do not repeat.")


def test_the_draft_leaves_blank_what_nobody_told():
    lines = report_draft(_guided(What.TOO_MUCH), DAY, "small version 1")
    assert lines[0] == "ADMINISTRATION ERROR - DRAFT, not sent to anybody"
    assert "Judged by: small version 1, item ?" in lines
    assert "Repeat: not said, ask" in lines


@pytest.mark.parametrize(
    ("slip", "says"),
    [
        (Slip("every", DAY), "no error 'every'"),
        (Slip("too-early", DAY), "the first dose has no date"),
        (Slip("too-little", DAY, volume=Microlitres(600)), "600 microlitres is more"),
        (Slip("too-little", DAY, volume=Microlitres(500)), "500 microlitres is the dose"),
    ],
)
def test_what_is_no_such_error_is_refused_by_its_value(slip, says):
    with pytest.raises(RecordError, match=says):
        after_error(slip, RULES)


def test_the_draft_of_a_report_in_full_with_blanks_for_what_nobody_typed():
    assert report_draft(_guided(What.TOO_EARLY), DAY, "example-10 version 2") == (
        "ADMINISTRATION ERROR - DRAFT, not sent to anybody",
        "What: too-early",
        "Day of the dose: 2026-02-03",
        "Judged by: example-10 version 2, item V3",
        "Repeat: Too early. Do not repeat.",
        "To do: Say so.",
        "Person's code: ____________  Lot: ____________  Given by: ____________",
        "How it happened: ______________________________________________",
        "Harm seen: ____________  Person told by, when: ____________",
        "Licensed practice and the programme's own rules decide.",
    )


def test_a_row_that_does_not_say_whether_to_repeat_is_told_as_such_with_its_item():
    found = _guided(What.WRONG_SITE)

    assert (found.what, found.repeat, found.item) == (What.WRONG_SITE, None, "V2")
    assert found.says == (
        "Another place. Whether to repeat is not said: ask the clinical lead before anything "
        "is repeated."
    )


def test_an_error_that_the_table_does_not_have_is_asked_about():
    found = _guided(What.WRONG_ROUTE)

    assert (found.item, found.tell) == (None, "Say so.")
    assert found.says == (
        "Whether to repeat is not said: ask the clinical lead before anything is repeated."
    )


@pytest.mark.parametrize(
    ("drops", "what"),
    [(501, What.TOO_MUCH), (251, What.MORE_THAN_HALF), (249, What.LESS_THAN_HALF)],
)
def test_one_microlitre_beside_the_dose_or_its_half_decides(drops, what):
    assert by_volume(Microlitres(drops), Microlitres(500)) is what


def test_the_whole_dose_is_no_error_and_nothing_is_to_be_done():
    with pytest.raises(RecordError) as told:
        by_volume(Microlitres(500), Microlitres(500))

    assert told.value.says == "500 microlitres is the dose"
    assert told.value.advice == "nothing is to be done"


AGAIN = """\
[[deviations]]
item = "V4"
what = "too-much"
repeat = "no"
says.en = "Too much: do not repeat."
source = "demo"
[[deviations]]
item = "V5"
what = "wrong-route"
repeat = "at-once"
says.en = "Another way in: repeat today."
source = "demo"
"""


def test_an_error_that_is_not_to_be_repeated_gets_no_day_whatever_the_schedule_says():
    rules = small(AGAIN).protocol
    repeats = replace(
        rules.schedule.dose_2, repeat_when_too_early=True, repeat_after=read_allowance("P28D")
    )
    found = guidance(What.TOO_MUCH, DAY, rules.deviations, repeats)

    assert (found.repeat, found.not_before) == ("no", None)
    assert found.says == "Too much: do not repeat."


def test_a_row_that_says_whether_to_repeat_is_told_alone():
    found = _guided(What.WRONG_ROUTE, small(AGAIN).protocol)

    assert found.not_before == DAY
    assert found.says == "Another way in: repeat today."
