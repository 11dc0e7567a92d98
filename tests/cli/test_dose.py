"""`thawline dose`: what a person or a program reads at the chair, and the exit code."""

import pytest
from tests.cast import BRYONY, HAZEL, PINS
from tests.cli.people import ADA, BEN, CHAIR, CLEO, SCREENED, answered, at_the_chair

BY = ("--by", HAZEL)
HERE = (*BY, "--station", CHAIR)
SECOND = ("--countersign", BRYONY, "--pin", PINS[BRYONY])
ENVELOPE = ["ok", "data", "alerts", "not_known", "protocol"]
RECORDED = ["recorded", "event", "record", "id", "seq", "hash", "again", "site"]
ALERT = ["level", "item", "code", "says"]


@pytest.fixture
def chair(clinic, tmp_path):
    """Three people booked, a vial open since 07:00, three doses drawn, the kit looked at."""
    place = at_the_chair(clinic, tmp_path)
    place.run("observe", "kit", "--doses", "5@2026-08-31", "--able", HAZEL, *BY)
    return place


@pytest.fixture
def listed(chair, tmp_path):
    """The same since 14:00 under a version that lets two people set a look-alike lot aside."""
    text = chair.run("protocol", "show", "example-10-v2", "--toml")[1]
    path = tmp_path / "listed.toml"
    path.write_text(text.replace("version = 2", "version = 9") + LISTED)
    chair.run("vial", "open", chair.closed, "--at", "13:50", *BY)
    drawn = chair.ask("vial", "draw", chair.closed, "--at", "13:55", *BY)[1]
    chair.syringes = drawn["data"]["record"]["syringes"]
    chair.run("protocol", "adopt", str(path), *SECOND, *BY)
    chair.clock("14:30")
    return chair


LISTED = """
[overrides.look-alike-lot]
item = "X1"
second_person = true
source = "demo"
"""


def asked(chair, syringe, *more, person=ADA):
    return chair.ask(
        "dose", "check", "--person", person, "--syringe", syringe, *SCREENED, *more
    )


def given(chair, syringe, *more, person=ADA):
    words = ("dose", "give", "--person", person, "--syringe", syringe, *SCREENED)
    return chair.ask(*words, *(more or ("--at", "09:00")), *HERE)


def entries(chair):
    return chair.ask("journal", "list", "--most", "500")[1]["data"]["entries"]


# --- before the needle --------------------------------------------------------------------


def test_a_question_before_the_needle_answers_and_records_nothing(chair):
    before = len(entries(chair))

    code, answer = asked(chair, f" {chair.syringes[0]} ", "--at", "09:00", person=f"{ADA} ")

    assert (code, list(answer)) == (0, ENVELOPE)
    assert answer["data"] == {"may": True, "dose_number": 1, "recorded": False}
    assert answer["protocol"]["id"] == "example-10"
    assert len(entries(chair)) == before


def test_a_check_by_somebody_is_recorded(chair):
    code, answer = asked(chair, chair.syringes[0], "--at", "09:00", *HERE)

    assert (code, list(answer["data"])) == (0, RECORDED)
    assert (answer["data"]["event"], answer["data"]["record"]["may"]) == ("DoseChecked", True)


def test_people_read_one_line(chair):
    words = ("dose", "check", "--person", ADA, "--syringe", chair.syringes[0], *SCREENED)

    assert chair.run(*words, "--at", "09:00") == (
        0,
        f"{ADA} may have dose 1 from {chair.syringes[0]}\n",
        "",
    )


@pytest.mark.parametrize("by", [(), HERE], ids=["only asked", "noted"])
def test_past_the_use_by_the_dose_is_refused_and_the_waste_command_is_named(chair, by):
    """Example-10: 6 hours open, from 07:00."""
    code, answer = asked(chair, chair.syringes[0].lower(), "--at", "13:00", *by)

    (stop,) = answer["alerts"]
    assert (code, list(answer)) == (4, [*ENVELOPE, "error"])
    assert (answer["ok"], answer["data"], answer["error"]["code"]) == (False, None, "refused")
    assert (list(stop), stop["level"], stop["item"], stop["code"]) == (
        ALERT,
        "stop",
        "C4",
        "past-use-by",
    )
    assert stop["says"].endswith(
        f"Record: thawline dose waste --syringe {chair.syringes[0]} --cause use-by"
    )


