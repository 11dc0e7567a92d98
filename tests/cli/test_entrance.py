"""The way in: shared options, exit codes, the envelope, and what is printed where."""

import io
import json
import sys
from datetime import UTC, datetime

import pytest
from tests.cast import HAZEL, ROWAN, codes

from thawline.base import errors
from thawline.base.findings import Finding, Level
from thawline.base.instants import instant, zone_named
from thawline.cli import entrance, main
from thawline.cli.answers import EXIT_CODES, Answer, envelope, trouble
from thawline.cli.asking import moment
from thawline.cli.entrance import read_shared
from thawline.cli.printing import Style, print_answer, without_controls
from thawline.cli.text import clock_time, counted, shortened, table, time_left
from thawline.rules.protocol import ProtocolRef

CHICAGO = zone_named("America/Chicago")
STOP = Finding(Level.STOP, "held", "shaken 13:31", "V1")
ACT = Finding(Level.ACT, "damaged", "one corner wet")
CHECK = Finding(Level.CHECK, "extra-dose", "an eleventh dose")
COLOURED = Style("text", quiet=False, colour=True)
PLAIN = Style("text", quiet=False, colour=False)


# --- shared options -----------------------------------------------------------------------


def test_shared_options_may_stand_anywhere():
    asked = read_shared(["--json", "vial", "--home", "/somewhere", "list", "--quiet"])

    assert (asked.words, asked.home) == (("vial", "list"), "/somewhere")
    assert asked.flags == {"--json", "--quiet"}


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        (["--temp-c", "-21.5"], ("--temp-c=-21.5",)),
        (["--band", "-50..-15"], ("--band=-50..-15",)),
        (["--at", "-.5"], ("--at=-.5",)),
        (["-5"], ("-5",)),
        (["vial", "-5"], ("vial", "-5")),
        (["--x=1", "-5"], ("--x=1", "-5")),
        (["-h"], ("-h",)),
        (["-"], ("-",)),
    ],
)
def test_a_value_that_starts_with_a_minus_belongs_to_the_option_before(typed, words):
    assert read_shared(typed).words == words


@pytest.mark.parametrize("typed", [["--home=/x"], ["--home", "/x"]])
def test_the_home_folder_is_read_in_both_spellings(typed):
    assert read_shared(typed).home == "/x"


def test_a_home_without_a_folder_is_left_to_the_command_to_refuse(capsys):
    assert main(["vial", "list", "--home"]) == 2
    assert "--home" in capsys.readouterr().err


# --- exit codes and the envelope ----------------------------------------------------------


def _kinds(kind=errors.ThawlineError):
    return [kind, *(below for each in kind.__subclasses__() for below in _kinds(each))]


def test_every_trouble_has_an_exit_code_of_the_list():
    assert {kind.code for kind in _kinds()} == set(EXIT_CODES)
    assert set(EXIT_CODES.values()) <= {2, 3, 4, 5, 6, 7, 8, 70}


@pytest.mark.parametrize(
    ("error", "code"),
    [
        (errors.RuleError("no source", line=3), 3),
        (errors.RecordError("a naive time"), 3),
        (errors.ExchangeError("not CSV"), 3),
        (errors.RefusedError([STOP]), 4),
        (errors.NotFoundError("no vial"), 5),
        (errors.BusyError("somebody writes"), 6),
        (errors.SecondPersonError([STOP]), 7),
        (errors.IndeterminateError("disk"), 8),
    ],
)
def test_what_is_raised_becomes_its_exit_code(error, code):
    assert trouble(error).exit_code == code


def test_a_refusal_prints_all_its_findings_worst_first():
    told = trouble(errors.RefusedError([CHECK, STOP, ACT], advice="set it aside"))

    assert (codes(told.alerts), told.advice) == (
        ["held", "damaged", "extra-dose"],
        "set it aside",
    )


@pytest.mark.parametrize(
    ("alerts", "found", "code"),
    [
        ((), None, 0),
        ((CHECK,), None, 0),
        ((ACT,), None, 1),
        ((CHECK, STOP), None, 1),
        ((), True, 1),
        ((STOP,), False, 0),
    ],
)
def test_an_answer_with_something_to_respond_to_exits_1(alerts, found, code):
    assert Answer({}, "", alerts, found=found).exit_code == code


def test_the_envelope_has_its_keys_and_an_error_only_when_not_ok():
    ref = ProtocolRef("small", 1, "ab" * 32)

    fine = envelope(Answer({"a": 1}, "", protocol=ref))
    worrying = envelope(Answer({"a": None}, "", [STOP], not_known=["a"]))

    assert fine == {
        "ok": True,
        "data": {"a": 1},
        "alerts": [],
        "not_known": [],
        "protocol": {"id": "small", "version": 1, "sha256": "ab" * 32},
    }
    assert (worrying["ok"], worrying["protocol"], worrying["not_known"]) == (False, None, ["a"])
    assert worrying["error"] == {"code": "findings", "says": "shaken 13:31", "try": ""}


