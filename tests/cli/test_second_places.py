"""
`thawline second assign | move | late`: what people read, the exit code, one act undone as one.

Three first doses on 4 February 2026, typed from cards; day 28 is Wednesday 4 March.
"""

import pytest
from tests.cast import ROWAN
from tests.cli.clinic import Clinic

from thawline.base.errors import BusyError
from thawline.cli import second_places

BY = ("--by", ROWAN)
PEOPLE = """\
person,name,birth date,date,time,dose,phone,language
DEMO-000001,Ada Marlow,1950-02-13,2026-03-04,09:00,2,555-0101,en
DEMO-000002,Ben Marlow,1951-02-23,2026-03-04,09:10,2,555-0102,es
DEMO-000003,Cleo Sedge,1952-02-17,2026-03-04,09:20,2,,
"""


@pytest.fixture
def march(tmp_path, capsys, monkeypatch) -> Clinic:
    """Return the evening of Tuesday 3 March at a site of three people."""
    made = Clinic(tmp_path / "home", capsys, monkeypatch)
    made.run("site", "new", "quillbeck", "--zone", "America/Chicago")
    made.run("site", "pin", "Bryony Testwick", "284651")
    second = ("--countersign", "Bryony Testwick", "--pin", "284651")
    made.run("protocol", "adopt", "example-10-v2", *second, *BY)
    made.clock("18:00", 3, 3)
    for line in PEOPLE.splitlines()[1:]:
        made.run("dose", "told", line.split(",")[0], "2026-02-04", *BY)
    return made


def _book(march, tmp_path) -> None:
    file = tmp_path / "second.csv"
    file.write_text(PEOPLE)
    march.run("booking", "load", str(file), *BY)


def test_places_are_given_from_the_due_day_on_and_the_proof_is_printed(march):
    words = ("--places", "2026-03-03=9", "--places", "2026-03-04=2", "--places", "2026-03-05=9")

    code, out, _ = march.run("second", "assign", *words, *BY)

    assert code == 1  # nobody's phone is known: somebody must find them
    assert [
        line.split()[-3:] for line in out.splitlines() if line.startswith(("Tue", "Wed"))
    ] == [
        ["9", "0", "0"],
        ["2", "2", "1"],
    ]
    assert "Proof: nobody before their day; the earliest comes on day 28." in out


def test_a_dry_run_says_would_and_records_nothing(march):
    words = ("second", "assign", "--places", "2026-03-04=3", *BY)

    _, out, _ = march.run(*words, "--dry-run")

    assert "3 people would be placed, 0 without." in out
    assert march.ask(*words)[1]["data"]["placed"] == 3


def test_too_few_places_say_who_and_which_last_days_and_exit_one(march):
    code, answer = march.ask("second", "assign", "--places", "2026-03-04=2", *BY)

    assert code == 1
    assert answer["data"]["without_place"] == [
        {"person": "DEMO-000003", "late_after": "2026-03-18"}
    ]
    assert answer["data"]["promises_not_kept"] == [{"late_after": "2026-03-18", "people": 1}]


def test_a_snow_day_is_moved_in_one_act_and_undone_as_one(march, tmp_path):
    _book(march, tmp_path)
    words = ("--from", "2026-03-04", "--closed", "quillbeck", "--places", "2026-03-07=2")

    _, answer = march.ask("second", "move", *words, "--places", "2026-03-09=5", *BY)
    moved = [row["slot"] for row in answer["data"]["sites"][0]["places"]]
    march.run("journal", "undo", str(answer["data"]["sites"][0]["seq"]), "--why", "thaw", *BY)

    assert [slot[:16] for slot in moved] == [
        "2026-03-07T09:00",
        "2026-03-07T09:10",
        "2026-03-09T09:20",
    ]
    _, listed = march.ask("booking", "list")
    assert {row["day"] for row in listed["data"]["bookings"]} == {"2026-03-04"}


