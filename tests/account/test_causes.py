"""The list of causes of waste."""

import pytest

from thawline.account.causes import CAUSES, Wastage, cause_named, kind_findings
from thawline.base.errors import RecordError
from thawline.base.findings import Level


@pytest.mark.parametrize(
    ("name", "kind"),
    [
        ("leftover", "open-vial"),
        ("use-by", "open-vial"),
        ("needle-stick", "open-vial"),
        ("expired", "closed-vial"),
        ("too-warm", "closed-vial"),
        ("broken", "closed-vial"),
    ],
)
def test_each_cause_is_of_one_kind(name, kind):
    assert cause_named(name).kind == kind


def test_a_cause_that_is_not_listed_is_refused_with_the_list():
    with pytest.raises(RecordError, match="unknown cause of waste: 'gremlins'") as refused:
        cause_named("gremlins")

    assert "leftover" in refused.value.advice


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
    assert "never opened" in kind_findings(CAUSES["leftover"], opened=False)[0].says
    assert {cause.kind for cause in CAUSES.values()} == set(Wastage)
