"""`thawline second assign | between`: who has a place elsewhere is left out, and named."""

from pathlib import Path

import pytest
from tests.cast import ROWAN
from tests.cli.clinic import Clinic

from thawline.app import second_moves

BY = ("--by", ROWAN)
MOVE = (
    *("second", "between", "--places", "oddmoor:2026-03-04=5"),
    *("--apart", "quillbeck:oddmoor=1"),
)
ASSIGN = ("second", "assign", "--places", "2026-03-04=9", *BY, "--site", "quillbeck")


@pytest.fixture
def two(tmp_path, capsys, monkeypatch) -> Clinic:
    """Return two sites on 3 March; one person of Quillbeck had a first dose on 4 February."""
    made = Clinic(tmp_path / "home", capsys, monkeypatch)
    for site in ("oddmoor", "quillbeck"):
        here = ("--site", site)
        made.clock("12:00", 3, 2)
        made.run("site", "new", site, "--zone", "America/Chicago")
        made.run("site", "pin", "Bryony Testwick", "284651", *here)
        second = ("--countersign", "Bryony Testwick", "--pin", "284651")
        made.run("protocol", "adopt", "example-10-v2", *second, *BY, *here)
        made.clock("18:00", 3, 3)
    made.run("dose", "told", "DEMO-000000", "2026-02-04", *BY, "--site", "quillbeck")
    return made


def _cut_off(two, monkeypatch) -> None:
    def fail(_home, doing, *_):
        if not doing.dry_run:
            raise SystemExit("power")

    with monkeypatch.context() as patched:
        patched.setattr(second_moves, "_pass_on", fail)
        with pytest.raises(SystemExit):
            two.run(*MOVE, *BY)


def _booked(two, site) -> list[str]:
    _, answer = two.ask("booking", "list", "--site", site)
    return [row["person"] for row in answer["data"]["bookings"]]


@pytest.mark.parametrize("words", [ASSIGN, MOVE], ids=["assign", "between"])
def test_who_was_taken_over_and_cut_off_gets_no_second_place_and_is_named(
    two, monkeypatch, words
):
    _cut_off(two, monkeypatch)
    two.run("dose", "told", "DEMO-000001", "2026-02-04", *BY, "--site", "quillbeck")

    _, answer = two.ask(*words)

    said = {alert["code"]: alert["says"] for alert in answer["alerts"]}
    assert "DEMO-000000 (quillbeck): oddmoor, 2026-03-04" in said["placed-elsewhere"]
    assert _booked(two, "oddmoor") == ["DEMO-000000"]
    assert "DEMO-000000" not in _booked(two, "quillbeck")


def test_a_site_that_cannot_be_read_is_named_and_holds_nobody_up(two):
    (Path(two.home) / "sites" / "oddmoor" / "site.toml").write_text("name = ")

    code, answer = two.ask(*ASSIGN)

    assert (code, answer["data"]["placed"]) == (1, 1)
    said = {alert["code"]: alert["says"] for alert in answer["alerts"]}
    assert said["site-not-read"].startswith("oddmoor cannot be read, so nobody knows who has")
