"""The PIN again, and the second person: whose PIN, and whose role."""

from uuid import uuid4

import pytest
from tests.cast import BRYONY, HAZEL, PINS, ROWAN, SORREL

from thawline.base.roles import Role
from thawline.web.acts import Form, PageAct
from thawline.web.press import DeniedError, Sent, press
from thawline.web.rights import Way, rights, way
from thawline.web.staff.step_up import StaffPins
from thawline.web.who import Who


@pytest.fixture
def crew(hall):
    """A clinical lead and a coordinator who may release; a site lead who may not."""
    hall.employ(BRYONY, Role.CLINICAL_LEAD)
    hall.employ(SORREL, Role.VACCINE_COORDINATOR)
    hall.employ(ROWAN, Role.SITE_LEAD)
    return hall


def _pressed(hall, action, by, roles, **sent):
    """Press an act that only keeps who did it; return that."""
    kept = []
    act = PageAct("x", action, Form, lambda _s, doing, _f: kept.append(doing), lambda *_: "")
    who = Who(name=by, roles=frozenset(roles), device="tablet 1")
    press(hall.site, who, act, Sent(uuid4(), {}, **sent))
    return kept[0]


def _needs(hall, action, by, roles, **sent):
    with pytest.raises(DeniedError) as refused:
        _pressed(hall, action, by, roles, **sent)
    return refused.value.needs, str(refused.value)


RELEASE = ("release", BRYONY, [Role.CLINICAL_LEAD])


def test_a_second_person_with_a_role_of_the_row_and_their_own_pin_counts(crew):
    doing = _pressed(crew, *RELEASE, second=SORREL, second_pin=PINS[SORREL])
    assert (doing.second.name, doing.second.by_own_entry) == (SORREL, True)


def test_a_second_person_may_scan_their_badge(crew):
    doing = _pressed(crew, *RELEASE, second=f"B-{SORREL}", second_pin=PINS[SORREL])
    assert doing.second.name == SORREL


def test_a_second_person_whose_role_the_row_does_not_allow_does_not_count(crew):
    needs, says = _needs(crew, *RELEASE, second=ROWAN, second_pin=PINS[ROWAN])
    assert needs == "second"
    assert "may not do this" in says


def test_a_second_person_whose_sign_off_is_over_does_not_count(crew):
    crew.clock("12:00", day=2, month=1)
    crew.employ(SORREL, Role.VACCINE_COORDINATOR, until=crew.site.now().date())
    crew.clock("12:00", day=4, month=1)
    needs, _ = _needs(crew, *RELEASE, second=SORREL, second_pin=PINS[SORREL])
    assert needs == "second"


def test_a_disabled_second_person_does_not_count(crew):
    person = crew.employ(SORREL)
    person.is_active = False
    person.save()
    needs, _ = _needs(crew, *RELEASE, second=SORREL, second_pin=PINS[SORREL])
    assert needs == "second"


@pytest.mark.parametrize("name", [BRYONY, BRYONY.upper(), f"B-{BRYONY}"])
def test_nobody_is_their_own_second_person_in_whatever_spelling(crew, name):
    needs, says = _needs(crew, *RELEASE, second=name, second_pin=PINS[BRYONY])
    assert (needs, says) == ("second", "this needs somebody else beside you")


def test_a_second_person_who_is_only_named_does_not_count(crew):
    assert _needs(crew, *RELEASE, second=SORREL)[0] == "second"
    assert _needs(crew, *RELEASE, second_pin=PINS[SORREL])[0] == "second"


def test_wrong_pins_of_a_second_person_are_counted(crew):
    for _ in range(5):
        _needs(crew, *RELEASE, second=SORREL, second_pin="000001")
    _, says = _needs(crew, *RELEASE, second=SORREL, second_pin=PINS[SORREL])
    assert "Try again in 1 min" in says


def test_a_second_pin_cannot_be_guessed_where_no_second_person_is_asked_for(crew):
    hold = ("hold", HAZEL, [Role.PREPARER])
    for _ in range(5):
        _needs(crew, *hold, second=SORREL, second_pin="000001")
    _, says = _needs(crew, *hold, second=SORREL, second_pin=PINS[SORREL])
    assert "Try again in 1 min" in says


def test_ones_own_pin_is_asked_for_again_and_wrong_ones_are_counted(crew):
    resume = ("resume", BRYONY, [Role.CLINICAL_LEAD])
    assert _pressed(crew, *resume, pin=PINS[BRYONY]).by == BRYONY
    assert _needs(crew, *resume)[0] == "pin"
    for _ in range(5):
        assert _needs(crew, *resume, pin="000001")[0] == "pin"
    assert "Try again in 1 min" in _needs(crew, *resume, pin=PINS[BRYONY])[1]


def test_clinical_lead_is_whoever_is_signed_off_as_that_today(crew):
    pins = StaffPins(crew.site.pins)
    assert pins.role_of(BRYONY) is Role.CLINICAL_LEAD
    assert pins.role_of(SORREL) is None
    crew.clock("12:00", day=2, month=3)
    crew.employ(BRYONY, Role.CLINICAL_LEAD, until=crew.site.now().date())
    crew.clock("12:00", day=4, month=3)
    assert pins.role_of(BRYONY) is None


def test_a_broken_glass_opens_what_its_rows_say_and_nothing_that_lets_a_vial_be_used():
    opened = {name for name, row in rights().items() if row.glass}
    assert opened == {"export-identified", "keep-copies", "share-supply"}
    never = ("use-past-limit", "release", "lengthen-limit", "adopt", "grant-self", "resume")
    roles = [Role.CLINICAL_LEAD]
    assert [way(n, roles, glass=True) for n in never] == [way(n, roles) for n in never]
    assert way("keep-copies", roles) is Way.DENIED
    assert way("keep-copies", roles, glass=True) is Way.PIN
