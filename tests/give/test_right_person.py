"""Whether the person in the chair is the one on record and said yes. Invented."""

from datetime import date

import pytest
from tests.give.chair import CHAIR, DOSE, RULE, codes, found, person, said

from thawline.base.findings import Level
from thawline.give.checks import given_findings
from thawline.give.overrides import NEVER
from thawline.person.desk import Compared, Consent

BOTH = frozenset({"identity", "consent"})


def _given(who):
    return given_findings(who, DOSE, CHAIR, RULE, ())


@pytest.mark.parametrize(
    ("changed", "code"),
    [
        ({"compared": Compared.DIFFERS}, "identity-differs"),
        ({"consent": Consent.NO}, "consent-refused"),
        ({"consent": Consent.WITHDRAWN}, "consent-withdrawn"),
    ],
)
def test_somebody_else_and_a_no_are_a_stop_that_nobody_sets_aside(changed, code):
    (stop,) = found(person(**changed))

    assert (stop.level, stop.code) == (Level.STOP, code)
    assert code in NEVER
    assert codes(_given(person(**changed))) == [code]


@pytest.mark.parametrize(
    ("changed", "code"),
    [
        ({"compared": None}, "identity-not-compared"),
        ({"compared": Compared.TOO_FEW}, "identity-not-compared"),
        ({"consent": None}, "consent-not-known"),
    ],
)
def test_what_is_not_on_record_is_said_and_refuses_where_the_site_says_so(changed, code):
    (check,) = found(person(**changed))
    (stop,) = found(person(**changed, refuses_without=BOTH))

    assert (check.level, check.code) == (Level.CHECK, code)
    assert (stop.level, stop.code) == (Level.STOP, code)


def test_after_the_dose_what_was_only_not_on_record_is_said_where_it_was_asked_for():
    unknown = {"compared": None, "consent": None}

    assert _given(person(**unknown)) == ()
    assert codes(_given(person(**unknown, refuses_without=BOTH))) == [
        "identity-not-compared",
        "consent-not-known",
    ]


def test_others_of_the_same_name_are_named_at_the_chair_by_their_codes():
    (check,) = found(person(same_name=("DEMO-000123", "DEMO-000124")))

    assert check.says.startswith("DEMO-004217 has the same name as DEMO-000123, DEMO-000124.")
    assert _given(person(same_name=("DEMO-000123",))) == ()


def test_of_a_stranger_nothing_is_said_but_that_nobody_knows_them():
    who = person(known=False, compared=None, consent=None)

    assert codes(found(who)) == ["person-not-known"]


def test_a_dose_dated_before_one_on_record_is_a_slip_that_is_named():
    later = person(dose_number=2, doses_on=(date(2026, 3, 10),))

    said = [each for each in found(later) if each.code == "dose-dated-later"]

    assert said[0].level is Level.STOP
    assert said[0].says.startswith("A dose on 2026-03-10 is on record, after 2026-03-03")
    assert "dose-dated-later" in codes(_given(later))


ASK = "The person says or points to name and birth date; compare them, never read them out."


@pytest.mark.parametrize(
    ("changed", "code", "level", "says"),
    [
        (
            {"compared": Compared.DIFFERS},
            "identity-differs",
            Level.STOP,
            "What was said differs from what is kept of DEMO-004217. Give none. Find out at "
            "the desk who it is.",
        ),
        (
            {"compared": None},
            "identity-not-compared",
            Level.CHECK,
            f"DEMO-004217 was not compared by two identifiers today. {ASK}",
        ),
        (
            {"compared": Compared.TOO_FEW},
            "identity-not-compared",
            Level.CHECK,
            "DEMO-004217 was not compared by two identifiers today, one identifier only. "
            f"{ASK}",
        ),
        (
            {"same_name": ("DEMO-004218", "DEMO-004220")},
            "same-name",
            Level.CHECK,
            "DEMO-004217 has the same name as DEMO-004218, DEMO-004220. The birth date is said "
            "again here.",
        ),
        (
            {"consent": Consent.NO},
            "consent-refused",
            Level.STOP,
            "DEMO-004217 said no to the dose. Give none.",
        ),
        (
            {"consent": Consent.WITHDRAWN},
            "consent-withdrawn",
            Level.STOP,
            "The yes of DEMO-004217 was taken back. Give none; nobody persuades.",
        ),
        (
            {"consent": None},
            "consent-not-known",
            Level.CHECK,
            "No consent of DEMO-004217 is on record for today. Ask, or look at the form.",
        ),
    ],
)
def test_what_is_said_of_who_it_is_and_of_their_yes_is_whole(changed, code, level, says):
    """The fact and what to do about it: a sentence that is cut is what somebody acts on."""
    assert said(code, person=person(**changed)) == (level, says, None)
