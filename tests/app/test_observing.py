"""The observation area and the kit: by the clock, by a press, and paused when it is short."""

from dataclasses import replace
from datetime import timedelta
from uuid import UUID

import pytest
from tests.app.chairs import FEN, MARSH, a_chair, asked, at_time, given, needle, noted, stops
from tests.cast import BRYONY, HAZEL, PINS, SORREL, at, codes, small
from tests.observe.made_up import CARD

from thawline.app import observing
from thawline.app.doses import give
from thawline.base.errors import (
    NotFoundError,
    RecordError,
    RefusedError,
    RuleError,
    SecondPersonError,
    UnsaidError,
)
from thawline.base.instants import Instant
from thawline.give.overrides import SetAside, standing_stops
from thawline.observe.stay_fold import STAY
from thawline.rules.protocol import Override


@pytest.fixture
def chair():
    return a_chair(small(CARD))


def _may_leave(day, clock="10:30"):
    return {each.person: each.may_leave for each in observing.waiting(day.site, at(clock))}


def _kit(day, clock, *doses, able=(HAZEL,)):
    return observing.look_at_kit(day.site, day.doing(clock, by=SORREL), doses, able)


def _resume(day, clock, *, by=BRYONY, pin=PINS[BRYONY], why="kit-complete"):
    return observing.resume(day.site, day.doing(clock, by=by, why=why), pin)


def test_a_person_stays_by_their_screening_and_the_longer_time_when_it_is_not_known(chair):
    day, _, (one, two, _) = chair
    given(day, needle(MARSH, one), "10:00")
    given(day, needle(FEN, two, screening="give"), "10:00")

    assert _may_leave(day) == {MARSH: at("10:10"), FEN: at("10:25")}


def test_an_uncertain_time_of_the_needle_counts_as_its_later_end(chair):
    day, _, (one, *_) = chair
    give(day.site, at_time(day, "09:50", "10:00"), needle(MARSH, one))

    assert _may_leave(day) == {MARSH: at("10:10")}


def test_who_left_early_is_recorded_and_on_the_list_of_calls(chair):
    day, _, (one, *_) = chair
    given(day, needle(MARSH, one), "10:00")
    outcome = observing.went(day.site, day.doing("10:09"), MARSH)

    assert codes(outcome.findings) == ["left-early"]
    assert observing.left_early(day.site, at("10:30")) == [(MARSH, at("10:09"))]
    assert not observing.waiting(day.site, at("10:30"))


def test_who_left_in_time_is_no_call(chair):
    day, _, (one, *_) = chair
    given(day, needle(MARSH, one), "10:00")
    outcome = observing.went(day.site, day.doing("10:10"), MARSH)

    assert not outcome.findings
    assert not observing.left_early(day.site, at("10:30"))


@pytest.mark.parametrize(("since", "early"), [("10:09", True), ("10:10", False)])
def test_who_left_at_an_unsure_time_that_may_have_been_early_is_called(chair, since, early):
    day, _, (one, *_) = chair
    given(day, needle(MARSH, one), "10:00")

    outcome = observing.went(day.site, at_time(day, since, "10:20"), MARSH)

    assert outcome.event.early is early


def test_nobody_leaves_who_is_not_there(chair):
    day, *_ = chair
    with pytest.raises(NotFoundError, match=f"{MARSH} is not in the observation area"):
        observing.went(day.site, day.doing("10:09"), MARSH)


def test_without_stays_in_the_protocol_the_clinical_lead_decides():
    day, _, (one, *_) = a_chair()
    given(day, needle(MARSH, one), "10:00")
    outcome = observing.went(day.site, day.doing("11:00"), MARSH)

    assert codes(outcome.findings) == ["stay-not-known", "left-early"]


def test_a_person_who_is_down_may_not_leave_before_they_are_up(chair):
    day, _, (one, *_) = chair
    given(day, needle(MARSH, one), "10:00")
    observing.stamp(day.site, day.doing("10:02"), "down", person=MARSH)
    (down,) = observing.waiting(day.site, at("10:30"))
    observing.stamp(day.site, day.doing("10:05"), "up", person=MARSH)
    (up,) = observing.waiting(day.site, at("10:30"))

    assert codes(down.findings) == ["down"]
    assert not down.may(at("10:30"))
    assert up.may(at("10:30"))
    (faint,) = day.one(STAY, MARSH).faints
    assert faint.up_ms - faint.down_ms == 3 * 60_000


def test_a_press_needs_no_name_and_shows_the_window_of_the_next_dose(chair):
    day, *_ = chair
    outcome, window = observing.stamp(day.site, day.doing("10:00", by=""), "given")

    assert (window.opens, window.closes, window.item) == (at("10:04"), at("10:11"), "E4")
    assert outcome.event.person is None
    assert day.entries()[-1].by == "not named"


