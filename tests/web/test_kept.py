"""What pages keep of the vials for the next seconds, and when they ask anew."""

from functools import partial

import pytest
from tests.cast import a_day, at

from thawline.app import holds, vials
from thawline.app.in_force import in_force
from thawline.app.standings import all_stood
from thawline.base.instants import exactly
from thawline.web import kept as keeping
from thawline.web.kept import kept


@pytest.fixture(autouse=True)
def _nothing_kept(monkeypatch):
    """Begin without what another test's ledger left behind: made-up ledgers look alike."""
    monkeypatch.setattr(keeping, "_newest", [])


def asked(day, moment, calls: list):
    """Return the vials as kept; notes when they were asked for."""
    with day.site.ledger.view() as view:

        def ask():
            calls.append(moment)
            return tuple(all_stood(view, in_force(day.site, view, moment), moment))

        return kept(view.head, moment, ask)


def test_a_second_page_of_the_same_seconds_asks_nothing_again():
    day, calls = a_day(), []
    day.ready()
    first = asked(day, at("10:00"), calls)
    assert asked(day, at("10:00").replace(second=20), calls) is first
    assert len(calls) == 1


def test_a_new_entry_is_seen_at_once():
    day, calls = a_day(), []
    [code] = day.ready()
    asked(day, at("10:00"), calls)
    vials.open_vial(day.site, day.doing("10:00"), code)
    [now] = asked(day, at("10:00").replace(second=1), calls)
    assert (now.reckoning.state, len(calls)) == ("open", 2)


def test_nothing_is_kept_past_the_second_at_which_a_vial_runs_out():
    day, calls = a_day(), []
    [code] = day.ready()
    opened = exactly(at("10:00").replace(second=20))
    vials.open_vial(day.site, day.doing(occurred=opened), code)
    end = at("15:00").replace(second=20)  # the small protocol's five hours after opening
    assert asked(day, end.replace(second=10), calls)[0].reckoning.usable is True
    assert asked(day, end, calls)[0].reckoning.usable is False


def test_a_clock_that_is_put_back_asks_anew():
    day, calls = a_day(), []
    day.ready()
    asked(day, at("10:00").replace(second=30), calls)
    asked(day, at("10:00").replace(second=10), calls)
    assert len(calls) == 2


def test_a_discarded_vial_is_reckoned_once_and_a_later_entry_about_it_is_seen():
    day = a_day()
    [code] = day.ready()
    vials.discard(day.site, day.doing("10:00"), code, "broken")
    first = _stands(day, at("10:00"))
    assert first[0].reckoning.state == "discarded"
    assert _stands(day, at("11:00"))[0] is first[0]
    holds.hold(day.site, day.doing("11:05", why="recalled"), [code])
    assert _stands(day, at("11:06"))[0] is not first[0]


def test_a_vial_that_is_not_discarded_is_reckoned_at_each_moment():
    day = a_day()
    day.ready("09:55")
    assert _stands(day, at("09:56"))[0].reckoning.state == "warming"
    assert _stands(day, at("10:30"))[0].reckoning.state == "ready"


def test_other_rules_forget_what_was_reckoned_before():
    day = a_day()
    [code] = day.ready()
    vials.discard(day.site, day.doing("10:00"), code, "broken")
    first = _stands(day, at("10:00"))
    keeping.not_done("other rules", lambda _done: first)
    assert _stands(day, at("10:00"))[0] is not first[0]


def _stands(day, moment):
    with day.site.ledger.view() as view:
        rules = in_force(day.site, view, moment)
        return keeping.not_done(rules.versions, partial(all_stood, view, rules, moment))
