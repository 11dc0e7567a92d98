"""Acts that cannot be meant: refused by name, with the exit code, and nothing is recorded."""

import pytest
from tests.cast import BRYONY, HAZEL, PINS, ROWAN

BY = ("--by", HAZEL)


@pytest.fixture
def entries(clinic):
    def count():
        (site,) = clinic.ask("site", "show", "--site", "harrowmint")[1]["data"]["sites"]
        return site["entries"]

    return count


def wrong_letter(code):
    """Return the code with another check letter."""
    return code[:4] + ("A" if code[4] != "A" else "C")


def test_a_code_with_a_wrong_letter_is_not_found_and_the_nearest_is_named(clinic, entries):
    (vial,) = clinic.ready()
    before = entries()

    code, _, err = clinic.run("vial", "open", wrong_letter(vial), *BY)

    assert (code, entries()) == (5, before)
    assert f"No vial {wrong_letter(vial)} here" in err
    assert f"Try: did you mean {vial}?" in err


@pytest.mark.parametrize(
    ("words", "code", "says"),
    [
        (("open", "{vial}", "--at", "12:01"), 3, "has not come yet"),
        (("open", "{vial}", "--at", "2027-01-01T00:00:00Z"), 3, "has not come yet"),
        (("open", "{vial}", "--at", "07:00", "--until", "12:01"), 3, "has not come yet"),
        (("open", "{vial}", "--at", "25:00"), 3, "not a time of day: '25:00'"),
        (("open", "{vial}", "--at", "yesterday"), 3, "not a time: 'yesterday'"),
        (("draw", "{vial}", "0"), 3, "1 or more: 0"),
        (("draw", "{vial}", "--doses", "-2"), 3, "1 or more: -2"),
        (("draw", "{vial}", "many"), 2, "many"),
        (("waste", "{vial}", "99", "--cause", "spilled"), 3, "holds 10 doses by the book"),
        (("waste", "{vial}", "1", "--cause", "bad-luck"), 3, "bad-luck"),
        (("to-table", "{vial}", "--room-c", "warm"), 2, "not a number: 'warm'"),
        (("to-table", "{vial}", "--room-c", "NaN"), 2, "not a number: 'NaN'"),
        (("to-table", "{vial}", "--room-c", "77"), 2, "between minus 100 and 60 °C: '77'"),
        (("to-table", "--lot", "ZZ-1041"), 3, "how many of lot ZZ-1041"),
        (("to-table", "{vial}", "--lot", "ZZ-1041", "--count", "1"), 3, "not both"),
        (("to-table",), 3, "no vial is named"),
        (("to-fridge", "--lot", "ZZ-1041", "--count", "501"), 3, "1 to 500: 501"),
        (("hold",), 2, "needs a reason"),
        (("hold", "--why", "shaken"), 3, "no vial is named"),
        (("send", "quillbeck", "--mode", "cart"), 3, "no vial is named"),
        (("receive", "ZZ-1041", "2026-08", "0"), 3, "1 or more: 0"),
        (("receive", "ZZ-1041", "2026-08", "-5"), 3, "1 or more: -5"),
        (("receive", "ZZ|1041", "2026-08", "5"), 3, "not a lot: 'ZZ|1041'"),
        (("receive", "ZZ-1041", "Aug 26", "5"), 3, "not an expiry: 'Aug 26'"),
        (("receive", "ZZ-1041", "2026-08", "5", "--temp-c", "NaN"), 2, "not a number"),
        (("arrive", "/no/such/note.json"), 5, "cannot read '/no/such/note.json'"),
    ],
)
def test_what_cannot_be_meant_is_said_and_not_recorded(clinic, entries, words, code, says):
    (vial,) = clinic.ready()
    before = entries()
    typed = [word.format(vial=vial) for word in words]

    exit_code, answer = clinic.ask("vial", *typed, *BY)

    assert (exit_code, entries()) == (code, before)
    assert says in answer["error"]["says"]