def test_an_answer_that_only_found_something_says_so():
    assert envelope(Answer({}, "", found=True))["error"]["says"] == "something was found"


@pytest.mark.parametrize(
    "words",
    [
        ["vial", "list", "--site", "nowhere"],
        ["vial", "open"],
        ["vail", "list"],
        ["vial", "reckon", "/no/such/file", "--at", "2026-02-03T12:00:00Z"],
        ["vial", "yield", "--fill-ul", "1", "--dose-ul", "0"],
        ["protocol", "check", "nothing-like-it"],
    ],
)
def test_every_trouble_is_one_json_object_with_the_envelopes_keys(words, capsys, tmp_path):
    code = main([*words, "--json", "--home", str(tmp_path)])

    told = json.loads(capsys.readouterr().out)
    assert list(told) == ["ok", "data", "alerts", "not_known", "protocol", "error"]
    assert (told["ok"], code > 1) == (False, True)
    assert list(told["error"]) == ["code", "says", "try"]


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["vail", "list"], 'Did you mean "vial"?'),
        (["vial", "opne"], 'Did you mean "open"?'),
        (["vial", "open", "HK47M", "--bye", "x"], "Did you mean --by?"),
        (["vial", "yield", "--fill-ul", "much", "--dose-ul", "500"], "much"),
        (["vial", "open"], "requires an argument"),
    ],
)
def test_wrong_usage_exits_2_and_says_where_to_look(words, says, capsys):
    code = main(words)

    err = capsys.readouterr().err
    assert (code, says in err) == (2, True)
    assert "Try: thawline " in err
    assert err.rstrip().endswith("--help")


def test_findings_are_no_failure_for_those_who_ask_for_exit_zero(clinic):
    (vial,) = clinic.vials()
    hold = ("vial", "hold", vial, "--why", "shaken", "--by", HAZEL)

    assert clinic.run(*hold, "--exit-zero")[0] == 0
    assert clinic.run("vial", "open", vial, "--by", HAZEL, "--exit-zero")[0] == 4


def test_an_internal_error_is_said_as_one_and_never_swallowed(monkeypatch, capsys):
    def broken(*_):
        raise ZeroDivisionError("made for the test")

    monkeypatch.setattr(entrance, "build_app", broken)

    assert main(["vial", "list", "--json"]) == 70
    said = capsys.readouterr()
    assert json.loads(said.out)["error"]["says"].startswith("internal error: ZeroDivisionError")
    assert "Traceback" in said.err


def test_an_interrupted_command_exits_130(monkeypatch, capsys):
    def stopped(*_):
        raise KeyboardInterrupt

    monkeypatch.setattr(entrance, "build_app", stopped)

    assert main(["vial", "list"]) == 130
    assert "nothing more was recorded" in capsys.readouterr().err


def test_a_file_that_cannot_be_written_is_said_by_its_name(monkeypatch, capsys):
    def full(*_):
        raise OSError(28, "No space left on device", "/somewhere/ledger.db")

    monkeypatch.setattr(entrance, "build_app", full)

    assert main(["vial", "list"]) == 3
    assert "/somewhere/ledger.db: No space left on device" in capsys.readouterr().err


# --- what is printed ----------------------------------------------------------------------


def test_alerts_come_first_with_bars_level_and_item(capsys):
    print_answer(Answer({}, "22 doses", [STOP, ACT, CHECK]), PLAIN)

    assert capsys.readouterr().out.splitlines() == [
        "||| Stop: shaken 13:31 (item V1)",
        "|| Act: one corner wet",
        "| Check: an eleventh dose",
        "22 doses",
    ]


def test_colour_never_replaces_the_words(capsys):
    print_answer(Answer({}, "", [STOP]), COLOURED)

    line = capsys.readouterr().out
    assert "||| Stop: shaken 13:31 (item V1)" in line
    assert line.startswith("\x1b[1;97;41m")
    assert line.endswith("\x1b[0m\n")


@pytest.mark.parametrize(
    ("flags", "form", "quiet", "colour"),
    [
        (set(), "text", False, True),
        ({"--json", "--csv"}, "json", False, True),
        ({"--csv"}, "csv", False, True),
        ({"--quiet"}, "text", True, True),
        ({"--plain"}, "text", False, False),
    ],
)
def test_the_flags_choose_how_to_print(flags, form, quiet, colour):
    assert Style.of(frozenset(flags), colour=True) == Style(form, quiet, colour)