def test_a_refused_check_is_in_the_journal_only_with_a_name_to_it(chair):
    before = len(entries(chair))

    asked(chair, chair.syringes[0], "--at", "13:00")
    asked(chair, chair.syringes[0], "--at", "13:00", *HERE)

    (noted,) = entries(chair)[before:]
    assert (noted["event"], noted["kind"]) == ("DoseChecked", "note")


@pytest.mark.parametrize(
    ("words", "refused"),
    [
        (("--person", "DEMO-000404"), "person-not-known"),
        (("--screening", "refer"), "screened-not-to-give"),
        (("--syringe", "HK47M-01"), "dose-not-known"),
        (("--lot", "ZZ-1014"), "look-alike-lot"),
    ],
)
def test_what_is_wrong_is_named_by_its_code(chair, words, refused):
    plain = {"--person": ADA, "--syringe": chair.syringes[0], "--screened-by": "Sorrel"}
    plain |= {"--screening": "give-15", words[0]: words[1]}

    code, answer = chair.ask("dose", "check", *sum(plain.items(), ()), "--at", "09:00")

    assert (code, [alert["code"] for alert in answer["alerts"]]) == (4, [refused])


def test_an_uncertain_time_is_asked_about_at_its_later_end(chair):
    span = ("--at", "12:30", "--until", "13:00")

    assert asked(chair, chair.syringes[0], "--at", "12:30")[0] == 0
    assert asked(chair, chair.syringes[0], *span)[0] == 4
    assert asked(chair, chair.syringes[0], *span, *HERE)[0] == 4


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("--syringe", "HK47M-01", "--vial", "HK47M"), "one syringe, or from one vial"),
        ((), "one syringe, or from one vial"),
        (("--vial", "HK47M", "--screening", "fine"), "not a screening outcome: 'fine'"),
        (("--vial", "HK47M", "--person", " "), "no person is named"),
        (("--vial", "HK47M", "--dose", "3"), "dose must be 1 or 2: 3"),
        (("--vial", "HK47M", "--dose", "0"), "dose must be 1 or 2: 0"),
        (("--vial", "HK47M", "--at", "25:00"), "not a time of day: '25:00'"),
    ],
)
def test_what_cannot_be_meant_is_refused_by_its_value(chair, words, says):
    person = () if "--person" in words else ("--person", ADA)
    code, answer = chair.ask("dose", "check", *person, *words)

    assert (code, answer["error"]["code"]) == (3, "record")
    assert says in answer["error"]["says"]


def test_a_screening_names_who_asked(chair):
    words = ("--person", ADA, "--vial", "HK47M", "--screening", "give")
    code, answer = chair.ask("dose", "check", *words)

    assert (code, answer["error"]["says"]) == (2, "the screening names nobody")


def test_the_person_is_asked_for(chair):
    code, answer = chair.ask("dose", "check", "--vial", chair.vial)

    assert (code, answer["error"]["code"]) == (2, "usage")
    assert "--person" in answer["error"]["says"]


# --- after the needle ---------------------------------------------------------------------


def test_a_dose_in_order_is_recorded(chair):
    code, answer = given(chair, chair.syringes[0], "--at", "09:00", "--arm", "left")

    assert (code, answer["alerts"]) == (0, [])
    assert list(answer["data"]) == [*RECORDED, "dose_number"]
    assert answer["data"]["record"]["doses_from"] == f"syringe:{chair.syringes[0]}"


@pytest.mark.parametrize("at", ["13:00", "12:59"])
def test_past_the_use_by_a_dose_given_is_recorded_with_a_finding(chair, at):
    code, answer = given(chair, chair.syringes[0], "--at", at)

    found = ["past-use-by"] if at == "13:00" else []
    assert (code, answer["data"]["recorded"]) == (len(found), True)
    assert [alert["code"] for alert in answer["alerts"]] == found
    assert answer["data"]["record"]["codes"] == found


