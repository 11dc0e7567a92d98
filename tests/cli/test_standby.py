"""`thawline standby` and `plan opening` at a site: what is read, and the exit code."""

import pytest
from tests.cli.clinic import Clinic

from thawline.cli import main

BY = ["--by", "Sorrel Kettlewick"]
ANN = "DEMO-000901"
HEAD = "id,name,date,time,dose\n"


@pytest.fixture(name="clinic")
def _clinic(clinic, tmp_path) -> Clinic:
    """The clinic with nine people booked from 08:10 to 08:50, and a vial open since 07:00."""
    clinic.clock("05:00")
    slots = ["08:10", "08:20", "08:30", "08:40", "08:40", "08:40", "08:50", "08:50", "08:50"]
    rows = [f"DEMO-{n:06d},Ann {n},2026-02-03,{at},1\n" for n, at in enumerate(slots, 1)]
    path = tmp_path / "tuesday.csv"
    path.write_text(HEAD + "".join(rows))
    clinic.run("booking", "load", str(path), *BY)
    clinic.clock("12:00")
    return clinic


def add(clinic, person=ANN, travel="10", *more):
    return clinic.ask("standby", "add", person, "--travel-min", travel, *more, *BY)


def test_a_name_on_the_list_is_who_to_call(clinic):
    code, added = add(clinic, ANN, "10", "--name", "Ann Lee", "--phone", "555-0101")
    _, answer = clinic.ask("standby", "next", "--doses", "1")

    assert (code, added["data"]["record"]["travel_min"]) == (0, 10)
    (call,) = answer["data"]["calls"]
    assert (call["person"], call["name"], call["phone"]) == (ANN, "Ann Lee", "555-0101")


def test_the_ledger_never_has_the_name(clinic):
    add(clinic, ANN, "10", "--name", "Ann Lee", "--phone", "555-0101")

    _, out, _ = clinic.run("journal", "list")

    assert ANN in out
    assert "Ann Lee" not in out


def test_the_answer_is_recorded_once(clinic):
    add(clinic, ANN, "10", "--name", "Ann Lee")

    first, _ = clinic.ask("standby", "answer", ANN, "no-answer", *BY)
    again, refused = clinic.ask("standby", "answer", ANN, "comes", *BY)
    _, out, _ = clinic.run("standby", "next", "--doses", "1")

    assert (first, again) == (0, 3)
    assert "no-answer" in refused["error"]["says"]
    assert "Nobody to call now." in out


def test_a_number_without_a_name_is_refused(clinic):
    code, answer = add(clinic, ANN, "10", "--phone", "555-0101")

    assert (code, answer["error"]["try"]) == (3, "add --name NAME")


def opening(clinic, *words):
    return clinic.ask("plan", "opening", "--person-price", "10", "--no-show", "0.07", *words)


def test_the_opening_at_a_site_is_answered_from_its_record(clinic):
    code, answer = opening(clinic, "--at", "08:02", "--tables", "3", "--walk-ups-per-hour", "0")

    known, last = answer["data"]["known"], answer["data"]["last"]
    assert (code, known["booked_to_come"], known["doses_in_hand"]) == (0, 9, 0)
    assert len(last["days"]) == 20
    assert answer["data"]["tables"]["own_vials_wasted"] > 10


def test_one_waits_until_the_vial_would_just_be_ready(clinic):
    # Ten doses in an open vial do for nine people whatever comes.
    clinic.opened()

    _, answer = opening(clinic, "--at", "08:02", "--walk-ups-per-hour", "0")

    assert answer["data"]["last"]["advice"] == "no-vial"
    assert answer["data"]["last"]["short_days"] == 0


def test_one_waits_until_the_vial_would_just_be_ready_for_who_may_go_without(clinic, tmp_path):
    # Ten doses, twelve booked; the eleventh at 08:50, and a chilled vial stands 15 min: 08:35.
    clinic.opened()
    clinic.vials(at_="04:00")
    more = tmp_path / "more.csv"
    rows = [f"DEMO-{n:06d},Ben {n},2026-02-03,08:50,1\n" for n in (21, 22, 23)]
    more.write_text(HEAD + "".join(rows))
    clinic.run("booking", "load", str(more), "--at", "07:30", *BY)
    words = ["--at", "08:02", "--walk-ups-per-hour", "0"]

    _, answer = opening(clinic, *words)
    _, out, _ = clinic.run(
        *("plan", "opening", "--person-price", "10", "--no-show", "0.07"), *words
    )

    assert answer["data"]["last"]["wait_until"] == "2026-02-03T08:35:00-06:00"
    assert "Wait until 08:35." in out
    assert "Bring one at so many doses in hand" in out


def test_without_a_chilled_vial_the_answer_says_so(clinic):
    _, out, _ = clinic.run(
        *("plan", "opening", "--person-price", "10", "--no-show", "0.07", "--at", "08:02")
    )

    assert "No chilled vial is here to be brought" in out


def test_the_picture_is_written_beside_the_answer(clinic, tmp_path):
    picture = tmp_path / "last.svg"

    _, out, _ = clinic.run(
        *("plan", "opening", "--person-price", "10", "--no-show", "0.07"),
        *("--at", "08:02", "--svg", str(picture)),
    )

    assert picture.read_text().startswith("<svg")
    assert "20 equally likely days" in out


def test_where_a_vial_must_be_brought_now_the_answer_names_it(clinic):
    (code,) = clinic.vials(at_="04:00")

    _, out, _ = clinic.run(
        *("plan", "opening", "--person-price", "10", "--no-show", "0.07", "--at", "08:02")
    )

    assert f"Now: bring {code} to the table" in out


@pytest.mark.parametrize(
    "words",
    [
        ["--hours", "3"],
        ["--together", "3"],
        ["--standby", "3"],
        ["--protocol", "example-10"],
        ["--waiting", "-1"],
        ["--close", "12:00", "--svg", "early.svg", "--at", "08:00"],
        ["--booked", "24", "--hours", "3", "--at", "08:00"],
        ["--booked", "24"],
        ["--close", "07:00", "--at", "08:00"],
    ],
    ids=" ".join,
)
def test_what_does_not_go_together_is_refused(clinic, words):
    code, answer = opening(clinic, *words)

    assert (code, answer["ok"]) == (3, False)


@pytest.mark.parametrize(
    ("booked", "wasted"), [("10", "1.50"), ("12", "4.23")], ids=["ten", "twelve"]
)
def test_bookings_close_together_waste_less(capsys, booked, wasted):
    # 15 % no-shows inside one vial's life (the methods table); ten over ten hours: 11.48.
    words = ["plan", "opening", "--booked", booked, "--no-show", "0.15", "--hours", "10"]
    main([*words, "--person-price", "10", "--together", "5"])

    said = " ".join(capsys.readouterr().out.split())
    assert f"within 5 h, open when asked: {wasted} doses wasted." in said


def test_a_vial_for_each_table_wastes_more_than_a_shared_one(capsys):
    # 2,400 booked, 8 %: 4.5000 from one table and 18.0015 from four (the methods table).
    words = ["plan", "opening", "--booked", "2400", "--no-show", "0.08", "--hours", "10"]
    main([*words, "--person-price", "10", "--tables", "4"])

    said = " ".join(capsys.readouterr().out.split())
    assert "One shared draw table: 4.50 doses" in said
    assert "each of 4 tables: 18.00." in said
