"""`thawline second between`: two sites, one of them short of places; costs by hand."""

from pathlib import Path

import pytest
from tests.cast import ROWAN
from tests.cli.clinic import Clinic

from thawline.adapters.wiring import open_site
from thawline.app.ports import Name

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


def test_where_nobody_waits_it_is_said_in_words(tmp_path, capsys, monkeypatch):
    clinic = Clinic(tmp_path / "home", capsys, monkeypatch)
    clinic.run("site", "new", "oddmoor", "--zone", "America/Chicago")
    second = ("--countersign", "Bryony Testwick", "--pin", "284651")
    clinic.run("site", "pin", "Bryony Testwick", "284651")
    clinic.run("protocol", "adopt", "example-10-v2", *second, *BY)

    code, out, _ = clinic.run("second", "between", "--places", "2026-03-04=5", *BY)

    assert code == 0
    assert (
        out.splitlines()[0]
        == "Nobody waits for a second dose without a place: nothing to share out."
    )


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


MOVE = (
    *("second", "between", "--places", "quillbeck:2026-03-04=1"),
    *("--places", "quillbeck:2026-03-09=1", "--places", "oddmoor:2026-03-04=2"),
    *("--apart", "quillbeck:oddmoor=3"),
)


def test_a_move_is_recorded_at_both_sites(two):
    code, answer = two.ask(*MOVE, *BY)
    (move,) = answer["data"]["moves"]
    (booked,) = two.ask("booking", "list", "--site", "oddmoor")[1]["data"]["bookings"]
    at_home = two.run("journal", "list", "--site", "quillbeck")[1]

    assert (code, move["from_site"], move["site"], move["recorded"]) == (
        *(0, "quillbeck", "oddmoor", True),
    )
    assert (booked["day"], booked["dose_number"]) == ("2026-03-04", 2)
    assert "SecondDosesPassedOn" in at_home
    assert "SecondDosesTakenOver" in two.run("journal", "list", "--site", "oddmoor")[1]


def test_a_code_that_stands_for_somebody_else_there_becomes_a_new_one(two):
    # DEMO-000000 waits at both sites, and nobody knows that it is one person.
    _, answer = two.ask(*MOVE, *BY)

    (person,) = answer["data"]["moves"][0]["people"]
    there = person["code_there"]
    assert (person["person"], there) in {
        ("DEMO-000000", "P-000001"),
        ("DEMO-000001", "DEMO-000001"),
    }


def test_who_was_moved_is_not_placed_again_at_either_site(two):
    two.run(*MOVE, *BY)

    _, again = two.ask(*MOVE)
    words = ("second", "assign", "--places", "2026-03-09=9", "--dry-run", *BY)
    _, assigned = two.ask(*words, "--site", "quillbeck")

    assert again["data"]["moved"] == 0
    assert len(again["data"]["places"]) == 2  # one at each site, of three
    assert assigned["data"]["placed"] == 1


def test_day_28_of_the_first_dose_elsewhere_counts_at_the_new_site(two):
    _, answer = two.ask(*MOVE, *BY)
    person = answer["data"]["moves"][0]["people"][0]["code_there"]

    _, due = two.ask("second", "due", "--on", "2026-03-04", "--site", "oddmoor")

    (row,) = [each for each in due["data"]["due"] if each["person"] == person]
    assert (row["first"], row["due"], row["booked"]) == (
        *("2026-02-04", "2026-03-04", "2026-03-04"),
    )


def test_on_a_dry_run_neither_site_records_anything(two):
    code, out, _ = two.run(*MOVE, *BY, "--dry-run")

    assert code == 0
    assert "Nothing is recorded" in out
    for site in ("quillbeck", "oddmoor"):
        assert "SecondDoses" not in two.run("journal", "list", "--site", site)[1]


def _settings(two, site):
    return Path(two.home) / "sites" / site / "site.toml"


def test_a_day_without_a_number_has_the_places_of_the_sites_settings(two):
    for site, text in (("oddmoor", "a_day = 1"), ("quillbeck", 'on = { "2026-03-07" = 2 }')):
        path = _settings(two, site)
        path.write_text(f"{path.read_text()}\n[second_doses]\n{text}\n")

    code, answer = two.ask("second", "between", "--places", "2026-03-07")

    assert (code, len(answer["data"]["places"])) == (0, 3)


def test_a_capacity_nobody_wrote_down_is_an_error_that_says_where(two):
    code, answer = two.ask("second", "between", "--places", "2026-03-07")

    assert code == 3
    assert "how many places oddmoor has on 2026-03-07 is not known" in answer["error"]["says"]
    assert "[second_doses] a_day" in answer["error"]["try"]


def test_a_move_that_was_undone_can_be_recorded_again(two):
    _, answer = two.ask(*MOVE, *BY)
    (move,) = answer["data"]["moves"]
    for site, seq in (("oddmoor", "seq_there"), ("quillbeck", "seq_at_home")):
        words = ("journal", "undo", str(move[seq]), "--why", "snow", "--site", site)
        assert two.run(*words, *BY)[0] == 0
    two.clock("18:05", 3, 3)

    code, again = two.ask(*MOVE, *BY)

    assert (code, again["data"]["moves"][0]["recorded"]) == (0, True)
    assert len(two.ask("booking", "list", "--site", "oddmoor")[1]["data"]["bookings"]) == 1


ONCE = ("--id", "01936b1e-0000-7000-8000-000000000001")


def test_the_same_id_again_says_what_was_recorded_and_moves_nobody_more(two):
    _, first = two.ask(*MOVE, *BY, *ONCE)
    two.clock("18:05", 3, 3)

    code, again = two.ask(*MOVE, *BY, *ONCE)

    assert (code, again["data"]["moves"][0]["again"]) == (0, True)
    assert first["data"]["id"] == again["data"]["id"] == ONCE[1]
    assert again["data"]["moves"][0]["seq_there"] == first["data"]["moves"][0]["seq_there"]
    assert len(two.ask("booking", "list", "--site", "oddmoor")[1]["data"]["bookings"]) == 1
    assert "Recorded before, nobody is planned anew." in two.run(*MOVE, *BY, *ONCE)[1]


def test_an_id_without_a_name_is_refused(two):
    code, answer = two.ask(*MOVE, *ONCE)

    assert (code, answer["error"]["try"]) == (2, "add --by NAME")


def test_whom_the_other_sites_record_is_against_stays_and_is_named(two):
    two.run("dose", "told", "DEMO-000001", "2026-01-02", *BY, "--site", "oddmoor")
    two.run("dose", "told", "DEMO-000001", "2026-02-04", *BY, "--site", "oddmoor")
    for site in ("quillbeck", "oddmoor"):
        people = open_site(Path(two.home), site).people
        people.put("DEMO-000001", Name("Bryony Testwick", "1951-01-20"))

    places = ("--places", "oddmoor:2026-03-04=9", "--apart", "quillbeck:oddmoor=3")
    code, answer = two.ask("second", "between", *places, *BY)

    assert (code, answer["data"]["moved"]) == (1, 1)
    (check,) = [each for each in answer["alerts"] if each["code"].startswith("stays")]
    assert "1 person kept at their own site" in check["says"]
    assert "DEMO-000001 at oddmoor: Both doses are on record." in check["says"]