def test_the_same_syringe_given_to_two_people_is_found(chair):
    given(chair, chair.syringes[0])

    code, answer = given(chair, chair.syringes[0], person=BEN)

    assert (code, answer["error"]["code"]) == (1, "findings")
    assert [alert["code"] for alert in answer["alerts"]] == ["syringe-used"]


def test_a_held_dose_given_is_recorded_and_told(chair):
    chair.run("vial", "hold", chair.vial, "--why", "shaken", "--at", "08:00", *BY)

    code, answer = given(chair, chair.syringes[0])

    assert (code, answer["data"]["recorded"]) == (1, True)
    assert "tell the person and the clinical lead" in answer["alerts"][0]["says"]


def test_people_read_what_was_recorded_under_what_is_wrong(chair):
    words = ("dose", "give", "--person", ADA, "--syringe", chair.syringes[0])

    code, out, _ = chair.run(*words, "--at", "09:00", *BY)

    lines = out.splitlines()
    assert code == 1
    assert lines[0].startswith(f"||| Stop: {ADA} has no screening of today. It was given: tell")
    assert lines[-1] == f"dose 1 from {chair.syringes[0]} recorded for {ADA}"


def test_a_dose_drawn_at_the_chair_leaves_the_vial(chair):
    words = ("dose", "give", "--person", ADA, "--vial", chair.vial.lower(), *SCREENED)

    code, answer = chair.ask(*words, "--at", "09:00", *BY)

    shown = chair.ask("vial", "show", chair.vial)[1]["data"]
    assert (code, answer["data"]["record"]["doses_from"]) == (0, f"vial:{chair.vial}")
    assert shown["doses_left"] == 6


def test_the_same_id_records_a_dose_once(chair):
    words = ("--at", "09:00", "--id", "01890a5d-ac96-774b-bcce-b302099a8057")

    first = given(chair, chair.syringes[0], *words)[1]["data"]
    again = given(chair, chair.syringes[0], *words)[1]["data"]

    assert (first["again"], again["again"], again["seq"]) == (False, True, first["seq"])


def test_a_dry_run_shows_the_record_and_writes_none(chair):
    before = len(entries(chair))

    code, answer = given(chair, chair.syringes[0], "--at", "09:00", "--dry-run")

    assert (code, answer["data"]["recorded"], answer["data"]["id"]) == (0, False, None)
    assert answer["data"]["record"]["person"] == ADA
    assert len(entries(chair)) == before


@pytest.mark.parametrize(
    ("words", "code", "says"),
    [
        (("--arm", "leg"), 3, "arm must be left or right: 'leg'"),
        (("--volume-ml", "0.0001"), 3, "0.0001"),
        (("--volume-ml", "-0.5"), 3, "a volume of -500 microlitres"),
        (("--volume-ml", "0"), 3, "a volume of 0 microlitres"),
        (("--at", "18:00"), 3, "has not come yet"),
    ],
)
def test_a_dose_that_cannot_have_been_given_so_is_not_written(chair, words, code, says):
    before = len(entries(chair))

    answered, answer = given(chair, chair.syringes[0], *words)

    assert (answered, says in answer["error"]["says"]) == (code, True)
    assert len(entries(chair)) == before


# --- setting aside ------------------------------------------------------------------------


def test_use_by_is_not_set_aside_by_two_people(chair):
    words = ("--at", "13:00", "--why", "we are all sure", *SECOND, *HERE)

    code, answer = asked(chair, chair.syringes[0], *words)

    assert (code, answer["alerts"][0]["code"]) == (4, "past-use-by")


def test_a_listed_refusal_without_the_second_persons_pin_is_exit_7(listed):
    alike = ("--lot", "ZZ-1014", "--at", "14:20", "--why", "read aloud by both", *HERE)

    alone, answer = asked(listed, listed.syringes[0], *alike)
    named, _ = asked(listed, listed.syringes[0], *alike, "--countersign", BRYONY)
    wrong, _ = asked(listed, listed.syringes[0], *alike, *SECOND[:3], "000000")

    assert (alone, named, wrong) == (7, 7, 7)
    assert answer["error"]["code"] == "second-person"