def test_an_act_dated_before_its_cause_is_refused(clinic):
    vial = clinic.opened()  # to the fridge 04:00, to the table 06:35, open 07:00

    before_thaw = clinic.run("vial", "open", vial, "--at", "03:00", *BY)
    before_open = clinic.run("vial", "draw", vial, "--at", "06:59", *BY)

    assert (before_thaw[0], before_open[0]) == (4, 4)
    assert "open it first" in before_open[1]


def test_a_hold_dated_before_the_vial_had_a_code_holds_it_all_the_same(clinic):
    vial = clinic.opened()

    clinic.run("vial", "hold", vial, "--why", "shaken", "--at", "03:00", *BY)

    assert clinic.ask("vial", "show", vial)[1]["data"]["usable"] is False


@pytest.mark.parametrize(
    ("day", "typed", "code", "says"),
    [
        ((8, 3), "2026-03-08T02:30", 3, "does not exist: 2026-03-08 02:30"),
        ((2, 11), "2026-11-01T01:30", 3, "exists twice: 2026-11-01 01:30"),
    ],
    ids=["the skipped hour", "the hour that comes twice"],
)
def test_an_hour_that_is_not_one_instant_is_refused(clinic, day, typed, code, says):
    clinic.clock("12:00", *day)

    exit_code, answer = clinic.ask("vial", "list", "--at", typed)

    assert (exit_code, answer["error"]["code"]) == (code, "local-time")
    assert says in answer["error"]["says"]


@pytest.mark.parametrize("pin", [("--pin", "000000"), ("--pin", PINS[ROWAN]), ("--pin", "")])
def test_a_wrong_pin_is_never_printed_and_releases_nothing(clinic, entries, pin):
    (vial,) = clinic.ready()
    clinic.run("vial", "hold", vial, "--why", "shaken", *BY)
    before = entries()

    words = ("vial", "release", vial, "--why", "ok", "--by", ROWAN, "--countersign", BRYONY)
    code, out, err = clinic.run(*words, *pin)

    assert (code, entries()) == (7, before)
    assert not pin[1] or pin[1] not in out + err


def test_a_reason_that_steers_the_terminal_is_spelled_out(clinic):
    (vial,) = clinic.ready()
    clinic.run("vial", "hold", vial, "--why", "shaken\x1b[2J", *BY)

    _, out, _ = clinic.run("vial", "show", vial)

    assert "\x1b" not in out
    assert r"shaken\x1b[2J" in out


@pytest.mark.parametrize("damaged", ["protocols", "ledger.db", "site.toml"])
def test_a_damaged_folder_is_said_and_never_a_traceback(clinic, tmp_path, damaged):
    place = tmp_path / "home" / "sites" / "harrowmint" / damaged
    if place.is_dir():
        for kept in place.iterdir():
            kept.write_bytes(kept.read_bytes() + b"\n# changed\n")
    else:
        place.write_bytes(b"not what it was")

    code, answer = clinic.ask("vial", "list")

    assert (code in {3, 5}, answer["ok"]) == (True, False)
    assert answer["error"]["code"] != "internal"


def test_a_protocol_file_whose_bytes_changed_after_adoption_is_refused(clinic, tmp_path):
    (kept,) = (tmp_path / "home" / "sites" / "harrowmint" / "protocols").glob("*.toml")
    kept.write_bytes(kept.read_bytes().replace(b"PT6H", b"PT9H"))

    code, answer = clinic.ask("vial", "list")

    assert (code, answer["error"]["code"]) == (3, "rule-file")
    assert "was changed after it was" in answer["error"]["says"]


def test_a_protocol_file_that_is_gone_is_named(clinic, tmp_path):
    (kept,) = (tmp_path / "home" / "sites" / "harrowmint" / "protocols").glob("*.toml")
    kept.unlink()

    code, answer = clinic.ask("vial", "list")

    assert (code, answer["error"]["says"]) == (5, "example-10 version 2 is not kept here")
