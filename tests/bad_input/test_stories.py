"""A story that cannot be right: what is said, the exit code, and never a wrong "usable"."""

import json

import pytest

from thawline.cli import main

AT = "2026-02-03T12:00:00-06:00"
STORY = {
    "lot": "ZZ-1041",
    "expiry": "2026-08",
    "zone": "America/Chicago",
    "events": [
        {"at": "2026-02-03T04:00:00-06:00", "what": "to-fridge"},
        {"at": "2026-02-03T06:35:00-06:00", "what": "to-table"},
        {"at": "2026-02-03T07:02:00-06:00", "what": "open"},
    ],
}


@pytest.fixture
def reckon(tmp_path, capsys):
    def answered(raw, at=AT):
        path = tmp_path / "story.json"
        path.write_bytes(raw if isinstance(raw, bytes) else json.dumps(raw).encode())
        words = ["vial", "reckon", str(path), "--at", at, "--protocol", "example-10-v2"]
        code = main([*words, "--json"])
        return code, json.loads(capsys.readouterr().out)

    return answered


def with_events(*events):
    return {**STORY, "events": [*STORY["events"], *events]}


def event(clock, what, **more):
    return {"at": f"2026-02-03T{clock}:00-06:00", "what": what, **more}


def test_the_story_itself_is_in_order(reckon):
    assert reckon(STORY)[0] == 0


@pytest.mark.parametrize(
    ("raw", "says"),
    [
        (b"", "not JSON"),
        (b"not json", "not JSON"),
        (b"[]", "not a JSON object"),
        (b"3", "not a JSON object"),
        (b"\xff\xfe{}", "not UTF-8 text"),
        (b'{"lot": NaN}', "NaN is not a number"),
        (b'{"lot": -Infinity}', "-Infinity is not a number"),
        (b'{"lot": "A", "lot": "B"}', "'lot' is written twice"),
        (b"[" * 200_000, "not JSON"),
        (b'{"a":' * 100_000, "not JSON"),
        (b'{"lot": "' + b"A" * 10_000_000 + b'"}', "longer than 4,000,000 bytes"),
        (b'{"lot": ' + b"9" * 5_000 + b"}", "not JSON"),
    ],
    ids=[
        *("empty", "no JSON", "a list", "a number", "not UTF-8", "NaN", "Infinity", "twice"),
        *("deep lists", "deep objects", "a line of 10 MB", "an endless number"),
    ],
)
def test_what_is_no_story_is_said_and_exits_3(reckon, raw, says):
    code, answer = reckon(raw)

    assert (code, answer["data"]) == (3, None)
    assert says in answer["error"]["says"]


def test_a_byte_order_mark_is_no_mistake(reckon):
    assert reckon(b"\xef\xbb\xbf" + json.dumps(STORY).encode())[0] == 0


@pytest.mark.parametrize(
    ("changed", "code", "says"),
    [
        ({"zone": "Chicago"}, "unknown-zone", "unknown time zone: 'Chicago'"),
        ({"expiry": "08/2026"}, "record", "not an expiry: '08/2026'"),
        ({"expiry": "9999-12"}, "record", "the year 9999"),
        ({"colour": "blue"}, "record", "unknown 'colour'"),
        ({"events": None}, "record", "expected list, found None"),
        (
            {"events": [{"at": "2026-02-03T04:00:00", "what": "open"}]},
            "naive-time",
            "without an offset from UTC: '2026-02-03T04:00:00'",
        ),
        (
            {"events": [{"at": "2026-02-03 at four", "what": "open"}]},
            "record",
            "not a time: '2026-02-03 at four'",
        ),
        (
            {"events": [{"at": "9999-12-31T23:59:59-12:00", "what": "open"}]},
            "record",
            "the year 9999",
        ),
        ({"events": [event("04:00", "opened")]}, "record", "unknown 'what': 'opened'"),
        ({"events": [event("04:00", "draw", doses=1e3)]}, "record", "not a whole number"),
        ({"events": [event("04:00", "to-table", room_c="1e999999999")]}, "record", "room_c"),
    ],
)
def test_what_cannot_be_a_fact_names_the_value_and_exits_3(reckon, changed, code, says):
    exit_code, answer = reckon({**STORY, **changed})

    assert (exit_code, answer["error"]["code"]) == (3, code)
    assert says in answer["error"]["says"]


def test_half_a_character_in_a_name_is_printed_all_the_same(reckon):
    story = with_events(event("07:30", "transport-start", by="\ud800"))

    code, answer = reckon(story)

    assert (code, answer["data"]["usable"]) == (1, False)


@pytest.mark.parametrize(
    ("events", "code"),
    [
        ([event("07:30", "open")], "opened-twice"),
        ([event("07:30", "draw", doses=12)], "too-many-doses"),
        ([event("07:30", "discard"), event("07:40", "draw", doses=1)], "after-discard"),
    ],
)
def test_facts_that_break_a_rule_are_answered_with_data(reckon, events, code):
    _, answer = reckon(with_events(*events))

    assert answer["data"]["state"] in ("open", "discarded")
    assert code in [alert["code"] for alert in answer["alerts"]]


@pytest.mark.parametrize(
    "events",
    [
        [event("03:00", "open")],
        [event("04:00", "to-fridge"), event("03:00", "open")],
        [event("03:00", "draw", doses=1), event("04:00", "to-fridge")],
        [event("05:00", "open"), event("04:00", "to-fridge"), event("08:00", "to-table")],
    ],
)
def test_opened_before_it_left_the_freezer_or_was_thawed_is_never_usable(reckon, events):
    code, answer = reckon({**STORY, "events": events})

    assert (code, answer["data"]["usable"]) == (1, False)
    assert "opened-while-thawing" in [alert["code"] for alert in answer["alerts"]]


@pytest.mark.parametrize(
    ("at", "says"),
    [
        ("2026-02-03T12:00", "without an offset"),
        ("12:00", "not a time"),
        ("0001-01-01T00:00:00+14:00", "the year 1"),
        ("never", "not a time: 'never'"),
    ],
)
def test_the_moment_asked_about_has_an_offset_and_a_year(reckon, at, says):
    code, answer = reckon(STORY, at)

    assert (code, says in answer["error"]["says"]) == (3, True)


def test_a_story_that_is_not_there_exits_5(capsys, tmp_path):
    code = main(["vial", "reckon", str(tmp_path / "no.json"), "--at", AT])

    assert (code, "No such file" in capsys.readouterr().err) == (5, True)


def test_a_folder_is_no_story(capsys, tmp_path):
    code = main(["vial", "reckon", str(tmp_path), "--at", AT])

    assert (code, "Is a directory" in capsys.readouterr().err) == (5, True)


def test_an_unknown_protocol_exits_5_and_names_the_nearest(capsys, tmp_path):
    path = tmp_path / "story.json"
    path.write_text(json.dumps(STORY))

    code = main(["vial", "reckon", str(path), "--at", AT, "--protocol", "example-11"])

    err = capsys.readouterr().err
    assert (code, "did you mean example-10?" in err) == (5, True)
