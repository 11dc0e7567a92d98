"""What an exception tells the person on duty."""

import pytest

from thawline.base import errors
from thawline.base.errors import RefusedError, RuleError, SecondPersonError, ThawlineError
from thawline.base.findings import Finding, Level

PAST = Finding(Level.STOP, "past-use-by", "past its use-by time", "C4")
HELD = Finding(Level.STOP, "held", "shaken 13:31")


def _kinds(kind=ThawlineError):
    return [kind, *(below for each in kind.__subclasses__() for below in _kinds(each))]


def test_each_kind_of_trouble_has_a_code_of_its_own():
    codes = [kind.code for kind in _kinds()]

    assert len(set(codes)) == len(codes) == 17


def test_every_exception_is_listed_at_the_top_of_the_module():
    assert not [kind.__name__ for kind in _kinds() if kind.__name__ not in errors.__doc__]


@pytest.mark.parametrize(("line", "says"), [(12, "line 12: no source"), (None, "no source")])
def test_a_rule_error_says_the_line(line, says):
    error = RuleError("no source", line=line, key="clocks.open", advice="add one")

    assert (error.says, error.key, error.advice) == (says, "clocks.open", "add one")


def test_a_refusal_carries_every_finding():
    refusal = RefusedError([PAST, HELD], advice="set it aside")

    assert refusal.findings == (PAST, HELD)
    assert refusal.says == "past its use-by time; shaken 13:31"


def test_a_missing_second_person_is_a_refusal_of_its_own_kind():
    assert isinstance(SecondPersonError([HELD]), RefusedError)
