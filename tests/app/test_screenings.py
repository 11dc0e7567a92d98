"""A person is asked, the answers are recorded, a referral cleared; the needle goes by it."""

from dataclasses import replace

import pytest
from tests.app.chairs import (
    FEN,
    MARSH,
    a_chair,
    asked,
    card,
    given,
    needle,
    noted,
    stops,
    unscreened,
)
from tests.cast import BRYONY, HAZEL, PINS, ROWAN, SORREL, at, codes, small

from thawline.adapters import rule_files
from thawline.app import screenings
from thawline.app.acts import act
from thawline.app.doses import question
from thawline.app.ports import Name
from thawline.base.errors import (
    NotFoundError,
    RecordError,
    RefusedError,
    SecondPersonError,
    UnsaidError,
)
from thawline.base.instants import exactly, to_ms
from thawline.ledger.entries import Decision, Kind
from thawline.ledger.events import PersonBooked
from thawline.person.fold import PERSON

QUESTIONS = """\
[[screening]]
item = "Q1"
ask.en = "Ill today?"
yes = "not-today"
not_sure = "not-today"
says.en = "Ill today: not today."
source = "demo"
[[screening]]
item = "Q2"
ask.en = "A rash after an injection?"
yes = "refer"
not_sure = "refer"
says.en = "A rash: the clinical lead decides."
source = "demo"
[[screening]]
item = "Q3"
ask.en = "Under {ask_if.age_below}?"
yes = "not-given"
not_sure = "refer"
ask_if = { age_below = 18 }
derived_from = "birth-date"
says.en = "Too young."
source = "demo"
[[screening]]
item = "Q4"
ask.en = "A swollen arm after the first dose?"
yes = "give-15"
not_sure = "give-15"
ask_if = { dose = 2 }
says.en = "A swollen arm."
advice.en = "Use the other arm."
source = "demo"
[[screening]]
item = "Q5"
ask.en = "First dose less than {wait} ago?"
yes = "not-today"
not_sure = "refer"
wait = "P28D"
ask_if = { dose = 2 }
derived_from = "doses-had"
says.en = "Too soon."
source = "demo"
"""


@pytest.fixture
def day():
    return a_chair(small(QUESTIONS))[0]


def _ask(day, *typed, clock="09:00", person=MARSH, others_no=True, **more):
    doing = day.doing(clock, by=SORREL)
    return screenings.answer(day.site, doing, person, typed, others_no=others_no, **more)


def _clear(day, *, by=BRYONY, pin=PINS[BRYONY], why="risk-weighed", clock="09:30"):
    return screenings.clear(day.site, day.doing(clock, by=by, why=why), MARSH, pin)


def _syringe(day):
    return next(e.event.syringes[0] for e in day.entries() if hasattr(e.event, "syringes"))


def _unscreened(day, **more):
    return unscreened(needle(code=_syringe(day), **more))


def _born(day, born: str) -> None:
    day.site.people.put(MARSH, Name("Ada Marlow", born=born))


def test_a_first_dose_is_not_asked_what_only_a_second_one_is(day):
    interview = screenings.interview(day.site, MARSH, at("09:00"))

    assert [question.item for question in interview.to_ask] == ["Q1", "Q2", "Q3"]
    assert (interview.person.dose, interview.person.age) == (1, None)


def test_what_the_birth_date_and_the_card_say_is_not_asked(day):
    _born(day, "1950-02-13")
    card(day, "2026-01-06")
    interview = screenings.interview(day.site, MARSH, at("09:00"))

    assert [question.item for question in interview.to_ask] == ["Q1", "Q2", "Q4"]
    assert (interview.person.dose, interview.person.age) == (2, 75)


def test_a_card_nobody_can_read_still_makes_it_a_second_dose_and_asks_for_its_day(day):
    interview = screenings.interview(day.site, MARSH, at("09:00"), dose=2)

    assert "Q5" in [question.item for question in interview.to_ask]


def test_answers_are_recorded_as_codes_with_what_they_came_to(day):
    outcome, found = _ask(day, "Q2=not-sure", "Q1=yes")
    event = outcome.event

    assert (event.person, event.outcome, event.dose_number) == (MARSH, "refer", 1)
    assert event.answers == ("Q1=yes", "Q2=not-sure", "Q3=no", "Q4=no", "Q5=no")
    assert event.reasons == ("Q2=refer", "Q1=not-today")
    assert found.outcome == "refer"


