"""A needle-stick: the dose is wasted, and what happened to whom stays out of the ledger."""

from dataclasses import replace

import pytest
from tests.app.chairs import MARSH, a_chair, given, left_in, needle
from tests.cast import BRYONY, HAZEL, PINS, SORREL

from thawline.app import needle_sticks
from thawline.base.errors import RecordError, SecondPersonError, UnsaidError


def _stuck(day, syringe, clock="10:00", used="yes", source=MARSH, **more):
    doing = day.doing(clock, by=HAZEL, why="it slipped", **more)
    return needle_sticks.stuck(day.site, doing, syringe, used, source)


@pytest.fixture
def chair():
    return a_chair()


def test_the_dose_is_wasted_and_a_private_card_is_kept(chair):
    day, _, (one, *_) = chair
    outcome = _stuck(day, one)

    assert (outcome.event.cause, left_in(day, f"syringe:{one}")) == ("needle-stick", 0)
    (card,) = needle_sticks.cards(day.site, BRYONY, PINS[BRYONY])
    assert card == {
        "who": HAZEL,
        "not before": "2026-02-03T10:00:00-06:00",
        "not after": "2026-02-03T10:00:00-06:00",
        "syringe": one,
        "needle used": "yes",
        "source person": MARSH,
        "words": "it slipped",
    }


def test_the_ledger_holds_no_word_of_it(chair):
    day, _, (one, *_) = chair
    before = len(day.entries())
    _stuck(day, one)
    written = " ".join(repr(entry) for entry in day.entries()[before:])

    assert "it slipped" not in written
    assert MARSH not in written


def test_a_needle_that_was_in_a_person_leaves_a_card_and_no_waste(chair):
    day, _, (one, *_) = chair
    given(day, needle(MARSH, one), "09:59")

    assert _stuck(day, one) is None
    assert len(needle_sticks.cards(day.site, BRYONY, PINS[BRYONY])) == 1


def test_a_source_nobody_knows_is_said_so(chair):
    day, *_ = chair
    _stuck(day, "XX00X-01", source=" ", used="not-known")

    (card,) = needle_sticks.cards(day.site, BRYONY, PINS[BRYONY])
    assert (card["source person"], card["needle used"]) == ("not known", "not-known")


def test_the_same_id_again_keeps_one_card_and_wastes_one_dose(chair):
    day, _, (one, *_) = chair
    first = _stuck(day, one)
    again = _stuck(day, one, id=first.receipt.id)

    assert again.receipt.again
    assert len(day.site.people.exposures()) == 1


def test_a_dry_run_keeps_nothing(chair):
    day, _, (one, *_) = chair
    doing = replace(day.doing("10:00", by=HAZEL), dry_run=True)
    needle_sticks.stuck(day.site, doing, one, "no", "")

    assert not day.site.people.exposures()


def test_only_the_clinical_lead_reads_the_cards(chair):
    day, *_ = chair
    with pytest.raises(SecondPersonError, match="exposure cards are read by"):
        needle_sticks.cards(day.site, BRYONY, None)
    with pytest.raises(SecondPersonError, match="not known here as the clinical lead"):
        needle_sticks.cards(day.site, SORREL, PINS[SORREL])


def test_what_cannot_be_is_refused_before_anything_is_kept(chair):
    day, _, (one, *_) = chair
    with pytest.raises(RecordError, match="needle used cannot be 'perhaps'"):
        _stuck(day, one, used="perhaps")
    with pytest.raises(UnsaidError, match="nobody is named"):
        needle_sticks.stuck(day.site, day.doing("10:00", by=" "), one, "no", "")
    assert not day.site.people.exposures()
