"""What pages remember of the vials from second to second, and when they reckon anew."""

from datetime import timedelta

import pytest
from tests.cast import a_day, at

from thawline.app import vials
from thawline.app.holds import hold
from thawline.app.in_force import in_force
from thawline.base.instants import Instant, exactly
from thawline.web import standing_vials as module
from thawline.web.standing_vials import end_of, for_syringes, standing_vials


@pytest.fixture
def reckoned(monkeypatch):
    """The codes of the vials that were reckoned, as often as they were."""
    codes, plain = [], module.stood

    def noted(view, rules, code, moment):
        codes.append(code)
        return plain(view, rules, code, moment)

    monkeypatch.setattr(module, "stood", noted)
    monkeypatch.setattr(module, "_KEPT", {})
    monkeypatch.setattr(module, "_LAST", {})
    return codes


def seen(day, moment):
    with day.site.ledger.view() as view:
        return standing_vials(day.site, view, in_force(day.site, view, moment), moment)


def of_syringes(day, vial, moment):
    with day.site.ledger.view() as view:
        rules = in_force(day.site, view, moment)
        return for_syringes(day.site, view, rules, moment)(vial)


def second(clock, seconds, microseconds=0):
    return at(clock).replace(second=seconds, microsecond=microseconds)


def test_many_tablets_in_one_second_ask_once(reckoned):
    day = a_day()
    day.opened("07:00")
    for microseconds in (1, 400_000, 999_999):
        seen(day, second("10:00", 20, microseconds))
    assert len(reckoned) == 1


def test_an_act_is_seen_at_once_and_only_its_vial_is_reckoned(reckoned):
    day = a_day()
    one, other = day.ready(count=2)
    seen(day, second("10:00", 20))
    reckoned.clear()
    vials.open_vial(day.site, day.doing("10:00"), one)
    now = {each.code: each.reckoning.state for each in seen(day, second("10:00", 20))}
    assert (now[one], now[other], reckoned) == ("open", "ready", [one])


def test_a_hold_of_a_vial_is_seen_at_once(reckoned):
    day = a_day()
    vial = day.opened("07:00")
    seen(day, second("10:00", 20))
    hold(day.site, day.doing("10:00", why="shaken"), [vial])
    assert seen(day, second("10:00", 20))[0].reckoning.state == "held"
    assert reckoned == [vial, vial]


def test_a_vial_is_past_its_use_by_in_its_very_second_and_never_later():
    day = a_day()
    vial = day.ready()[0]
    vials.open_vial(day.site, day.doing(occurred=exactly(second("10:00", 20))), vial)
    # the small protocol's five hours after opening end at 15:00:20
    assert seen(day, second("15:00", 19))[0].reckoning.usable is True
    assert seen(day, second("15:00", 20))[0].reckoning.usable is False


def kept_s(day, reckoned):
    """Return for how many seconds a vial is kept from 10:00:00 on, nobody touching it."""
    seen(day, at("10:00"))
    for later in range(1, 60):
        reckoned.clear()
        seen(day, Instant(at("10:00") + timedelta(seconds=later)))
        if reckoned:
            return later
    raise AssertionError("kept for a minute")


def test_a_chilled_vial_is_kept_about_half_a_minute(reckoned):
    day = a_day()
    day.thaw()
    assert 20 <= kept_s(day, reckoned) < 40


def test_an_open_vial_is_kept_about_ten_seconds(reckoned):
    day = a_day()
    day.opened("07:00")
    assert 6 <= kept_s(day, reckoned) < 14


def test_many_vials_come_due_one_by_one(reckoned):
    """So that no look waits until all of them are reckoned."""
    day = a_day()
    day.thaw(40)
    seen(day, at("10:00"))
    most = 0
    for later in range(1, 60):
        reckoned.clear()
        seen(day, Instant(at("10:00") + timedelta(seconds=later)))
        most = max(most, len(reckoned))
    assert 1 <= most <= 12


def test_a_fact_that_was_dated_ahead_counts_in_its_own_second():
    """A tablet whose clock is fast: the vial is not kept past the time it wrote."""
    day = a_day()
    vial = day.opened("07:00")
    discarded = exactly(second("10:00", 23))
    vials.discard(day.site, day.doing("10:00", occurred=discarded), vial, "leftover")
    assert seen(day, second("10:00", 22))[0].reckoning.state == "open"
    assert seen(day, second("10:00", 23))[0].reckoning.state == "discarded"


def test_an_open_vial_that_was_kept_ends_in_its_second():
    day = a_day()
    vial = day.ready()[0]
    vials.open_vial(day.site, day.doing(occurred=exactly(second("10:00", 20))), vial)
    # the small protocol's five hours after opening end at 15:00:20
    assert seen(day, second("15:00", 18))[0].reckoning.usable is True
    assert seen(day, second("15:00", 20))[0].reckoning.usable is False


def test_a_hold_reaches_the_syringes_of_a_kept_vial_at_once():
    day = a_day()
    vial = day.opened("07:00")
    assert of_syringes(day, vial, second("10:00", 20)).state == "open"
    hold(day.site, day.doing("10:00", why="shaken"), [vial])
    assert of_syringes(day, vial, second("10:00", 20)).state == "held"


def test_a_discarded_vial_does_not_end_its_syringes():
    day = a_day()
    vial = day.opened("07:00")
    vials.discard(day.site, day.doing("10:00"), vial, "leftover")
    assert seen(day, second("10:00", 20))[0].reckoning.state == "discarded"
    assert of_syringes(day, vial, second("10:00", 20)).usable is True


def test_a_closed_vial_that_becomes_ready_meanwhile_is_reckoned_anew():
    day = a_day()
    day.ready("06:35")  # the small protocol: ten minutes on the table
    assert seen(day, second("06:44", 50))[0].reckoning.state != "ready"
    assert seen(day, second("06:45", 0))[0].reckoning.state == "ready"


def test_a_clock_that_is_put_back_asks_anew(reckoned):
    day = a_day()
    day.thaw()
    seen(day, second("10:00", 30))
    seen(day, second("10:00", 10))
    assert len(reckoned) == 2


def test_the_end_of_a_step_of_the_clock_is_never_before_the_moment():
    ten = timedelta(seconds=10)
    for seconds, microseconds, ends in ((20, 0, 20), (20, 1, 30), (29, 999_999, 30)):
        assert end_of(ten, second("10:00", seconds, microseconds)) == second("10:00", ends)
    assert end_of(timedelta(minutes=1), second("10:00", 1)) == at("10:01")


def test_a_held_vial_is_reckoned_once_a_second_for_all_its_syringes(reckoned):
    day = a_day()
    vial = day.opened("07:00")
    hold(day.site, day.doing("10:00", why="shaken"), [vial])
    reckoned.clear()
    for microseconds in (1, 400_000, 999_999):
        assert of_syringes(day, vial, second("10:00", 20, microseconds)).state == "held"
    assert reckoned == [vial]
    of_syringes(day, vial, second("10:00", 21, 1))
    assert reckoned == [vial, vial]
