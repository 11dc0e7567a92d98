"""`thawline protocol`: what a person or a program reads, and the exit code."""

import csv
import hashlib
import io
import json

import pytest

from thawline.adapters import rule_files
from thawline.cli import main

V2 = rule_files.shipped("example-10-v2")


@pytest.fixture
def home(tmp_path):
    """A folder without any site."""
    return str(tmp_path / "home")


@pytest.fixture
def ours(tmp_path):
    """A protocol file of one's own: version 2 of the made-up example."""
    path = tmp_path / "ours.toml"
    path.write_bytes(V2)
    return path


def _ask(capsys, *words):
    code = main(["protocol", *map(str, words), "--json"])
    return code, json.loads(capsys.readouterr().out)


def _changed(path, old, new):
    raw = path.read_bytes()
    assert old in raw
    path.write_bytes(raw.replace(old, new, 1))
    return path


def test_a_check_answers_with_the_keys_of_the_contract(capsys, ours):
    code, answer = _ask(capsys, "check", ours)

    assert code == 0
    assert list(answer["data"]) == [
        "id", "version", "effective_from", "sha256", "figures", "findings",
    ]  # fmt: skip
    assert (answer["data"]["id"], answer["data"]["version"]) == ("example-10", 2)
    assert answer["data"]["effective_from"] == "2026-02-02T06:00:00-06:00"
    assert answer["data"]["sha256"] == hashlib.sha256(V2).hexdigest()
    assert answer["protocol"]["sha256"] == answer["data"]["sha256"]


def test_a_dose_of_5_ml_for_0_5_ml_is_refused(capsys):
    code, answer = _ask(capsys, "check", "example-10-v3-draft")

    stops = [f for f in answer["data"]["findings"] if f["level"] == "stop"]
    assert (code, answer["ok"], answer["error"]["code"]) == (1, False, "findings")
    assert [(f["code"], f["item"], f["value"], f["unit"]) for f in stops] == [
        ("volume-sum", "D2", 5, "mL"),
        ("differs-from-source", "D2", 5, "mL"),
    ]
    assert stops[0]["says"].startswith("line 13: 10 doses of 5 mL")
    assert set(stops[0]) == {"code", "item", "level", "says", "value", "unit"}


@pytest.mark.parametrize(
    ("old", "new", "code"),
    [
        (b"low_f = -58", b"low_f = 58", "sign"),
        (b"low_f = -58", b"low_f = -50", "unit-slip"),
        (b"high_f = 5", b"high_f = -5", "unit-mismatch"),
        (b"low_c = 2\nhigh_c = 8", b"low_c = 36\nhigh_c = 46", "probably-fahrenheit"),
        (b"low_c = 2\nhigh_c = 8", b"low_c = 8\nhigh_c = 2", "reversed"),
        (b'"PT6H"', b'"PT13H"', "differs-from-source"),
        (b'source = "demo"\n', b"", "missing-source"),
        (b'"PT2H30M"', b'"2.30 h"', "ambiguous-duration"),
        (b"high_c = 8\nlow_f", b"high_c = 12\nlow_f", "overlap"),
        (b"low_c = 8\nhigh_c = 25", b"low_c = 10\nhigh_c = 25", "gap"),
        (b"value = 0.5,", b"value = 0.05,", "volume-sum"),
        (b'item = "C4"\n', b"", "missing-item"),
        (b"low_c = 2\n", b"low_c = nan\n", "wrong-value"),
        (b"version = 2\n", b"verzion = 2\n", "unknown-key"),
        (b"{clocks.open.allows}", b"8 h", "text-differs"),
    ],
)
def test_each_slip_is_found_and_makes_the_exit_code_1(capsys, ours, old, new, code):
    exit_code, answer = _ask(capsys, "check", _changed(ours, old, new))

    assert code in [finding["code"] for finding in answer["data"]["findings"]]
    assert exit_code == 1


def test_an_old_rounding_is_said_and_the_exit_code_stays_0(capsys, ours):
    code, answer = _ask(capsys, "check", _changed(ours, b"low_f = 36", b"low_f = 35"))

    assert code == 0
    assert "legacy-rounding" in [finding["code"] for finding in answer["data"]["findings"]]


def test_a_unit_kept_at_3_to_7_celsius_stops_nobody(capsys, ours):
    narrower = b"low_c = 3\nhigh_c = 7\nlow_f = 37\nhigh_f = 45"
    old = b"low_c = 2\nhigh_c = 8\nlow_f = 36\nhigh_f = 46"

    code, answer = _ask(capsys, "check", _changed(ours, old, narrower))

    assert code == 0
    assert {finding["level"] for finding in answer["data"]["findings"]} == {"check"}