def test_each_press_counts_from_itself(chair):
    day, *_ = chair
    observing.stamp(day.site, day.doing("10:00"), "given")
    _, window = observing.stamp(day.site, day.doing("10:06"), "given")

    assert (window.opens, window.closes) == (at("10:10"), at("10:17"))


def test_a_press_is_kept_also_without_a_card_in_the_protocol():
    day, *_ = a_chair()
    outcome, window = observing.stamp(day.site, day.doing("10:00"), "given")

    assert outcome.receipt is not None
    assert window is None


def test_a_press_that_is_sent_once_more_shows_the_same_window(chair):
    day, *_ = chair
    act = UUID("01936b1e-0000-7000-8000-000000000001")

    (_, first), (outcome, again) = (
        observing.stamp(day.site, day.doing("10:00", id=act), "given") for _ in range(2)
    )

    assert outcome.receipt.again
    assert again == first


def test_an_unknown_stamp_says_which_there_are(chair):
    day, *_ = chair
    with pytest.raises(RecordError, match="no stamp 'pressed'"):
        observing.stamp(day.site, day.doing("10:00"), "pressed")


def test_the_person_of_a_card_is_named_later(chair):
    day, *_ = chair
    observing.stamp(day.site, day.doing("10:00"), "given", "2")
    outcome = observing.name_card(day.site, day.doing("11:00"), "2", MARSH)

    assert (outcome.event.card, outcome.event.person) == ("2", MARSH)
    with pytest.raises(NotFoundError, match="no person 'DEMO-000404' here"):
        observing.name_card(day.site, day.doing("11:00"), "2", "DEMO-000404")


def test_whose_faint_it_was_may_be_said_later_and_keeps_them_here_until_they_are_up(
    chair,
):
    day, _, (one, two, _) = chair
    given(day, needle(MARSH, one), "10:00")
    given(day, needle(FEN, two), "10:00")
    observing.stamp(day.site, day.doing("10:02"), "down", "2")
    observing.name_card(day.site, day.doing("10:20"), "2", MARSH)
    down = {each.person: each.down for each in observing.waiting(day.site, at("10:40"))}
    early = observing.went(day.site, day.doing("10:40"), MARSH)

    assert down == {MARSH: True, FEN: False}
    assert (early.event.early, codes(early.findings)) == (True, ["down", "left-early"])


@pytest.mark.parametrize("named", ["before", "after"])
def test_up_again_on_the_same_card_ends_a_faint_that_was_named_later(chair, named):
    day, _, (one, *_) = chair
    given(day, needle(MARSH, one), "10:00")
    observing.stamp(day.site, day.doing("10:02"), "down", "2")
    if named == "before":
        observing.name_card(day.site, day.doing("10:03"), "2", MARSH)
    observing.stamp(day.site, day.doing("10:05"), "up", "2")
    if named == "after":
        observing.name_card(day.site, day.doing("10:20"), "2", MARSH)
    (leave,) = observing.waiting(day.site, at("10:40"))

    assert (leave.down, leave.may(at("10:40"))) == (False, True)


def test_midnight_takes_nobody_from_the_list(chair):
    day, _, (one, two, _) = chair
    given(day, needle(MARSH, one), "23:50")
    given(day, needle(FEN, two), "23:50")
    observing.went(day.site, day.doing("23:55"), FEN)

    def listed(minutes):
        now = Instant(at("23:59") + timedelta(minutes=minutes))
        here = [each.person for each in observing.waiting(day.site, now)]
        return here, [person for person, _ in observing.left_early(day.site, now)]

    assert listed(2) == ([MARSH], [FEN])
    assert listed(24 * 60) == ([], [])


def test_the_card_is_the_one_in_force(chair):
    day, *_ = chair
    assert observing.emergency_card(day.site, at("10:00")).card.adult.item == "E2"
    plain, *_ = a_chair()
    with pytest.raises(RuleError, match="has no emergency card"):
        observing.emergency_card(plain.site, at("10:00"))


def test_a_kit_nobody_looked_at_is_said_at_the_check(chair):
    day, _, (one, *_) = chair
    answer = asked(day, needle(MARSH, one), "10:00")

    assert "kit-not-checked" in codes(answer.findings)
    assert answer.may


def test_too_few_doses_pause_vaccinating_and_a_given_dose_is_still_recorded(chair):
    day, _, (one, two, _) = chair
    _kit(day, "09:00", "1@2026-08-31")
    answer = asked(day, needle(MARSH, one), "10:00")

    assert stops(answer) == {"vaccinating-paused"}
    with pytest.raises(RefusedError):
        noted(day, needle(MARSH, one), "10:00", by=HAZEL)
    outcome = given(day, needle(FEN, two), "10:01")
    assert outcome.receipt is not None
    assert "vaccinating-paused" in codes(outcome.findings)


