"""`thawline second between`: two sites, one of them short of places; costs by hand."""

import pytest
from tests.cast import ROWAN
from tests.cli.clinic import Clinic

BY = ("--by", ROWAN)


@pytest.fixture
def two(tmp_path, capsys, monkeypatch) -> Clinic:
    """Return two sites on 3 March, each with people whose first dose was on 4 February."""
    made = Clinic(tmp_path / "home", capsys, monkeypatch)
    for site, people in (("oddmoor", 1), ("quillbeck", 2)):
        here = ("--site", site)
        made.clock("12:00", 3, 2)
        made.run("site", "new", site, "--zone", "America/Chicago")
        made.run("site", "pin", "Bryony Testwick", "284651", *here)
        second = ("--countersign", "Bryony Testwick", "--pin", "284651")
        made.run("protocol", "adopt", "example-10-v2", *second, *BY, *here)
        made.clock("18:00", 3, 3)
        for number in range(people):
            made.run("dose", "told", f"DEMO-{number:06d}", "2026-02-04", *BY, *here)
    return made


def test_one_person_goes_where_waiting_would_cost_more_and_nothing_is_recorded(two):
    words = ("--places", "quillbeck:2026-03-04=1", "--places", "quillbeck:2026-03-09=1")
    words += ("--places", "oddmoor:2026-03-04=2", "--apart", "quillbeck:oddmoor=3")

    code, answer = two.ask("second", "between", *words)

    assert (code, answer["data"]["moved"], answer["data"]["cost_days"]) == (0, 1, 3)
    assert {row["day"] for row in answer["data"]["places"]} == {"2026-03-04"}
    assert two.ask("booking", "list", "--site", "oddmoor")[1]["data"]["bookings"] == []


def test_without_a_way_between_the_sites_who_has_no_place_is_named_with_the_site(two):
    code, out, _ = two.run("second", "between", "--places", "2026-03-04=1")

    assert code == 1
    assert "1 person without a place in these days" in out
    assert "(quillbeck)" in out


def test_a_day_before_day_28_is_never_used(two):
    _, answer = two.ask("second", "between", "--places", "2026-03-03=9")

    assert answer["data"]["places"] == []
    assert len(answer["data"]["without_place"]) == 3


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("--places", "2026-03-04=1", "--apart", "quillbeck=3"), "not a cost between sites"),
        (("--places", "2026-03-04=1", "--apart", "quillbeck:elsewhere=3"), "elsewhere"),
        (("--places", "elsewhere:2026-03-04=1"), "places at elsewhere"),
        ((), "no day has places"),
    ],
    ids=["one site", "no such site", "places nowhere", "no places"],
)
def test_what_cannot_be_is_refused_by_its_value(two, words, says):
    code, answer = two.ask("second", "between", *words)

    assert code == 3
    assert says in answer["error"]["says"]
