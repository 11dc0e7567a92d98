"""Reactions and errors noted after a dose; counted beside the doses; never refused."""

from datetime import date
from fractions import Fraction

import pytest
from tests.app.chairs import FEN, HEATH, MARSH, a_chair, given, needle
from tests.cast import HAZEL, SORREL, at, codes, small
from tests.observe.made_up import CARD

from thawline.adapters.reaction_tables import reaction_named
from thawline.app import observing
from thawline.app import reactions as use
from thawline.app.calculators import Slip
from thawline.base.errors import NotFoundError, RecordError
from thawline.base.instants import exactly
from thawline.ledger.reaction_events import ErrorNoted, ReactionNoted
from thawline.report.reactions import Criterion, classified
from thawline.report.seen import rows_of


@pytest.fixture
def chair():
    day, vial, syringes = a_chair(small(CARD))
    given(day, needle(MARSH, syringes[0]), "10:00")
    given(day, needle(FEN, syringes[1]), "10:05")
    return day, vial


def _note(day, person, what="faint", clock="10:20", began=None, *said):
    found = classified(reaction_named(what), [Criterion(word) for word in said])
    start = None if began is None else exactly(at(began))
    return use.note_reaction(day.site, day.doing(clock, by=SORREL), person, found, start)


def test_a_note_is_about_the_last_dose_before_it_began(chair):
    day, _ = chair
    event = _note(day, MARSH, "fever", "10:20", "10:12").event
    (written,) = use.notes(day.site)

    assert isinstance(event, ReactionNoted)
    assert written.dose.hi_ms == day.entries()[-3].lo_ms  # the first of the two doses given
    assert written.note.began_ms - written.dose.lo_ms == 12 * 60_000


def test_a_note_about_somebody_without_a_dose_is_recorded_and_says_so(chair):
    day, _ = chair
    outcome = _note(day, HEATH)

    assert outcome.event.dose is None
    assert codes(outcome.findings) == ["reaction-without-dose"]


@pytest.mark.parametrize(
    ("began", "says"), [("09:59", "no dose before 09:59"), ("10:21", "later than now")]
)
def test_a_reaction_cannot_begin_before_the_dose_or_after_it_is_noted(chair, began, says):
    day, _ = chair

    with pytest.raises(RecordError, match=says):
        _note(day, MARSH, "fever", "10:20", began)


def test_a_dose_is_counted_once_however_often_it_was_noted(chair):
    day, _ = chair
    _note(day, MARSH, "faint", "10:20")
    _note(day, MARSH, "faint", "10:30")
    observing.stamp(day.site, day.doing("10:11"), "down", person=MARSH)
    observing.stamp(day.site, day.doing("10:12"), "down", person=FEN)
    found = list(use.doses_and_seen([day.site], "faint"))

    assert [(each.doses, each.seen) for each in found] == [(2, 2)]
    assert {each.lot for each in found} == {"ZZ-1041"}
    assert rows_of(found, "dose", Fraction(1, 2))[0].name == "dose 1"


def test_a_reaction_after_a_dose_nobody_knows_stands_in_a_row_of_its_own(chair):
    day, _ = chair
    _note(day, HEATH, "heart")
    found = list(use.doses_and_seen([day.site], "heart"))

    assert [(each.lot, each.doses, each.seen) for each in found] == [
        ("ZZ-1041", 2, 0),
        ("?", 0, 1),
    ]


def test_an_error_is_judged_by_the_version_of_its_day_and_recorded(chair):
    day, _ = chair
    slip = Slip("wrong-site", date(2026, 2, 3))
    outcome, found, version = use.note_error(day.site, day.doing("11:00"), MARSH, slip)
    (written,) = use.notes(day.site)

    assert isinstance(outcome.event, ErrorNoted)
    assert found.repeat is None  # this protocol has no table of errors: ask
    assert "version" in version
    assert written.note.is_error
    assert written.dose is not None


def test_who_was_told_is_recorded_at_the_note(chair):
    day, _ = chair
    code = str(_note(day, MARSH, "anaphylaxis").receipt.id)
    use.note_told(day.site, day.doing("11:00", by=HAZEL), code, "health unit")

    assert [told.to for told in use.note_of(day.site, code[:8]).note.told] == ["health unit"]


def test_a_note_that_is_not_there_or_not_the_only_one_is_said(chair):
    day, _ = chair
    with pytest.raises(NotFoundError, match="no note"):
        use.note_of(day.site, "zzz")
    with pytest.raises(NotFoundError, match="no note"):
        use.note_told(day.site, day.doing("11:00"), "zzz", "health unit")
    _note(day, MARSH)
    _note(day, FEN)
    common = ""
    with pytest.raises(NotFoundError, match="begin so"):
        use.note_of(day.site, common)


def test_the_report_of_an_error_names_the_dose_of_its_day_and_of_no_other(chair):
    day, _ = chair
    yesterday = Slip("wrong-site", date(2026, 2, 2))
    use.note_error(day.site, day.doing("11:00"), MARSH, yesterday)
    (written,) = use.notes(day.site)

    assert written.note.given_on == "2026-02-02"
    assert written.dose is None  # the only dose on record is of the day after
