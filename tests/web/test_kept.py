"""What pages keep of the vials for the next seconds, and when they ask anew."""

import pytest
from tests.cast import a_day, at

from thawline.app import vials
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