def test_a_public_screen_is_told_no_reason(day):
    outcome, _ = _ask(day, "Q2=yes")

    assert [finding.says for finding in outcome.findings] == [
        "Not here today; the clinical lead will explain."
    ]
    assert _ask(day, clock="09:05")[0].findings == ()


def test_a_question_without_an_answer_records_nothing(day):
    before = len(day.entries())
    with pytest.raises(UnsaidError, match="not answered: Q2, Q3"):
        _ask(day, "Q1=no", others_no=False)

    assert len(day.entries()) == before


@pytest.mark.parametrize(
    ("dose", "later"),
    [(None, ["later-word"]), (1, ["later-word"]), (2, [])],
    ids=["the same dose", "that dose", "another dose"],
)
def test_a_milder_one_typed_in_later_says_that_the_stricter_of_after_it_counts(
    day, dose, later
):
    _ask(day, "Q2=yes", clock="09:20")
    before = replace(day.doing("09:30", by=SORREL), occurred=exactly(at("09:10")))

    outcome, _ = screenings.answer(day.site, before, MARSH, [], dose=dose, others_no=True)

    assert codes(outcome.findings) == later


def test_asked_again_after_it_says_nothing(day):
    _ask(day, "Q2=yes", clock="09:00")

    assert _ask(day, clock="09:20")[0].findings == ()


def test_the_same_act_asked_again_gets_the_same_answer(day):
    doing = day.doing("09:00", by=SORREL)
    first, found = screenings.answer(day.site, doing, MARSH, ["Q2=yes"], others_no=True)
    again, nothing = screenings.answer(day.site, doing, MARSH, ["Q2=yes"], others_no=True)

    assert (found is None, nothing) == (False, None)
    assert again.event == first.event


@pytest.mark.parametrize(
    ("person", "error"), [("DEMO-000404", NotFoundError), (MARSH, RecordError)]
)
def test_a_stranger_or_a_dose_there_is_not_is_refused(day, person, error):
    with pytest.raises(error):
        _ask(day, person=person, dose=None if error is NotFoundError else 3)


def test_a_birth_date_to_come_is_refused(day):
    _born(day, "2026-02-04")
    with pytest.raises(RecordError, match="a birth date after 2026-02-03"):
        _ask(day)


def test_a_protocol_that_asks_nothing_cannot_screen():
    silent = a_chair()[0]
    with pytest.raises(RecordError, match="has no screening questions"):
        _ask(silent)


def test_the_needle_goes_by_the_recorded_screening_of_the_day(day):
    assert "not-screened" in stops(asked(day, _unscreened(day), "08:00"))
    _ask(day)

    assert asked(day, _unscreened(day), "09:30").may


def test_a_refused_person_is_refused_at_the_needle_whatever_is_named_there(day):
    _ask(day, "Q2=yes")

    assert "screened-not-to-give" in stops(asked(day, _unscreened(day), "09:30"))
    named = needle(code=_syringe(day), screening="give-15")
    assert "screened-not-to-give" in stops(asked(day, named, "09:30"))


def test_what_has_changed_since_counts_at_the_needle(day):
    _ask(day)
    named = needle(code=_syringe(day), screening="refer")

    assert "screened-not-to-give" in stops(asked(day, named, "09:30"))


def test_answers_expire_with_their_day(day):
    _ask(day)
    tomorrow = question(day.site, _unscreened(day), "", at("09:30", day=4))

    assert "not-screened" in stops(tomorrow)


def test_a_screening_for_the_first_dose_is_none_for_the_second(day):
    _ask(day)
    second = replace(_unscreened(day), dose_number=2)

    assert "not-screened" in stops(asked(day, second, "09:30"))


def test_a_dose_after_a_refusal_is_recorded_with_the_finding(day):
    _ask(day, "Q2=yes")
    outcome = given(day, _unscreened(day), "09:30")

    assert (outcome.event.screening, outcome.event.screened_by) == ("refer", SORREL)
    assert "screened-not-to-give" in codes(outcome.findings)


def test_the_chair_is_told_what_the_screening_asks_of_it(day):
    card(day, "2025-12-06")
    _ask(day, "Q4=yes")
    findings = asked(day, _unscreened(day), "09:30").findings

    assert [(f.item, f.says) for f in findings if f.code == "screening-advice"] == [
        ("Q4", "From the screening: Use the other arm.")
    ]