@pytest.mark.parametrize(
    ("doses", "able"),
    [(("1@2026-08-31", "1@2026-02-02"), (HAZEL,)), (("2@2026-08-31",), ()), ((), (HAZEL,))],
    ids=["one expired yesterday", "nobody able", "nothing there"],
)
def test_an_expired_dose_or_nobody_able_to_give_one_pauses_too(chair, doses, able):
    day, _, (one, *_) = chair
    _kit(day, "09:00", *doses, able=able)

    assert stops(asked(day, needle(MARSH, one), "10:00")) == {"vaccinating-paused"}


def test_a_dose_counts_through_its_last_day(chair):
    day, _, (one, *_) = chair
    _kit(day, "09:00", "2@2026-02-03")

    assert not stops(asked(day, needle(MARSH, one), "10:00"))


def test_a_dose_from_the_kit_pauses_when_too_few_are_left(chair):
    day, _, (one, *_) = chair
    _kit(day, "09:00", "2@2026-08-31")
    observing.stamp(day.site, day.doing("09:30"), "given")

    assert stops(asked(day, needle(MARSH, one), "10:00")) == {"vaccinating-paused"}


def test_a_filled_kit_does_not_end_the_pause_and_the_clinical_lead_does(chair):
    day, _, (one, *_) = chair
    _kit(day, "09:00", "1@2026-08-31")
    _kit(day, "09:10", "5@2026-08-31")
    assert stops(asked(day, needle(MARSH, one), "09:20")) == {"vaccinating-paused"}

    _resume(day, "09:30")
    assert asked(day, needle(MARSH, one), "10:00").may


def test_only_the_clinical_lead_ends_a_pause_with_a_reason_and_a_full_kit(chair):
    day, *_ = chair
    with pytest.raises(RefusedError, match="not paused"):
        _resume(day, "08:00")
    _kit(day, "09:00", "1@2026-08-31")
    with pytest.raises(RefusedError, match="still short"):
        _resume(day, "09:10")
    with pytest.raises(SecondPersonError, match="not known here as the clinical lead"):
        _resume(day, "09:10", by=SORREL, pin=PINS[SORREL])
    with pytest.raises(SecondPersonError, match="vaccinating is resumed by the clinical lead"):
        _resume(day, "09:10", pin=None)
    with pytest.raises(UnsaidError, match="no reason"):
        _resume(day, "09:10", why=" ")


def test_the_lead_cannot_end_a_pause_at_a_time_before_it_began(chair):
    day, *_ = chair
    _kit(day, "09:00", "1@2026-08-31")
    _kit(day, "09:10", "5@2026-08-31")

    with pytest.raises(RefusedError, match="paused since 09:00, which is later than that"):
        _resume(day, "08:59")


def test_a_reason_in_other_words_is_not_kept(chair):
    day, *_ = chair
    _kit(day, "09:00", "1@2026-08-31")
    _kit(day, "09:10", "2@2026-08-31")

    assert _resume(day, "09:30", why="Marsh told me").event.why == "other"


def test_no_protocol_may_let_somebody_set_a_pause_aside(chair):
    day, _, (one, *_) = chair
    _kit(day, "09:00")
    found = asked(day, needle(MARSH, one), "10:00").findings
    rules = {"vaccinating-paused": Override(item="O1", second_person=False, source="demo")}

    assert codes(standing_stops(found, rules, SetAside("in a hurry", "Rowan"))) == [
        "vaccinating-paused"
    ]


def test_a_kit_without_a_rule_of_how_much_is_enough_is_not_called_full():
    day, *_ = a_chair()
    with pytest.raises(RuleError, match=r"no .*kit"):
        _kit(day, "09:00", "9@2026-08-31")


@pytest.mark.parametrize(
    "typed", ["3", "@2026-08-31", "3@August", "-1@2026-08-31", "x@2026-08-31"]
)
def test_doses_that_cannot_be_read_are_refused_by_what_was_typed(chair, typed):
    day, *_ = chair
    with pytest.raises(RecordError, match="not doses with their last day"):
        _kit(day, "09:00", typed)


def test_a_dry_run_leaves_the_area_as_it_was(chair):
    day, _, (one, *_) = chair
    given(day, needle(MARSH, one), "10:00")
    observing.went(day.site, replace(day.doing("10:09"), dry_run=True), MARSH)

    assert [each.person for each in observing.waiting(day.site, at("10:30"))] == [MARSH]