def test_a_listed_refusal_is_set_aside_with_a_reason_and_the_second_persons_pin(listed):
    alike = ("--lot", "ZZ-1014", "--at", "14:20", *SECOND, *HERE)

    without_why, _ = asked(listed, listed.syringes[0], *alike)
    code, answer = asked(listed, listed.syringes[0], *alike, "--why", "read aloud by both")

    assert without_why == 4
    assert (code, answer["data"]["record"]["may"]) == (1, True)


# --- left without, told, waste ------------------------------------------------------------


def test_people_with_no_dose_recorded_are_found_and_answered(chair):
    asked(chair, chair.syringes[0], "--at", "09:00", *HERE)

    found, answer = chair.ask("dose", "find")
    next_one = asked(chair, chair.syringes[1], "--at", "09:10", *HERE, person=BEN)[1]
    none, _ = chair.ask(
        "dose", "none", ADA, "--why", "changed their mind", "--at", "09:20", *BY
    )
    chair.ask("dose", "none", BEN, "--at", "09:21", *BY)

    assert (found, answer["data"]["unrecorded"]) == (
        1,
        [
            {
                "person": ADA,
                "checked_at": "2026-02-03T09:00:00-06:00",
                "station": CHAIR,
                "syringe": chair.syringes[0],
            }
        ],
    )
    assert next_one["alerts"][0]["code"] == "dose-not-recorded"
    assert none == 0
    assert chair.run("dose", "find")[:2] == (
        0,
        "Everybody who was checked has a dose, or none, on record\n",
    )


def test_nobody_unknown_leaves_without_a_dose(chair):
    code, answer = chair.ask("dose", "none", "DEMO-000404", *BY)

    assert (code, answer["error"]["code"]) == (5, "not-found")


def test_a_dose_told_from_a_card_is_shown_with_the_person(chair):
    code, _ = chair.ask("dose", "told", CLEO, "2026-01-07", "--lot", "ZZ-0907", *BY)
    twice, answer = chair.ask("dose", "told", CLEO, "2026-01-07", "--lot", "ZZ-0907", *BY)

    found = chair.ask("dose", "find", CLEO)[1]["data"]["people"][0]
    assert (code, twice, answer["error"]["code"]) == (0, 3, "record")
    assert found["told"] == [{"given_on": "2026-01-07", "lot": "ZZ-0907", "product": ""}]
    assert "2026-01-07  ZZ-0907  told from a card" in chair.run("dose", "find", CLEO)[1]


def test_day_27_is_refused_before_the_needle_and_is_a_fact_after_it(chair):
    """Source: CDC web course page, reviewed 16 July 2021: valid by grace, never booked."""
    chair.ask("dose", "told", CLEO, "2026-01-07", *BY)

    before, refusal = asked(chair, chair.syringes[0], "--at", "09:00", *HERE, person=CLEO)
    after, answer = given(chair, chair.syringes[0], person=CLEO)

    assert (before, refusal["alerts"][0]["code"]) == (4, "too-early")
    assert (after, answer["alerts"][0]["code"]) == (0, "in-grace")
    assert answer["data"]["dose_number"] == 2


@pytest.mark.parametrize(
    ("day", "says"), [("2026-02-04", "has not come yet"), ("7 Jan", "7 Jan")]
)
def test_a_date_on_a_card_that_cannot_be_is_refused(chair, day, says):
    code, answer = chair.ask("dose", "told", CLEO, day, *BY)

    assert (code, says in answer["error"]["says"]) == (3, True)


def test_a_needle_stick_and_a_dropped_syringe_are_wasted_by_cause(chair):
    one, two, _ = chair.syringes
    code, answer = chair.ask(
        "dose", "waste", "--syringe", one.lower(), "--cause", "needle-stick", *BY
    )
    chair.ask("dose", "waste", "--syringe", two, "--cause", "spilled", "--why", "dropped", *BY)

    assert (code, answer["data"]["record"]["cause"]) == (0, "needle-stick")
    twice, refused = chair.ask("dose", "waste", "--syringe", one, "--cause", "spilled", *BY)
    assert (twice, "holds 0 doses by the book" in refused["error"]["says"]) == (3, True)
    listed, _, said = chair.run("dose", "waste", "--syringe", two, "--cause", "oops", *BY)
    assert (listed, "Unknown cause of waste: 'oops'" in said) == (3, True)