@pytest.mark.parametrize(
    "raw",
    [b"a = [", b"\xff\xfe", b"x" * 10_000_000, b"a = " + b"[" * 10_000],
    ids=["not TOML", "not UTF-8", "10 MB", "deep"],
)
def test_a_file_that_cannot_be_looked_at_is_exit_3(capsys, ours, raw):
    ours.write_bytes(raw)

    code, answer = _ask(capsys, "check", ours)

    assert (code, answer["error"]["code"], answer["data"]) == (3, "rule-file", None)


def test_every_other_command_refuses_a_faulty_file_with_its_line(capsys, ours):
    _changed(ours, b'item = "C4"\n', b"")

    for words in (
        ["show", ours],
        ["units", ours],
        ["diff", "example-10-v1", ours],
        ["sign", ours],
    ):
        code, answer = _ask(capsys, *words)

        assert (code, answer["error"]["says"]) == (3, "line 54: missing: clocks.open.item")


def test_what_is_not_known_of_a_faulty_file_is_null_and_listed(capsys, ours):
    code, answer = _ask(capsys, "check", _changed(ours, b"version = 2\n", b""))

    assert (code, answer["data"]["version"], answer["protocol"]) == (1, None, None)
    assert answer["not_known"] == ["version"]


def test_a_file_that_is_not_there_is_exit_5_with_the_likely_name(capsys):
    code, answer = _ask(capsys, "check", "exampel-10-v2")

    assert (code, answer["error"]["try"]) == (5, "did you mean example-10-v2?")


def test_a_shipped_file_can_be_printed_to_start_ones_own_from(capsys):
    assert main(["protocol", "show", "example-10-v2", "--toml"]) == 0

    assert capsys.readouterr().out.encode() == V2


def test_a_protocol_is_shown_in_sentences_with_item_and_source(capsys):
    code = main(["protocol", "show", "published-2022"])
    shown = capsys.readouterr().out

    assert code == 0
    assert "C4   Open: 12 h from opening; nothing stops it. [provider-page-2022]" in shown
    assert "[label-2021-04] from memory, verify: label of the product, April 2021" in shown
    assert "current package insert" in shown


def test_every_figure_is_shown_in_both_units_beside_the_published_one(capsys):
    main(["protocol", "units", "example-10-v2", "--csv"])

    rows = list(csv.reader(io.StringIO(capsys.readouterr().out)))

    assert rows[0] == ["item", "figure", "the same", "published", "edition", "key"]
    assert ["D2", "0.5 mL", "500 µL", "0.5 mL", "2022", "product.dose_volume_ml.value"] in rows
    assert ["C2", "PT12H", "12 h = 720 min", "PT24H", "2022", "clocks.room.allows"] in rows


def test_a_comparison_answers_with_the_keys_of_the_contract(capsys):
    code, answer = _ask(capsys, "diff", "example-10-v3", "example-10-v4")

    assert code == 0
    assert answer["data"] == {
        "changed": [
            {"item": "C2", "before": "PT12H", "after": "PT10H", "kind": "shorter"},
            {"item": "C4", "before": "PT6H", "after": "PT7H", "kind": "longer"},
        ],
        "vials": [],
        "brief_again": [
            {"role": role, "items": ["C2", "C4"]}
            for role in ("preparer", "vaccinator", "runner", "vaccine coordinator", "trainer")
        ],
    }


STORY = {
    "lot": "ZZ-1041",
    "expiry": "2026-08",
    "zone": "America/Chicago",
    "events": [
        {"at": "2026-02-04T14:00:00-06:00", "what": "to-fridge"},
        {"at": "2026-02-04T19:00:00-06:00", "what": "to-table"},
    ],
}


@pytest.mark.parametrize(
    "written", [[STORY], {"stories": [STORY]}, STORY], ids=["a list", "an object", "one story"]
)
def test_vials_under_way_are_named_with_what_moves(capsys, tmp_path, written):
    stories = tmp_path / "vials.json"
    stories.write_text(json.dumps(written))

    _, answer = _ask(capsys, "diff", "example-10-v3", "example-10-v4", "--stories", stories)

    (vial,) = answer["data"]["vials"]
    assert vial["vial"] == "story 1"
    assert vial["use_by_before"] == "2026-02-05T07:00:00-06:00"
    assert vial["use_by_after"] == "2026-02-05T05:00:00-06:00"
    assert vial["usable_now"] is False
    assert vial["reason"].startswith("not usable any more")


