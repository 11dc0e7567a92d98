"""The demo played until a time of its Tuesday, for a rehearsal that goes on from there."""

import json

import pytest

from thawline.adapters.wiring import open_site
from thawline.cli import main
from thawline.demo.building import build_until
from thawline.ledger.events import DayClosed, DoseGiven

EIGHT_S = 8 * 3600


@pytest.fixture(scope="module")
def morning(tmp_path_factory):
    """The demo's folder, its hall played until eight."""
    home = tmp_path_factory.mktemp("morning") / "home"
    return home, build_until(home, 28, EIGHT_S, lambda _done, _of: None)


def test_it_is_that_time_there_and_goes_on(morning):
    home, over = morning
    now = open_site(home, "harrowmint").now()
    assert 0 <= (now - over).total_seconds() < 120
    assert over.timestamp() == 1_770_127_200  # 2026-02-03T08:00:00-06:00


def test_doses_were_given_before_and_none_after_and_the_day_is_not_closed(morning):
    home, over = morning
    with open_site(home, "harrowmint").ledger.view() as view:
        entries = list(view.entries())
    given = [each for each in entries if isinstance(each.event, DoseGiven)]
    assert given
    assert max(each.occurred.hi for each in given) < over
    assert not any(isinstance(each.event, DayClosed) for each in entries)


def test_the_ledger_is_whole(morning, capsys):
    home, _ = morning
    assert main(["journal", "verify", "--home", str(home), "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["ok"]


def test_a_time_that_is_none_is_named(capsys, tmp_path):
    assert main(["demo", "--until", "25:00", "--home", str(tmp_path / "home")]) == 3
    assert "Not a time of day: '25:00'" in capsys.readouterr().err
    assert not (tmp_path / "home").exists()