def test_quiet_prints_nothing_and_keeps_the_exit_code(capsys):
    code = print_answer(Answer({}, "22 doses", [STOP]), Style("text", quiet=True, colour=False))

    assert (code, capsys.readouterr().out) == (1, "")


def test_a_table_for_a_spreadsheet_runs_no_formula(capsys):
    rows = [["why", "doses"], ["=2+5", -3], [" @x", 1], ["fine", 2]]

    print_answer(Answer({}, "", csv=rows), Style("csv", quiet=False, colour=False))

    assert capsys.readouterr().out.splitlines() == ["why,doses", "'=2+5,-3", "' @x,1", "fine,2"]


def test_an_answer_without_a_table_is_printed_as_text(capsys):
    print_answer(Answer({}, "22 doses"), Style("csv", quiet=False, colour=False))

    assert capsys.readouterr().out == "22 doses\n"


def test_nothing_a_person_typed_steers_the_terminal():
    assert (
        without_controls("shaken\x1b[2J\x07 twice\x9b\n")
        == r"shaken\x1b[2J\x07 twice\x9b" + "\n"
    )


def test_text_that_the_terminal_has_no_letters_for_is_spelled_out(clinic, monkeypatch):
    (vial,) = clinic.vials()
    clinic.run("vial", "hold", vial, "--why", "gefüllt", "--at", "05:00", "--by", HAZEL)
    raw = io.BytesIO()
    monkeypatch.setattr(sys, "stdout", io.TextIOWrapper(raw, encoding="ascii"))

    code = main(["vial", "show", vial, "--home", clinic.home])

    assert (code, b"gef\\xfcllt" in raw.getvalue()) == (1, True)


def test_the_result_goes_to_stdout_and_the_talk_to_stderr(clinic):
    _, out, err = clinic.run("vial", "show", "HK47M")

    assert out == ""
    assert err.splitlines()[0] == "No vial HK47M here"
    assert err.splitlines()[1].startswith("Try: ")


# --- tables and times ---------------------------------------------------------------------


def test_columns_are_aligned_and_times_stand_right():
    shown = table(["vial", "left"], [["HK47M", "4"], ["CM62T", "10"]], right=[1])

    assert shown.splitlines() == ["vial   left", "HK47M     4", "CM62T    10"]


def test_a_wide_table_is_shortened_in_the_middle_of_its_widest_column():
    shown = table(["vial", "why"], [["HK47M", "x" * 80 + "y" * 80]])

    assert {len(line) for line in shown.splitlines()[1:]} == {100}
    assert "x…y" in shown


@pytest.mark.parametrize(
    ("text", "width", "shown"), [("abcdef", 6, "abcdef"), ("abcdef", 5, "ab…ef")]
)
def test_text_is_shortened_in_the_middle(text, width, shown):
    assert shortened(text, width) == shown


@pytest.mark.parametrize(
    ("day", "shown"),
    [
        ((2026, 2, 3), "12:00"),
        ((2026, 2, 4), "Wed 4 Feb 12:00"),
        ((2027, 2, 3), "Wed 3 Feb 2027 12:00"),
    ],
)
def test_a_time_says_its_day_and_its_year_where_they_are_others(day, shown):
    noon = instant(datetime(*day, 18, tzinfo=UTC))

    assert clock_time(noon, CHICAGO, datetime(2026, 2, 3).date()) == shown


def test_what_there_is_none_of_is_a_dash():
    assert (clock_time(None, CHICAGO), time_left(None)) == ("-", "-")


@pytest.mark.parametrize(
    ("count", "says"), [(1, "1 dose"), (0, "0 doses"), (1920, "1,920 doses")]
)
def test_things_are_counted_in_words(count, says):
    assert counted(count, "dose") == says


# --- moments ------------------------------------------------------------------------------

NOW = instant(datetime(2026, 11, 1, 18, tzinfo=UTC))  # the day the clocks go back


@pytest.mark.parametrize(
    ("text", "utc"),
    [
        (None, "2026-11-01T18:00"),
        ("9:05", "2026-11-01T15:05"),
        ("2026-03-02", "2026-03-02T18:00"),
        ("2026-03-02T08:00", "2026-03-02T14:00"),
        ("2026-03-02T08:00:00+01:00", "2026-03-02T07:00"),
    ],
)
def test_a_moment_is_now_a_wall_clock_time_a_day_or_a_full_time(text, utc):
    assert moment(text, NOW, CHICAGO) == datetime.fromisoformat(f"{utc}+00:00")


