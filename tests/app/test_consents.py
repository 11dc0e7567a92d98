"""What was said to the dose of the day. All invented."""

from dataclasses import replace

import pytest
from tests.app.chairs import MARSH, a_chair, asked, given, needle, noted, stops
from tests.cast import a_day, at, codes

from thawline.app.acts import act
from thawline.app.consents import consent
from thawline.base.errors import NotFoundError, RecordError, RefusedError
from thawline.base.findings import Level
from thawline.base.instants import exactly, to_ms
from thawline.ledger.entries import Decision, Kind
from thawline.ledger.events import PersonBooked
from thawline.ledger.person_events import ConsentAnswered

EDITION = "2026-01-15"


def _said(day, answer="yes", clock="08:50", person=MARSH, **more):
    said = {"whose": "self", "edition": EDITION, **more}
    event = ConsentAnswered(person=person, answer=answer, **said)
    return consent(day.site, day.doing(clock), event)


def _record_place(day):
    place = PersonBooked(person=MARSH, slot_ms=to_ms(at("09:00")), dose_number=1)
    act(day.site, day.doing(), {"command": "x"}, lambda _view: Decision(place), kind=Kind.FACT)


def test_a_yes_keeps_who_said_it_the_edition_and_the_day_of_the_information():
    day, *_ = a_chair()

    outcome = _said(day, whose="guardian", interpreter=True)

    assert outcome.findings == ()
    assert outcome.event == ConsentAnswered(
        person=MARSH,
        answer="yes",
        whose="guardian",
        edition=EDITION,
        given_on="2026-02-03",
        interpreter=True,
    )


def test_a_yes_without_information_is_kept_and_asks_which_was_given():
    day, *_ = a_chair()

    outcome = _said(day, edition="")

    assert (codes(outcome.findings), outcome.event.given_on) == (["information-not-said"], "")


@pytest.mark.parametrize(
    ("answer", "code"), [("no", "consent-refused"), ("withdrawn", "consent-withdrawn")]
)
def test_a_no_or_a_yes_taken_back_at_the_chair_refuses_the_dose(answer, code):
    day, _, (syringe, *_) = a_chair()

    outcome = _said(day, answer)

    assert codes(outcome.findings) == ["no-consent"]
    assert stops(asked(day, needle(code=syringe), "09:00")) == {code}


def test_a_new_yes_after_a_no_counts():
    day, _, (syringe, *_) = a_chair()
    _said(day, "no")
    _said(day, clock="08:55")

    assert stops(asked(day, needle(code=syringe), "09:00")) == set()


def test_a_yes_typed_in_later_says_that_the_no_of_after_it_counts():
    day, *_ = a_chair()
    _said(day, "withdrawn", "09:00")
    before = replace(day.doing("09:10"), occurred=exactly(at("08:40")))
    yes = ConsentAnswered(person=MARSH, answer="yes", whose="self", edition=EDITION)

    (act_now,) = consent(day.site, before, yes).findings

    assert (act_now.code, act_now.level) == ("later-word", Level.ACT)
    assert act_now.says.startswith(f"{MARSH} said withdrawn at 09:00, and that counts")


def test_a_new_yes_of_after_the_no_says_nothing():
    day, *_ = a_chair()
    _said(day, "no")

    assert _said(day, clock="08:55").findings == ()


def test_a_dose_given_after_a_no_is_a_fact_to_tell_and_report():
    day, _, (syringe, *_) = a_chair()
    _said(day, "no")

    outcome = given(day, needle(code=syringe, arm="left"), "09:00")

    assert "consent-refused" in outcome.event.codes
    assert outcome.findings[0].says.endswith("and report it.")


@pytest.mark.parametrize("clock", ["09:30", "08:50"], ids=["after the dose", "before it"])
def test_a_yes_taken_back_counts_against_a_dose_only_if_it_was_before_the_dose(clock):
    day, _, (syringe, *_) = a_chair()
    _said(day, "withdrawn", clock)

    outcome = given(day, needle(code=syringe, arm="left"), "09:00")

    assert ("consent-withdrawn" in outcome.event.codes) is (clock == "08:50")


@pytest.mark.parametrize(("clock", "is_noted"), [("09:30", True), ("08:50", False)])
def test_a_yes_said_after_the_dose_is_none_before_it(clock, is_noted):
    day = a_day()
    vial = day.opened()
    _record_place(day)
    day.site = replace(day.site, refuses_without=frozenset({"consent"}))
    _said(day, clock=clock)

    outcome = given(day, needle(code=vial, arm="left"), "09:00")

    assert ("consent-not-known" in outcome.event.codes) is is_noted


def test_before_the_needle_a_no_counts_whatever_time_is_typed():
    day, _, (syringe, *_) = a_chair()
    _said(day, "no", "09:30")

    assert stops(asked(day, needle(code=syringe), "09:00")) == {"consent-refused"}
    with pytest.raises(RefusedError):
        noted(day, needle(code=syringe), "09:00")


@pytest.mark.parametrize(
    ("changed", "says"),
    [
        ({"answer": "perhaps"}, "answer cannot be 'perhaps'"),
        ({"whose": "neighbour"}, "whose cannot be 'neighbour'"),
        ({"edition": "2026-02-04"}, "which has not come yet"),
        ({"given_on": "2026-02-04"}, "which has not come yet"),
        ({"given_on": "2026-01-14"}, "before it was printed"),
        ({"edition": "January"}, "not a date"),
    ],
)
def test_what_cannot_be_right_is_named_and_nothing_is_recorded(changed, says):
    day, *_ = a_chair()
    before = len(day.entries())

    with pytest.raises(RecordError, match=says):
        _said(day, **changed)

    assert len(day.entries()) == before


def test_nobody_of_that_code_has_said_anything():
    day, *_ = a_chair()

    with pytest.raises(NotFoundError):
        _said(day, person="DEMO-000404")
