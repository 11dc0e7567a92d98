"""The list of causes of waste."""

import pytest

from thawline.account.causes import CAUSES, Wastage, cause_named, kind_findings
from thawline.base.errors import RecordError
from thawline.base.findings import Level

OPEN = [
    "leftover",
    "technique",
    "use-by",
    "short-volume",
    "spilled",
    "contaminated",
    "needle-stick",
    "not-taken",
    "held-open",
    "looks-wrong-open",
    "broken-open",
]
CLOSED = [
    "expired",
    "too-warm",
    "too-cold",
    "broken",
    "outreach",
    "past-thaw",
    "held",
    "recalled",
    "looks-wrong",
]


def test_each_cause_is_of_one_kind_and_the_list_is_settled():
    assert [name for name, cause in CAUSES.items() if cause.kind == "open-vial"] == OPEN
    assert [name for name, cause in CAUSES.items() if cause.kind == "closed-vial"] == CLOSED


def test_the_causes_that_who_lists_are_told_from_those_of_the_trade():
    of_who = {name for name, cause in CAUSES.items() if cause.source.startswith("WHO/V&B")}
    others = {cause.source for name, cause in CAUSES.items() if name not in of_who}

    assert of_who == {
        *("leftover", "technique"),
        *("expired", "too-warm", "too-cold", "broken", "outreach"),
    }
    assert others == {"common practice"}


def test_a_cause_that_is_not_listed_is_refused_with_the_list():
    with pytest.raises(RecordError) as refused:
        cause_named("gremlins")

    assert refused.value.says == "unknown cause of waste: 'gremlins'"
    assert refused.value.advice == f"choose one of {', '.join([*OPEN, *CLOSED])}"


def test_a_listed_cause_is_found_by_its_name():
    assert cause_named("spilled").says == "leaked, dropped or pulled away"


def test_causes_have_short_names_and_say_what_they_mean():
    assert all(name == cause.name and " " not in name for name, cause in CAUSES.items())
    assert all(cause.says and cause.source for cause in CAUSES.values())


@pytest.mark.parametrize(
    ("name", "opened", "codes"),
    [
        ("leftover", True, []),
        ("leftover", False, ["cause-of-other-kind"]),
        ("broken", False, []),
        ("broken", True, ["cause-of-other-kind"]),
    ],
)
def test_a_cause_of_the_other_kind_is_looked_at(name, opened, codes):
    found = kind_findings(CAUSES[name], opened=opened)

    assert [finding.code for finding in found] == codes
    assert all(finding.level is Level.CHECK for finding in found)


def test_the_check_names_the_cause_what_it_counts_as_and_the_kind_wanted():
    (found,) = kind_findings(CAUSES["broken"], opened=True)

    assert found.says == (
        "Cause 'broken' is closed-vial waste, and the vial was opened. "
        "The waste figures will be off by it. Name a cause of open-vial waste."
    )


def test_what_is_listed_for_a_vial_never_opened_is_closed_vial_waste():
    assert kind_findings(CAUSES["leftover"], opened=False)[0].says == (
        "Cause 'leftover' is open-vial waste, and the vial was never opened. "
        "The waste figures will be off by it. Name a cause of closed-vial waste."
    )
    assert {cause.kind for cause in CAUSES.values()} == set(Wastage)