@pytest.mark.parametrize("text", ["24:00", "12:60", "noon", "12", "2026-02-30", "12:00:00 pm"])
def test_what_is_no_moment_is_refused(text):
    with pytest.raises(errors.RecordError) as error:
        moment(text, NOW, CHICAGO)

    assert repr(text) in str(error.value)


@pytest.mark.parametrize(
    ("text", "says"),
    [("01:30", "exists twice"), ("2026-03-08T02:30", "does not exist")],
)
def test_an_hour_that_is_skipped_or_comes_twice_needs_its_offset(text, says):
    with pytest.raises(errors.LocalTimeError, match=says):
        moment(text, NOW, CHICAGO)


def test_the_hour_that_comes_twice_can_be_given_with_its_offset():
    assert moment("2026-11-01T01:30:00-06:00", NOW, CHICAGO) == datetime(
        2026, 11, 1, 7, 30, tzinfo=UTC
    )


# --- acts ---------------------------------------------------------------------------------

ID = "019bd000-0000-7000-8000-000000000001"


def test_an_act_that_has_not_come_yet_is_refused(clinic):
    (vial,) = clinic.ready()

    code, _, err = clinic.run("vial", "open", vial, "--at", "12:01", "--by", HAZEL)

    assert code == 3
    assert "2026-02-03T12:01:00-06:00 has not come yet; it is 2026-02-03T12:00:00-06:00" in err


def test_a_time_that_is_not_known_exactly_is_an_interval(clinic):
    (vial,) = clinic.ready()
    between = ("--at", "07:00", "--until", "07:20")

    code, _ = clinic.ask("vial", "open", vial, *between, "--by", HAZEL)

    shown = clinic.ask("vial", "show", vial, "--at", "08:00")[1]["data"]
    assert (code, shown["use_by"]) == (0, "2026-02-03T13:00:00-06:00")


def test_an_interval_that_ends_before_it_starts_is_refused(clinic):
    (vial,) = clinic.ready()
    backwards = ("--at", "07:20", "--until", "07:00")

    assert clinic.run("vial", "open", vial, *backwards, "--by", HAZEL)[0] == 3


def test_a_dry_run_prints_the_event_and_records_nothing(clinic):
    (vial,) = clinic.ready()
    before = clinic.ask("site", "show")[1]["data"]["sites"][0]["entries"]
    words = ("vial", "open", vial, "--at", "07:00", "--by", HAZEL, "--dry-run")

    code, out, _ = clinic.run(*words)
    _, answer = clinic.ask(*words)

    assert (code, out) == (0, f'Would record: 1 vial opened\nVialPunctured\n  vial: "{vial}"\n')
    assert (answer["data"]["recorded"], answer["data"]["record"]) == (False, {"vial": vial})
    assert clinic.ask("site", "show")[1]["data"]["sites"][0]["entries"] == before


def test_the_same_id_twice_records_once_also_minutes_later(clinic):
    (vial,) = clinic.ready()
    words = ("vial", "open", vial, "--by", HAZEL, "--id", ID)

    first = clinic.ask(*words)[1]["data"]
    clinic.clock("12:05")
    code, second = clinic.ask(*words)

    assert (code, second["data"]["again"], second["data"]["seq"]) == (0, True, first["seq"])
    assert clinic.run(*words)[1].startswith("Recorded before, nothing new: 1 vial opened")


def test_an_id_that_stands_for_another_act_is_refused(clinic):
    first, second = clinic.ready(2)
    clinic.run("vial", "open", first, "--by", HAZEL, "--id", ID)

    code, answer = clinic.ask("vial", "open", second, "--by", HAZEL, "--id", ID)

    assert (code, answer["error"]["code"]) == (4, "reused-id")
    assert ID in answer["error"]["says"]


def test_an_id_is_a_uuid(clinic):
    code, _, err = clinic.run("vial", "open", "HK47M", "--by", HAZEL, "--id", "seven")

    assert (code, "Not an id: 'seven'" in err) == (3, True)


def test_an_act_without_a_name_is_refused(clinic):
    (vial,) = clinic.ready()

    code, _, err = clinic.run("vial", "open", vial, "--at", "07:00")

    assert (code, "Try: add --by NAME" in err) == (2, True)


def test_another_folder_is_another_home(clinic, tmp_path, monkeypatch):
    monkeypatch.setenv("THAWLINE_HOME", str(tmp_path / "empty"))

    assert main(["site", "show", "--json"]) == 0
    assert clinic.ask("site", "show")[1]["data"]["sites"][0]["site"] == "harrowmint"
    assert clinic.run("vial", "list", "--site", "harrowmnt", "--by", ROWAN)[0] == 2