def test_the_clinical_lead_clears_a_referral_to_the_longer_stay(day):
    _ask(day, "Q2=yes")
    event = _clear(day).event

    assert (event.outcome, event.why) == ("give-30", "risk-weighed")
    assert day.one(PERSON, MARSH).screenings[-1].outcome == "give-30"
    assert asked(day, _unscreened(day), "10:00").may


def test_words_about_a_person_are_not_kept_in_the_record(day):
    _ask(day, "Q2=yes")
    outcome = _clear(day, why="spoke with her allergist")

    assert outcome.event.why == "other"
    assert codes(outcome.findings) == ["words-not-kept"]


@pytest.mark.parametrize(
    ("by", "pin"),
    [(BRYONY, None), (BRYONY, "999999"), (ROWAN, PINS[ROWAN]), (HAZEL, PINS[BRYONY])],
    ids=["no PIN", "another PIN", "not the clinical lead", "somebody else's PIN"],
)
def test_nobody_else_clears_a_referral(day, by, pin):
    _ask(day, "Q2=yes")
    with pytest.raises(SecondPersonError):
        _clear(day, by=by, pin=pin)

    assert day.one(PERSON, MARSH).screenings[-1].outcome == "refer"


def test_a_reason_is_wanted(day):
    _ask(day, "Q2=yes")
    with pytest.raises(UnsaidError, match="no reason"):
        _clear(day, why="  ")


@pytest.mark.parametrize(
    ("typed", "code"),
    [
        (["Q1=yes"], "not-a-referral"),
        ([], "not-a-referral"),
        (["Q1=yes", "Q2=yes"], "more-than-a-referral"),
        (None, "not-screened"),
    ],
    ids=["a wait", "nothing against", "a wait beside it", "not screened"],
)
def test_only_a_referral_by_itself_is_cleared(day, typed, code):
    if typed is not None:
        _ask(day, *typed)
    with pytest.raises(RefusedError) as refused:
        _clear(day)

    assert codes(refused.value.findings) == [code]


def test_a_screening_after_the_clearing_counts_anew(day):
    _ask(day, "Q2=yes")
    _clear(day)
    _ask(day, "Q1=yes", clock="10:00")

    assert "screened-not-to-give" in stops(asked(day, _unscreened(day), "10:30"))


def test_todays_screening_can_be_looked_up_and_somebody_elses_is_not_it(day):
    _ask(day, "Q2=yes")

    found = screenings.today_of(day.site, MARSH, at("12:00"))
    assert screenings.answers_of(found) == {"Q2": "refer"}
    assert screenings.today_of(day.site, FEN, at("12:00")) is None


def test_the_shipped_protocols_can_be_asked_at_a_site():
    field = a_chair(rule_files.load("example-10-v2"))[0]
    outcome, found = _ask(field, "Q16=yes")

    assert (outcome.event.outcome, found.observe_min) == ("give-15", 15)


@pytest.mark.parametrize(("clock", "is_screened"), [("09:00", True), ("09:01", False)])
def test_an_outcome_named_at_a_check_counts_for_a_dose_of_after_it(clock, is_screened):
    day, _, (first, *_) = a_chair()
    noted(day, needle(code=first), clock)

    outcome = given(day, unscreened(needle(code=first, arm="left")), "09:00")

    assert ("not-screened" not in outcome.event.codes) is is_screened


def test_of_two_outcomes_named_the_one_of_the_later_check_counts():
    day, _, (first, *_) = a_chair()
    with pytest.raises(RefusedError):
        noted(day, needle(code=first, screening="refer"), "09:10")
    noted(day, needle(code=first), "09:20", occurred=exactly(at("09:00")))

    assert stops(asked(day, unscreened(needle(code=first)), "09:30")) == {
        "screened-not-to-give"
    }


@pytest.mark.parametrize(
    ("kept", "booked", "spoken"),
    [("es", "", "es"), ("", "es", "es"), ("es", "en", "en"), ("", "", "en")],
    ids=["kept with the name", "booked", "booked since in another", "nobody said"],
)
def test_the_language_kept_with_the_name_counts_where_no_booking_says_one(
    day, kept, booked, spoken
):
    day.site.people.put(MARSH, Name("Bryony Testwick", language=kept))
    place = PersonBooked(
        person=MARSH, slot_ms=to_ms(at("10:00", 9)), dose_number=2, language=booked
    )
    act(day.site, day.doing(), {"command": "x"}, lambda _view: Decision(place), kind=Kind.FACT)

    assert screenings.interview(day.site, MARSH, at("09:00")).language == spoken