# --- finding and correcting ---------------------------------------------------------------


def test_a_person_is_found_with_every_key_of_their_doses(chair):
    given(chair, chair.syringes[0], "--at", "09:00", "--arm", "left")

    (person,) = chair.ask("dose", "find", "marlow")[1]["data"]["people"][:1]

    assert list(person) == ["person", "name", "born", "doses", "told"]
    assert (person["person"], person["name"], person["born"]) == (
        ADA,
        "Ada Marlow",
        "1950-02-13",
    )
    assert list(person["doses"][0]) == [
        *("dose_number", "given_from", "given_to", "lot", "syringe", "vial", "arm", "codes"),
        "entry",
    ]


def test_a_persons_doses_are_a_table_for_people(chair):
    given(chair, chair.syringes[0])

    out = chair.run("dose", "find", ADA)[1].splitlines()

    assert out[0].split() == ["person", "name", "dose", "given", "lot", "from"]
    assert out[1].split() == [ADA, "Ada", "Marlow", "1", "09:00", "ZZ-1041", chair.syringes[0]]


def test_a_person_without_doses_and_nobody(chair):
    assert chair.run("dose", "find", ADA)[1] == "1 person, no dose on record\n"
    assert chair.ask("dose", "find", "Quagmire")[0] == 5


def test_a_dose_is_corrected_and_what_was_written_stays(chair):
    entry = str(
        given(chair, chair.syringes[0], "--at", "09:00", "--arm", "left")[1]["data"]["seq"]
    )
    words = ("dose", "correct", ADA, "--set", "arm=right", "--why", "asked again", *BY)

    code, _ = chair.ask(*words)

    page = chair.ask("journal", "show", entry)[1]["data"]
    assert code == 0
    assert page["entry"]["values"]["arm"] == "left"
    assert page["counts_as"]["values"]["arm"] == "right"
    assert chair.ask("dose", "find", ADA)[1]["data"]["people"][0]["doses"][0]["arm"] == "right"


def test_a_corrected_time_counts(chair):
    given(chair, chair.syringes[0])
    words = ("dose", "correct", ADA, "--set", "at=08:40", "--why", "typed late", *BY)

    code, _ = chair.ask(*words)

    (dose,) = chair.ask("dose", "find", ADA)[1]["data"]["people"][0]["doses"]
    assert (code, dose["given_from"]) == (0, "2026-02-03T08:40:00-06:00")


def test_a_correction_that_buys_a_vial_time_takes_two(chair):
    """The dose drawn at the chair at 08:30 is what opened that vial by the record."""
    give = ("dose", "give", "--person", ADA, "--vial", chair.closed, *SCREENED)
    chair.ask(*give, "--at", "08:30", *BY)
    words = ("dose", "correct", ADA, "--set", "at=09:30", "--why", "typed wrongly", *BY)

    alone, _ = chair.ask(*words)
    both, answer = chair.ask(*words, *SECOND)

    assert (alone, both) == (7, 0)
    assert answer["alerts"][0]["code"] == "buys-time"


@pytest.mark.parametrize(
    ("words", "code"),
    [
        ((ADA, "--dose", "2", "--set", "arm=left", "--why", "x"), 5),
        ((ADA, "--set", "leg=left", "--why", "x"), 3),
        ((ADA, "--set", "arm", "--why", "x"), 3),
        ((ADA, "--set", "arm=right"), 2),
        ((ADA, "--why", "x"), 3),
        ((ADA, "--set", "arm=leg", "--why", "x"), 3),
        ((ADA, "--set", "dose_number=5", "--why", "x"), 3),
        (("DEMO-000404", "--set", "arm=left", "--why", "x"), 5),
    ],
    ids=[
        *("no such dose", "no such field", "no value", "no reason", "nothing", "no such arm"),
        *("no such number", "nobody"),
    ],
)
def test_a_correction_that_says_nothing_useful_is_refused(chair, words, code):
    given(chair, chair.syringes[0])

    assert chair.ask("dose", "correct", *words, *BY)[0] == code


