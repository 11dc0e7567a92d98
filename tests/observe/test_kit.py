"""What the kit says at the chair, word by word, and how its doses are written."""

import pytest
from tests.cast import CHICAGO, at
from tests.observe.kits import AUGUST, GIVEN, HAZEL, kit, kit_at, looked

from thawline.base.errors import RecordError
from thawline.base.findings import Finding, Level
from thawline.observe.kit import kit_findings, named, read_doses

LEAD = "Only the clinical lead lets it go on: thawline observe resume."
FEW = "epinephrine doses present and unexpired: {}; needed: 2."
NOBODY = "nobody present is named as able to give epinephrine."


def _said(found, clock="12:30", day=3):
    return kit_findings(found, at(clock, day=day), CHICAGO, "E5")


@pytest.mark.parametrize("found", [None, kit(GIVEN)], ids=["nothing noted", "only a press"])
def test_a_kit_nobody_looked_at_is_said_and_stops_nothing(found):
    assert _said(found) == (
        Finding(
            Level.CHECK,
            "kit-not-checked",
            "Nobody recorded a look at the emergency kit: thawline observe kit.",
            "E5",
        ),
    )


def test_a_kit_with_just_enough_and_somebody_able_says_nothing():
    assert _said(kit(looked(f"2@{AUGUST}"))) == ()


@pytest.mark.parametrize(
    ("found", "why"),
    [
        (kit(looked(f"1@{AUGUST}")), FEW.format(1)),
        (kit(looked("5@2026-02-02")), FEW.format(0)),
        (kit(looked(f"2@{AUGUST}", able=())), NOBODY),
        (kit(looked(f"3@{AUGUST}", able=())), NOBODY),
        (kit(looked(f"1@{AUGUST}"), looked(f"5@{AUGUST}")), "the kit is complete again."),
    ],
    ids=[
        "one too few",
        "all expired",
        "just enough, nobody able",
        "plenty, nobody able",
        "filled again",
    ],
)
def test_a_pause_says_since_when_why_and_who_ends_it(found, why):
    says = f"Vaccinating has been paused since 12:00: {why} {LEAD}"

    assert _said(found) == (Finding(Level.STOP, "vaccinating-paused", says, "E5"),)


@pytest.mark.parametrize(
    ("now", "since"),
    [(("00:00", 4), "00:00"), (("09:00", 4), "00:00"), (("09:00", 5), "2026-02-04 00:00")],
    ids=["at that midnight", "the next morning", "a day later"],
)
def test_a_last_day_that_went_by_is_said_with_its_midnight_and_the_date_of_another_day(
    now, since
):
    (finding,) = _said(kit(looked("2@2026-02-03")), *now)

    assert finding.says == f"Vaccinating has been paused since {since}: {FEW.format(0)} {LEAD}"


@pytest.mark.parametrize(
    ("clock", "day", "since"),
    [("21:00", 3, "20:00"), ("09:00", 4, "2026-02-03 20:00")],
    ids=["the same evening", "the next morning"],
)
def test_a_pause_of_the_evening_is_said_by_the_date_at_the_site(clock, day, since):
    (finding,) = _said(kit_at((8 * 60, looked(f"2@{AUGUST}", able=()))), clock, day)

    assert finding.says == f"Vaccinating has been paused since {since}: {NOBODY} {LEAD}"


def test_in_the_evening_the_doses_of_the_sites_own_day_are_counted():
    (finding,) = _said(kit(looked("2@2026-02-03", able=())), "20:00")

    assert NOBODY in finding.says


@pytest.mark.parametrize(
    ("typed", "kept"),
    [
        ("3@2026-08-31", "3@2026-08-31"),
        (" 3@2026-08-31 ", "3@2026-08-31"),
        ("03@20260831", "3@2026-08-31"),
        ("0@2026-08-31", "0@2026-08-31"),
    ],
)
def test_doses_are_kept_as_a_count_and_their_last_day(typed, kept):
    assert read_doses([typed]) == (kept,)


@pytest.mark.parametrize(
    "typed",
    [
        "",
        "3",
        "2026-08-31",
        "@2026-08-31",
        "3@",
        "3@2026-02-30",
        "3@4@2026-08-31",
        "³@2026-08-31",
    ],
)
def test_what_is_no_count_and_day_is_refused_with_an_example(typed):
    with pytest.raises(RecordError) as refused:
        read_doses(["2@2026-08-31", typed])

    assert refused.value.says == f"not doses with their last day of use: {typed!r}"
    assert refused.value.advice == "write 3@2026-08-31"


def test_each_person_able_to_give_one_is_named_once():
    assert named([f" {HAZEL}", "", HAZEL, "  ", "Bryony Testwick"]) == (
        HAZEL,
        "Bryony Testwick",
    )
