"""`thawline journal`: what a person or a program reads, and the exit code."""

import json
import re
from pathlib import Path

import apsw
import pytest

from thawline.cli import main

PAGE = Path(__file__).parents[2] / "docs" / "reference" / "journal-answers.md"
BY = ["--by", "Hazel Rainmoor", "--why", "typed twice"]


@pytest.fixture
def home(tmp_path) -> str:
    """A site with a made-up protocol, where three doses elsewhere were typed in."""
    home = str(tmp_path)
    by = ["--by", "Rowan Thistle", "--home", home]
    main(["site", "new", "harrowmint", "--zone", "America/Chicago", "--home", home])
    main(["site", "pin", "Bryony Testwick", "284651", "--home", home])
    second = ["--countersign", "Bryony Testwick", "--pin", "284651"]
    main(["protocol", "adopt", "example-10-v2", *second, *by])
    for person, given in (("DEMO-000001", "2026-02-03"), ("DEMO-000002", "2026-02-04")):
        main(["dose", "told", person, given, *by])
    return home


def asked(capsys, home, *words):
    capsys.readouterr()
    code = main(["journal", *words, "--home", home])
    return code, capsys.readouterr()


def answered(capsys, home, *words):
    code, said = asked(capsys, home, *words, "--json")
    return code, json.loads(said.out)


def test_the_list_shows_what_was_recorded(capsys, home):
    code, said = asked(capsys, home, "list")

    lines = said.out.splitlines()
    assert code == 0
    assert lines[0].split() == ["entry", "when", "what", "whose", "by", "remark"]
    assert [line.split()[0] for line in lines[1:4]] == ["1", "2", "3"]
    assert "DEMO-000002" in lines[3]
    assert lines[4] == "3 entries"


def test_the_list_is_also_there_for_machines(capsys, home):
    code, answer = answered(capsys, home, "list", "--most", "1")

    (entry,) = answer["data"]["entries"]
    assert code == 0
    assert list(entry) == [
        *("seq", "id", "epoch", "kind", "event", "occurred_from", "occurred_to"),
        *("recorded_at", "by", "station", "device", "zone", "protocol", "findings"),
        *("values", "hash", "corrected_by_seq"),
    ]
    assert (entry["seq"], entry["event"]) == (3, "EarlierDoseTold")
    assert entry["values"]["person"] == "DEMO-000002"


@pytest.mark.parametrize("words", [["list"], ["show", "2"], ["verify"]], ids=lambda w: w[0])
def test_every_key_of_an_answer_is_on_its_page(capsys, home, words):
    data = answered(capsys, home, *words)[1]["data"]
    entries = [*data.get("entries", []), data.get("entry")] if words[0] != "verify" else []
    keys = {*data, *(key for entry in entries if entry for key in entry)}

    assert keys <= set(re.findall(r"\w+", PAGE.read_text()))


@pytest.mark.parametrize(
    ("filters", "numbers"),
    [
        (["--person", "DEMO-000001"], [2]),
        (["--kind", "correction"], []),
        (["--since", "2026-01-01"], [1, 2, 3]),
    ],
)
def test_the_list_is_narrowed(capsys, home, filters, numbers):
    code, answer = answered(capsys, home, "list", *filters)

    assert code == 0
    assert [entry["seq"] for entry in answer["data"]["entries"]] == numbers


def test_one_entry_is_shown(capsys, home):
    code, answer = answered(capsys, home, "show", "2")

    assert code == 0
    assert answer["data"]["entry"]["values"]["given_on"] == "2026-02-03"
    assert (answer["data"]["counts"], answer["data"]["correction"]) == (True, None)


def test_an_entry_that_is_not_there_is_said(capsys, home):
    code, said = asked(capsys, home, "show", "99")

    assert (code, said.out) == (5, "")
    assert said.err == "No entry 99 here\nTry: thawline journal list\n"


def test_an_entry_is_undone_and_stays_in_the_journal(capsys, home):
    code, said = asked(capsys, home, "undo", "3", *BY)
    assert (code, said.out) == (0, "entry 3 is undone\n")

    _, page = asked(capsys, home, "show", "3")
    assert "By entry 4 of Hazel Rainmoor it counts as not having happened" in page.out
    _, answer = answered(capsys, home, "list", "--person", "DEMO-000002")
    assert [entry["corrected_by_seq"] for entry in answer["data"]["entries"]] == [4, None]