def test_a_moved_person_is_on_the_new_days_list_with_their_language(march, tmp_path):
    _book(march, tmp_path)
    march.run("second", "move", "--from", "2026-03-04", "--places", "2026-03-07=9", *BY)

    _, old = march.ask("booking", "list", "--on", "2026-03-04")
    _, new = march.ask("booking", "list", "--on", "2026-03-07")

    assert old["data"]["bookings"] == []
    assert [row["language"] for row in new["data"]["bookings"]] == ["en", "es", None]


def test_a_move_says_whom_nobody_can_reach_and_what_changes_for_vials_and_staff(
    march, tmp_path
):
    _book(march, tmp_path)
    words = ("second", "move", "--from", "2026-03-04", "--places", "2026-03-07=9", *BY)

    code, out, _ = march.run(*words, "--dry-run")

    text = " ".join(out.split())
    assert code == 1
    assert "1 person with no phone or mail here: DEMO-000003" in text
    assert "quillbeck: up to 1 vial fewer to thaw" in text
    assert "it is not known who can work on the new days" in text


def test_the_call_list_of_a_move_is_a_table_with_phone_and_language(march, tmp_path):
    _book(march, tmp_path)
    words = ("second", "move", "--from", "2026-03-04", "--places", "2026-03-07=9", *BY)

    _, out, _ = march.run(*words, "--csv")

    assert out.splitlines()[2] == (
        "DEMO-000002,2026-03-07,09:10,2,quillbeck,Ben Marlow,5550102,es"
    )


def test_who_is_past_the_last_day_is_listed_with_phone_and_room_for_the_call(march, tmp_path):
    _book(march, tmp_path)
    march.clock("12:00", 19, 3)

    code, out, _ = march.run("second", "late", "--csv")

    assert code == 1
    assert out.splitlines()[:2] == [
        "person,first,days,late_after,booked,name,phone,language,attempts,result",
        "DEMO-000001,2026-02-04,43,2026-03-18,2026-03-04,Ada Marlow,5550101,en,,",
    ]


def test_a_missing_phone_of_somebody_late_is_said(march, tmp_path):
    _book(march, tmp_path)
    march.clock("12:00", 19, 3)

    _, answer = march.ask("second", "late")

    assert answer["not_known"] == ["contact of DEMO-000003"]
    assert answer["data"]["late"][2]["phone"] is None


def test_on_the_last_day_itself_nobody_is_late(march):
    march.clock("12:00", 18, 3)

    assert march.run("second", "late")[:2] == (
        0,
        "Nobody is past the last day of their window on 2026-03-18.\n",
    )


@pytest.mark.parametrize(
    ("words", "code", "says"),
    [
        (("--places", "2026-03-07"), 3, "quillbeck has on 2026-03-07 is not known"),
        (("--places", "2026-03-07="), 3, "not places on a day: '2026-03-07='"),
        (("--places", "2026-02-30=5"), 3, "not a date: '2026-02-30'"),
        (("--places", "2026-03-07=5", "--places", "2026-03-07=6"), 3, "named twice"),
        (("--places", "oddmoor:2026-03-07=5"), 3, "places at oddmoor, not one of quillbeck"),
        ((), 3, "no day has places"),
        (("--places", "2026-03-07=5", "--otherwise", "25:00"), 3, "not a time of day: '25:00'"),
    ],
    ids=["no count", "half", "no such day", "twice", "another site", "none", "no such time"],
)
def test_places_that_cannot_be_are_refused_by_their_value(march, words, code, says):
    found, answer = march.ask("second", "assign", *words, *BY)

    assert (found, answer["ok"]) == (code, False)
    assert says in answer["error"]["says"]


def test_a_site_named_in_two_ways_is_refused(march):
    words = ("--from", "2026-03-04", "--closed", "quillbeck", "--site", "quillbeck")

    code, answer = march.ask("second", "move", *words, "--places", "2026-03-07=5", *BY)

    assert (code, answer["error"]["says"]) == (2, "sites are named twice")