def test_vials_are_looked_at_at_the_moment_that_is_asked_about(capsys, tmp_path):
    stories = tmp_path / "vials.json"
    stories.write_text(json.dumps([{"vial": "HK47M", **STORY}]))
    at = "2026-02-05T04:59:59-06:00"

    _, answer = _ask(
        capsys, "diff", "example-10-v3", "example-10-v4", "--stories", stories, "--at", at
    )

    (vial,) = answer["data"]["vials"]
    assert (vial["vial"], vial["usable_now"], vial["reason"]) == (
        "HK47M",
        True,
        "shorter by item C2",
    )


def test_a_use_by_that_nobody_knows_is_null_and_listed(capsys, tmp_path):
    stories = tmp_path / "vials.json"
    arrived = {"at": "2026-02-04T14:00:00-06:00", "what": "arrive", "as": "chilled"}
    stories.write_text(json.dumps([{**STORY, "events": [arrived]}]))

    _, answer = _ask(capsys, "diff", "example-10-v3", "example-10-v4", "--stories", stories)

    assert answer["data"]["vials"][0]["use_by_after"] is None
    assert answer["not_known"] == ["use_by_after"]


@pytest.mark.parametrize("written", ["[1]", "7", "{", '{"stories": 1}'])
def test_stories_that_are_none_are_exit_3(capsys, tmp_path, written):
    stories = tmp_path / "vials.json"
    stories.write_text(written)

    code, _ = _ask(capsys, "diff", "example-10-v3", "example-10-v4", "--stories", stories)

    assert code == 3


def test_a_comparison_is_printed_for_people(capsys, tmp_path):
    stories = tmp_path / "vials.json"
    stories.write_text(json.dumps([{"vial": "HK47M", **STORY}]))
    main(["protocol", "diff", "example-10-v3", "example-10-v4", "--stories", str(stories)])

    shown = capsys.readouterr().out

    assert "C2    shorter  PT12H   PT10H" in shown
    assert "HK47M: use by Thu 5 Feb 05:00 (was Thu 5 Feb 07:00), not usable" in shown
    assert "Brief again: preparer (C2, C4); vaccinator (C2, C4)" in shown
    assert max(map(len, shown.splitlines())) <= 100


def test_a_signed_file_is_checked_and_a_changed_byte_is_found(capsys, home, ours):
    signed, answer = _ask(capsys, "sign", ours, "--home", home)
    clean, _ = _ask(capsys, "check", ours, "--home", home)
    _changed(ours, b'"PT6H"', b'"PT5H"')
    changed, found = _ask(capsys, "check", ours, "--home", home)
    refused, _ = _ask(capsys, "show", ours, "--home", home)

    assert (signed, clean, changed, refused) == (0, 0, 1, 3)
    assert answer["data"]["signature"] == f"{ours}.sig"
    assert found["data"]["findings"][0]["code"] == "signature"


def test_a_stranger_s_signature_is_said_and_stops_nobody(capsys, home, ours, tmp_path):
    _ask(capsys, "sign", ours, "--home", home)

    code, answer = _ask(capsys, "check", ours, "--home", tmp_path / "elsewhere")

    assert code == 0
    assert answer["data"]["findings"][0]["code"] == "signature"


def test_a_file_with_something_to_answer_is_neither_signed_nor_adopted(capsys, home, ours):
    main(["site", "new", "harrowmint", "--zone", "America/Chicago", "--home", home])
    capsys.readouterr()
    _changed(ours, b"value = 0.5,", b"value = 5,")

    signed, _ = _ask(capsys, "sign", ours, "--home", home)
    adopted, answer = _ask(capsys, "adopt", ours, "--by", "Rowan Thistle", "--home", home)

    assert (signed, adopted) == (4, 4)
    assert "volume-sum" in [alert["code"] for alert in answer["alerts"]]
    assert not ours.with_name("ours.toml.sig").exists()


def test_a_protocol_is_adopted_with_its_exact_bytes(capsys, home, ours, tmp_path):
    main(["site", "new", "harrowmint", "--zone", "America/Chicago", "--home", home])
    capsys.readouterr()
    by = ["--by", "Rowan Thistle", "--home", home]

    dry, _ = _ask(capsys, "adopt", ours, *by, "--dry-run")
    nothing_kept = list(tmp_path.glob("home/sites/harrowmint/protocols/*"))
    code, answer = _ask(capsys, "adopt", ours, *by)

    (kept,) = tmp_path.glob("home/sites/harrowmint/protocols/*.toml")
    assert (dry, code, nothing_kept) == (0, 0, [])
    assert kept.read_bytes() == V2
    assert answer["data"]["effective_from"] == "2026-02-02T06:00:00-06:00"