def test_an_entry_is_corrected_and_shows_both(capsys, home):
    code, answer = answered(
        capsys,
        home,
        "correct",
        "3",
        "--set",
        "given_on=2026-02-05",
        "--set",
        "lot=ZZ-1041",
        *BY,
    )
    assert (code, answer["data"]["recorded"], answer["data"]["seq"]) == (0, True, 4)

    _, shown = answered(capsys, home, "show", "3")
    assert shown["data"]["entry"]["values"]["given_on"] == "2026-02-04"
    assert shown["data"]["counts_as"]["values"]["given_on"] == "2026-02-05"
    assert shown["data"]["correction"]["values"]["why"] == "typed twice"


def test_a_corrected_time_is_typed_as_people_do(capsys, home):
    asked(capsys, home, "correct", "3", "--set", "at=2026-02-03T10:04", *BY)

    _, shown = answered(capsys, home, "show", "3")

    assert shown["data"]["counts_as"]["occurred_from"] == "2026-02-03T10:04:00-06:00"
    assert shown["data"]["counts_as"]["occurred_to"] == "2026-02-03T10:04:00-06:00"


def test_a_time_that_is_not_known_exactly_has_two_ends(capsys, home):
    times = ["--set", "at=2026-02-03T10:04", "--set", "until=2026-02-03T10:20"]
    asked(capsys, home, "correct", "3", *times, *BY)

    _, page = asked(capsys, home, "show", "3")

    assert (
        "happened between 2026-02-03T10:04:00-06:00 and 2026-02-03T10:20:00-06:00" in page.out
    )


@pytest.mark.parametrize(
    ("words", "code", "says"),
    [
        (["--set", "given_on"], 3, "Not a field and its value: 'given_on'"),
        (["--set", "until=10:20"], 2, "Until when, but from when?"),
        (["--set", "colour=blue"], 3, "EarlierDoseTold has no 'colour'"),
        ([], 3, "Entry 3 says so already"),
    ],
)
def test_a_correction_that_makes_no_sense_says_so(capsys, home, words, code, says):
    found, said = asked(capsys, home, "correct", "3", *words, *BY)

    assert (found, said.err.splitlines()[0]) == (code, says)


def test_an_act_asked_again_with_its_id_is_recorded_once(capsys, home):
    again = ["undo", "3", *BY, "--id", "019c2a41-7c1e-7d3a-9a55-0c2f5d1a7b10"]
    moment = ["--at", "2026-02-03T12:00:00-06:00"]
    first = answered(capsys, home, *again, *moment)[1]["data"]

    second = answered(capsys, home, *again, *moment)[1]["data"]

    assert (first["seq"], second["seq"], second["again"]) == (4, 4, True)
    assert first["hash"] == second["hash"]


def test_verifying_says_how_many_entries_and_where_the_head_is(capsys, home):
    code, answer = answered(capsys, home, "verify")

    data = answer["data"]
    assert (code, data["in_order"], data["entries"], data["seq"]) == (0, True, 3, 3)
    assert data["short"].replace(" ", "") == data["head"][:16]
    code, said = asked(capsys, home, "verify")
    assert said.out.splitlines()[:2] == [
        "3 entries, all as they were written.",
        f"Head 3 of epoch 1: {data['short']}",
    ]


def test_damage_is_found_and_says_which_entry(capsys, home, tmp_path):
    file = tmp_path / "sites" / "harrowmint" / "ledger.db"
    connection = apsw.Connection(str(file))
    connection.execute("DROP TRIGGER event_stays")
    connection.execute("UPDATE event SET body = x'7b7d' WHERE seq = 2")
    connection.close()

    code, answer = answered(capsys, home, "verify")

    assert (code, answer["ok"], answer["data"]["in_order"]) == (1, False, False)
    assert "entry 2 is not as it was written" in [a["says"] for a in answer["alerts"]]
    assert answer["data"]["head"] is None
    assert "head" in answer["not_known"]