# --- needle -------------------------------------------------------------------------------


def test_the_needle_is_answered_without_a_site(capsys):
    """Source: Immunize.org, "Administering Vaccines to Adults": F 153-200 lb, 1 to 1.5 in."""
    code, answer = answered(capsys, "dose", "needle", "--sex", "F", "--weight-lb", "153")

    assert (code, list(answer["data"])) == (
        0,
        ["shortest_in", "longest_in", "condition", "item"],
    )
    assert (answer["data"]["shortest_in"], answer["data"]["longest_in"]) == (1.0, 1.5)


@pytest.mark.parametrize(
    "words",
    [
        ("--sex", "X", "--weight-lb", "150"),
        ("--sex", "F"),
        ("--sex", "F", "--weight-lb", "150", "--weight-kg", "68"),
        ("--sex", "F", "--weight-lb", "0"),
        ("--sex", "F", "--weight-kg", "-60"),
    ],
)
def test_a_needle_for_nobody_there_is_refused(capsys, words):
    code, answer = answered(capsys, "dose", "needle", *words)

    assert (code, answer["error"]["code"]) == (3, "record")


# --- after an error, and a needle-stick ---------------------------------------------------


def test_an_error_is_answered_by_the_version_in_force_on_its_day(capsys):
    words = ("dose", "error", "too-early", "--given", "2021-12-21", "--first", "2021-12-01")
    code, answer = answered(capsys, *words)

    assert (code, answer["data"]["repeat_not_before"]) == (1, "2022-01-18")
    assert answer["protocol"]["version"] == 2
    assert answer["data"]["draft"][0] == "ADMINISTRATION ERROR - DRAFT, not sent to anybody"


def test_what_the_table_does_not_say_is_listed_as_not_known(capsys):
    words = ("dose", "error", "too-little", "--given", "2021-03-01", "--volume-ml", "0.25")
    _, answer = answered(capsys, *words)

    assert (answer["data"]["repeat"], answer["not_known"]) == (None, ["repeat"])


def test_the_technique_card_ends_with_who_decides(capsys):
    code, answer = answered(capsys, "dose", "card")

    assert (code, answer["data"]["lines"][0]["item"]) == (0, "J1")
    assert answer["data"]["caution"].startswith("Licensed practice decides")


def test_a_needle_stick_says_what_to_do_and_its_card_is_for_the_clinical_lead(chair):
    chair.run("site", "pin", BRYONY, PINS[BRYONY], "--role", "clinical lead")
    stick = ("dose", "needle-stick", "--syringe", chair.syringes[0], *BY)
    code, answer = chair.ask(*stick)
    lead = ("--by", BRYONY, "--pin", PINS[BRYONY])

    assert (code, answer["data"]["wasted"]) == (0, True)
    assert answer["data"]["at_once"][0].startswith("Wash")
    cards = chair.ask("dose", "needle-sticks", *lead)[1]["data"]["exposures"]
    assert [card["syringe"] for card in cards] == [chair.syringes[0]]
    assert chair.ask("dose", "needle-sticks", *BY)[0] == 7
    assert chair.ask(*stick)[1]["data"]["wasted"] is False


def test_a_protocol_without_a_technique_card_says_so(chair, tmp_path):
    path = tmp_path / "bare.toml"
    text = chair.run("protocol", "show", "example-10-v2", "--toml")[1]
    head, _, rest = text.partition("# Site and technique at the chair.")
    path.write_text(head + rest[rest.index("# What to do after an error") :])

    assert chair.ask("dose", "card", "--protocol", str(path))[0] == 3


def test_on_a_dry_run_no_private_card_is_said_to_be_kept(chair):
    words = ("dose", "needle-stick", "--syringe", "HK47M-99", "--dry-run", *BY)

    code, out, _ = chair.run(*words)

    assert code == 0
    assert "Would keep a private card; no drawn dose HK47M-99" in out
    assert chair.ask(*words)[1]["data"]["recorded"] is False