def test_reminders_are_listed_in_each_persons_language_and_the_spanish_is_a_draft(
    march, tmp_path
):
    _book(march, tmp_path)

    code, answer = march.ask("second", "remind", "--on", "2026-03-04")

    ada, ben, cleo = answer["data"]["reminders"]
    assert code == 1  # Cleo has no phone
    assert (ada["language"], ben["language"], cleo["language"]) == ("en", "es", "en")
    assert "miércoles 4 de marzo de 2026 a las 9:10 am" in ben["text"]
    assert answer["not_known"] == ["language of DEMO-000003"]
    assert {"draft-words", "not-reachable"} == {each["code"] for each in answer["alerts"]}


def test_an_appointment_is_written_for_a_calendar_and_moved_it_is_the_same_one(march, tmp_path):
    _book(march, tmp_path)
    files = [tmp_path / "before.ics", tmp_path / "after.ics"]

    march.run("export", "ics", "DEMO-000001", "--out", str(files[0]))
    march.run("second", "move", "--from", "2026-03-04", "--places", "2026-03-07=9", *BY)
    march.run("export", "ics", "DEMO-000001", "--out", str(files[1]))

    before, after = (file.read_bytes().decode().split("\r\n") for file in files)
    assert [line for line in before if line.startswith("UID:")] == [
        line for line in after if line.startswith("UID:")
    ]
    assert "DTSTART:20260304T150000Z" in before
    assert "DTSTART:20260307T150000Z" in after


@pytest.mark.parametrize(
    ("person", "out", "code", "says"),
    [
        ("DEMO-000001", "a.ics", 5, "DEMO-000001 has no place for a second dose"),
        ("DEMO-000077", "a.ics", 5, "no person DEMO-000077 here"),
    ],
)
def test_without_an_appointment_there_is_no_calendar_file(
    march, tmp_path, person, out, code, says
):
    found, answer = march.ask("export", "ics", person, "--out", str(tmp_path / out))

    assert (found, answer["error"]["says"]) == (code, says)
    assert not (tmp_path / out).exists()


def test_a_calendar_file_ends_in_ics_and_its_folder_is_there(march, tmp_path):
    _book(march, tmp_path)

    _, wrong = march.ask("export", "ics", "DEMO-000001", "--out", str(tmp_path / "a.txt"))
    _, nowhere = march.ask("export", "ics", "DEMO-000001", "--out", str(tmp_path / "no/a.ics"))

    assert "not a name for a calendar file" in wrong["error"]["says"]
    assert "No such file or directory" in nowhere["error"]["says"]


ONCE = ("--id", "01936b1e-0000-7000-8000-000000000001")


@pytest.mark.parametrize(
    "words",
    [
        ("second", "assign", "--places", "2026-03-04=9"),
        ("second", "move", "--from", "2026-03-04", "--places", "2026-03-07=9"),
    ],
    ids=["assign", "move"],
)
def test_asked_again_by_its_id_it_is_said_that_it_is_recorded(march, words):
    if "move" in words:
        march.run("second", "assign", "--places", "2026-03-04=9", *BY)
    march.run(*words, *BY, *ONCE)
    march.clock("18:05", 3, 3)

    code, again = march.ask(*words, *BY, *ONCE)

    assert (code, again["data"]["again"]) == (0, True)
    assert len(again["data"]["record"]["people"]) == 3


def test_an_error_at_the_second_site_says_that_the_first_was_moved(march, monkeypatch):
    march.run("second", "assign", "--places", "2026-03-04=9", *BY)
    march.run("site", "new", "oddmoor", "--zone", "America/Chicago")
    march.run("site", "pin", "Bryony Testwick", "284651", "--site", "oddmoor")
    second = ("--countersign", "Bryony Testwick", "--pin", "284651")
    march.run("protocol", "adopt", "example-10-v2", *second, *BY, "--site", "oddmoor")
    real = second_places.move_places

    def busy(site, doing, left, places):
        if site.name == "oddmoor" and not doing.dry_run:
            raise BusyError("another program holds the ledger; nothing was recorded")
        return real(site, doing, left, places)

    monkeypatch.setattr(second_places, "move_places", busy)
    words = ("second", "move", "--from", "2026-03-04", "--places", "2026-03-07=9")
    code, answer = march.ask(*words, "--closed", "quillbeck", "--closed", "oddmoor", *BY)

    assert (code, answer["error"]["try"]) == (6, "moved already: quillbeck.")
