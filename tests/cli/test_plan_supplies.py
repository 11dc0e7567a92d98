"""`thawline plan supplies`: what a person or a program reads, and the exit code."""

import json

import pytest

from thawline.cli import main

COUNT = """
counted_at = "2026-02-03 06:40"
counted_by = "Rowan Thistle"

[[supplies]]
name = "needles 1 in"
kind = "needle"
on_hand = {needles}

[[supplies]]
name = "epinephrine 1 mg/mL"
kind = "epinephrine"
on_hand = 6
"""


@pytest.fixture
def ask(capsys, tmp_path):
    """Return what asks for 100 doses, with a count of supplies in a file."""

    def asked(count, *words):
        file = tmp_path / "count.toml"
        file.write_text(count)
        told = ["--doses", "100", "--vials", "10", "--stock", str(file), *words]
        return main(["plan", "supplies", *told]), capsys.readouterr().out

    return asked


def test_need_stands_against_stock_with_its_source_and_what_nobody_counted(ask):
    code, said = ask(COUNT.format(needles=90), "--json")
    answer = json.loads(said)

    needles = answer["data"]["supplies"][0]
    assert code == 1
    assert (needles["need"], needles["on_hand"], needles["short"]) == (100, 90, 10)
    assert needles["source"] == "common practice"
    assert "diluent" in answer["not_known"]
    assert "supply-short" in {alert["code"] for alert in answer["alerts"]}


def test_the_printed_count_says_who_counted_and_a_question_mark_for_what_nobody_did(ask):
    _, said = ask(COUNT.format(needles=100))

    assert "Counted 2026-02-03 06:40, by: Rowan Thistle" in " ".join(said.split())
    assert "syringe" in said
    assert max(map(len, said.splitlines())) <= 100
    syringes = next(line for line in said.splitlines() if line.startswith("syringe"))
    assert syringes.split()[2:5] == ["100", "?", "?"]


@pytest.mark.parametrize(
    ("count", "says"),
    [
        ("", "no [[supplies]]"),
        ("[[supplies]", "cannot be read"),
        ('[[supplies]]\nname = "x"\nkind = "needle"\n', "row 1"),
        ('[[supplies]]\nname = "x"\nkind = "needle"\non_hand = -4\n', "on_hand is -4"),
        ('[[supplies]]\nname = "x"\nkind = "needle"\non_hand = true\n', "on_hand is True"),
        (
            '[[supplies]]\nname = "x"\nkind = "needle"\non_hand = 4\nshare = 2\n',
            "share is 2",
        ),
    ],
)
def test_a_count_that_cannot_be_read_exits_3_and_names_the_place(ask, count, says):
    code, said = ask(count, "--json")

    assert code == 3
    assert says in json.loads(said)["error"]["says"]


def test_a_count_that_names_nobody_says_so(ask):
    _, said = ask(COUNT.format(needles=100).replace("counted_by", "# by"), "--json")

    answer = json.loads(said)
    assert answer["data"]["counted_by"] is None
    assert answer["not_known"][0] == "counted_by"


def test_doses_without_vials_and_a_count_that_is_not_there_exit_3(tmp_path):
    none = ["--stock", str(tmp_path / "none.toml")]

    assert main(["plan", "supplies", "--doses", "9", *none]) == 3
    assert main(["plan", "supplies", "--doses", "9", "--vials", "1", *none]) == 3


def test_a_sites_count_lies_in_its_folder_and_its_bookings_make_the_need(capsys, tmp_path):
    home = ["--home", str(tmp_path / "home")]
    file = tmp_path / "tue.csv"
    rows = "".join(f"Ann {i},nurses,2026-02-03,09:00,1\n" for i in range(11))
    file.write_text("name,group,date,time,dose\n" + rows)
    main(["site", "new", "harrowmint", "--zone", "America/Chicago", *home])
    second = ["--countersign", "Bryony Testwick", "--pin", "284651", "--by", "Rowan Thistle"]
    main(["site", "pin", "Bryony Testwick", "284651", *home])
    main(["protocol", "adopt", "example-10-v2", *second, *home])
    main(["booking", "load", str(file), "--by", "Sorrel Kettlewick", *home])
    count = tmp_path / "home" / "sites" / "harrowmint" / "supplies.toml"
    count.write_text(COUNT.format(needles=11))
    capsys.readouterr()

    at = ["--on", "2026-02-03", "--at", "2026-02-02T16:00:00-06:00", "--no-show", "0"]
    main(["plan", "supplies", *at, *home, "--json"])
    answer = json.loads(capsys.readouterr().out)

    assert answer["data"]["doses"] == 11
    assert answer["data"]["supplies"][0]["short"] == 0
