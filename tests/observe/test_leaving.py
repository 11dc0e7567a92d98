"""From when somebody may leave: the longest of everything, and never by a guess."""

from datetime import timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.cast import CHICAGO, at, codes, small
from tests.observe.made_up import CARD

from thawline.base.findings import Finding, Level
from thawline.base.instants import Instant, to_ms
from thawline.observe.leaving import leave, stay_for
from thawline.observe.stay_fold import Faint, Seated

STAYS = small(CARD).protocol.observation
OUTCOMES = ("give-15", "give-30", "give", "refer", "not-today", None)
DOSES = st.lists(st.tuples(st.integers(0, 240), st.sampled_from(OUTCOMES)), min_size=1)


def _seated(minute, screening):
    return Seated(to_ms(Instant(at("10:00") + timedelta(minutes=minute))), screening, "e")


def _leave(doses, faints=(), stays=STAYS):
    seated = [(_seated(*dose), stays) for dose in doses]
    return leave("DEMO-000001", seated, faints, CHICAGO)


def test_only_one_outcome_has_the_usual_time():
    items = [stay_for(outcome, STAYS).item for outcome in OUTCOMES]
    assert items == ["O11", "O12", "O12", "O12", "O12", "O12"]


def test_without_a_usual_time_the_longer_one_counts_and_without_a_longer_one_nothing():
    assert stay_for("give-15", {"longer": STAYS["longer"]}).item == "O12"
    assert stay_for("give-15", {"usual": STAYS["usual"]}) is None


@given(DOSES, st.tuples(st.integers(0, 240), st.sampled_from(OUTCOMES)))
def test_another_dose_never_lets_anybody_leave_earlier(doses, another):
    assert _leave([*doses, another]).may_leave >= _leave(doses).may_leave


@given(DOSES)
def test_the_order_of_the_doses_makes_no_difference(doses):
    assert _leave(doses).may_leave == _leave(doses[::-1]).may_leave


def test_one_dose_without_a_known_stay_keeps_the_whole_answer_open():
    found = leave(
        "DEMO-000001",
        [(_seated(0, "give-15"), STAYS), (_seated(1, "give-15"), {})],
        (),
        CHICAGO,
    )
    assert found.may_leave is None
    assert codes(found.findings) == ["stay-not-known"]
    assert not found.may(at("23:00"))


def test_a_minute_before_is_too_early_and_the_minute_itself_is_not():
    found = _leave([(0, "give-15")])
    assert not found.may(at("10:09"))
    assert found.may(at("10:10"))


@pytest.mark.parametrize(
    ("card", "who"), [("2", "DEMO-000001 is down (card 2)"), ("", "DEMO-000001 is down")]
)
def test_somebody_down_is_named_with_their_card_and_not_left_alone(card, who):
    found = _leave([(0, "give-15")], [Faint(to_ms(at("10:01")), card)])

    says = f"{who} and nobody stamped them up again: stay with the person."
    assert found.findings == (Finding(Level.STOP, "down", says),)
    assert not found.may(at("23:00"))


def test_somebody_who_is_up_again_is_not_kept_by_the_faint():
    down, up = to_ms(at("10:01")), to_ms(at("10:03"))
    found = _leave([(0, "give-15")], [Faint(down, "", up)])

    assert found.findings == ()
    assert found.may(at("10:10"))


def test_one_of_two_faints_without_an_end_is_enough_to_keep_somebody():
    over = Faint(to_ms(at("10:01")), "1", to_ms(at("10:03")))
    found = _leave([(0, "give-15")], [over, Faint(to_ms(at("10:05")), "2")])

    assert [finding.says[:28] for finding in found.findings] == ["DEMO-000001 is down (card 2)"]


def test_the_answer_names_the_person_and_the_item_of_the_longest_stay():
    found = _leave([(0, "give-15"), (1, "give-30"), (12, "give-15")])

    assert (found.person, found.may_leave, found.item) == ("DEMO-000001", at("10:26"), "O12")
    assert _leave([(0, "give-30"), (20, "give-15")]).item == "O11"


@pytest.mark.parametrize("faints", [(), [Faint(0)]], ids=["sitting", "down"])
def test_a_stay_the_protocol_does_not_know_is_for_the_clinical_lead(faints):
    found = _leave([(0, "give-15")], faints, stays={})

    says = "The protocol does not say how long DEMO-000001 stays: the clinical lead decides."
    assert (found.person, found.may_leave, found.item) == ("DEMO-000001", None, None)
    assert found.findings[-1] == Finding(Level.ACT, "stay-not-known", says)
    assert codes(found.findings[:-1]) == ["down"] * len(faints)


def test_somebody_without_any_dose_on_record_is_not_sent_away_by_a_clock():
    found = _leave([])

    assert codes(found.findings) == ["stay-not-known"]
    assert not found.may(at("23:00"))
