"""`thawline closeout`: the page two people sign, what blocks it, and where to look."""

import pytest
from tests.cast import BRYONY, HAZEL, PINS, ROWAN
from tests.cli.people import ADA, BEN, CHAIR, SCREENED, at_the_chair

BY = ("--by", ROWAN)
SECOND = ("--countersign", BRYONY, "--pin", PINS[BRYONY])
SIGN = ("closeout", "sign", *BY, *SECOND)
DATA = [
    *("site", "day", "asked_at", "balances", "today", "all_days", "by_lot", "waste", "missing"),
    *("unrecorded", "vials_opened", "rounds_missing", "signed", "entries", "head"),
]


@pytest.fixture
def chair(clinic, tmp_path):
    """Three people booked, an open vial with 10 doses, 3 of them drawn, 1 given."""
    place = at_the_chair(clinic, tmp_path)
    give = ("dose", "give", "--person", ADA, "--syringe", place.syringes[0], *SCREENED)
    place.run(*give, "--at", "08:00", "--by", HAZEL, "--station", CHAIR)
    return place


def finish(place):
    """Waste what is drawn and discard the open vial."""
    for syringe in place.syringes[1:]:
        place.run("dose", "waste", "--syringe", syringe, "--cause", "not-taken", "--by", HAZEL)
    place.run("vial", "discard", place.vial, "--cause", "leftover", "--by", HAZEL)


def check_ben(place):
    words = ("dose", "check", "--person", BEN, "--syringe", place.syringes[1], *SCREENED)
    place.run(*words, "--at", "08:10", "--by", HAZEL, "--station", CHAIR)


def codes(answer):
    return sorted(alert["code"] for alert in answer["alerts"])


def test_what_is_open_blocks_the_day_and_is_listed(chair):
    code, answer = chair.ask("closeout", "run")

    assert (code, list(answer["data"])) == (1, DATA)
    blocking = ["open-vial-left", "syringe-left", "syringe-left"]
    assert codes(answer) == [*blocking, "table-not-read"]
    assert [each["account"] for each in answer["data"]["missing"]] == [
        f"syringe:{syringe}" for syringe in chair.syringes[1:]
    ]


def test_a_blocked_day_is_not_signed(chair):
    code, answer = chair.ask(*SIGN)

    assert (code, answer["error"]["code"]) == (4, "refused")
    assert answer["error"]["try"] == "thawline closeout run --on 2026-02-03"
    assert codes(answer) == ["open-vial-left", "syringe-left", "syringe-left"]
    assert chair.ask("closeout", "run")[1]["data"]["signed"] is False


def test_a_finished_day_balances_and_is_signed_by_two_once(chair):
    finish(chair)

    ran, answer = chair.ask("closeout", "run")
    alone = chair.ask("closeout", "sign", *BY)[0]
    signed, event = chair.ask(*SIGN)
    again, refused = chair.ask(*SIGN)

    assert (ran, answer["data"]["balances"], answer["data"]["missing"]) == (0, True, [])
    assert (alone, signed, again) == (7, 0, 3)
    assert (event["data"]["record"]["given"], event["data"]["record"]["wasted"]) == (1, 9)
    assert "is closed already" in refused["error"]["says"]
    assert chair.ask("closeout", "run")[1]["data"]["signed"] is True


def test_the_waste_of_a_day_has_its_rate_and_factor(chair):
    """Source: WHO/V&B/03.18: 1 of 10 issued doses given is 90 % wasted, factor 10."""
    finish(chair)

    waste = chair.ask("closeout", "run")[1]["data"]["waste"]

    assert (waste["issued"], waste["given"]) == (10, 1)
    assert (waste["rate_percent"], waste["factor"]) == (90.0, 10.0)
    assert waste["causes"] == [
        {"cause": "leftover", "kind": "open-vial", "doses": 7},
        {"cause": "not-taken", "kind": "open-vial", "doses": 2},
    ]


def test_a_day_with_nothing_issued_has_no_rate(clinic):
    code, answer = clinic.ask("closeout", "run")

    waste = answer["data"]["waste"]
    assert (code, waste["rate_percent"], waste["factor"]) == (0, None, None)
    assert "wastage rate -, factor -" in clinic.run("closeout", "run")[1]


def test_a_missing_dose_names_up_to_three_places_with_odds_and_reasons(chair):
    check_ben(chair)

    (first, *_) = chair.ask("closeout", "run")[1]["data"]["missing"]

    best = first["places"][0]
    assert list(best) == ["place", "odds", "reason", "code"]
    assert (best["place"], best["code"]) == (f"{CHAIR}, 08:10", "checked-with-it")
    assert BEN in best["reason"]
    assert 1 <= len(first["places"]) <= 3
    assert 0 < best["odds"] < 1


def test_people_read_one_page(chair):
    check_ben(chair)

    _, out, _ = chair.run("closeout", "run")

    lines = out.splitlines()
    assert "Close-out harrowmint, Tue 3 Feb 2026" in lines
    assert "It balances to the dose." in lines
    assert f"1 dose of lot ZZ-1041 in syringe:{chair.syringes[1]}: where to look first" in lines
    assert [line.split()[0] for line in lines if line.startswith("DEMO-")] == [BEN]
    assert lines[-1].startswith("1 vial opened; not signed; ")
    assert max(map(len, lines)) <= 100


def test_a_person_with_no_dose_recorded_is_asked_for_to_the_end(chair):
    check_ben(chair)
    finish(chair)

    code, answer = chair.ask("closeout", "run")
    signed, event = chair.ask(*SIGN)

    assert (code, codes(answer), answer["data"]["unrecorded"]) == (
        1,
        ["dose-not-recorded", "table-not-read"],
        [BEN],
    )
    assert (signed, codes(event), event["data"]["recorded"]) == (1, ["dose-not-recorded"], True)


def test_a_dry_run_signs_nothing(chair):
    finish(chair)

    code, answer = chair.ask(*SIGN, "--dry-run")

    assert (code, answer["data"]["recorded"]) == (0, False)
    assert chair.ask("closeout", "run")[1]["data"]["signed"] is False


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("sign", "--on", "2026-02-04", *BY, *SECOND), "2026-02-04 has not come yet"),
        (("sign", "--on", "3 Feb", *BY, *SECOND), "3 Feb"),
        (("run", "--on", "2026-02-30"), "2026-02-30"),
        (("run", "--at", "yesterday"), "not a time: 'yesterday'"),
    ],
)
def test_a_day_that_cannot_be_is_refused_by_its_value(chair, words, says):
    finish(chair)

    code, answer = chair.ask("closeout", *words)

    assert (code, says in answer["error"]["says"]) == (3, True)


def test_the_day_before_holds_nothing_of_today(chair):
    finish(chair)

    answer = chair.ask("closeout", "run", "--on", "2026-02-02")[1]["data"]

    assert (answer["day"], answer["today"]["received"], answer["vials_opened"]) == (
        "2026-02-02",
        0,
        0,
    )
