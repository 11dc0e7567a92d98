"""Figures beside the published ones: equal, stricter, or neither; all made up."""

import pytest
from tests.rules.made_up import PROTOCOL, REFERENCES, audited, changed, slips, without

from thawline.rules.audit import audit
from thawline.rules.published import read_published
from thawline.rules.reading import examined

CHECK = ("differs-from-source", "check")
STOP = ("differs-from-source", "stop")


def test_a_file_that_says_what_is_published_has_nothing_to_answer():
    assert slips() == []


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("low_c = -30\nhigh_c = -20\nlow_f = -22", "low_c = -29\nhigh_c = -20\nlow_f = -20"),
        ('allows = "PT5H"', 'allows = "PT4H59M"'),
        ('allows = "P20D"', 'allows = "P19D"'),
        ('allows = "PT12H"', 'allows = "PT11H"'),
        ('takes = "PT3H"', 'takes = "PT3H1M"'),
        ('takes = "PT3H"', 'takes = "PT3H1S"'),
        ('earliest = "P21D"', 'earliest = "P22D"'),
        ('grace_for_judging = "P3D"', 'grace_for_judging = "P2D"'),
        ("\nmost = 2", "\nmost = 1"),
        ("value = 8, most = 9", "value = 8, most = 8"),
        ("value = 8, most = 9", "value = 7, most = 9"),
        ('repeat_after = "P21D"', 'repeat_after = "P22D"'),
        ('late_after = "P35D"', 'late_after = "P42D"'),
    ],
    ids=[
        "narrower band",
        "a minute less",
        "a day less",
        "smaller cap",
        "longer thaw",
        "thaw a second longer",
        "later dose",
        "less grace",
        "fewer trips",
        "fewer doses at most",
        "fewer counted on",
        "later repeat",
        "local late day",
    ],
)
def test_a_stricter_or_local_figure_is_said_and_stops_nobody(old, new):
    assert slips((old, new)) == [CHECK]


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("low_c = -30\nhigh_c = -20\nlow_f = -22", "low_c = -31\nhigh_c = -20\nlow_f = -24"),
        ('allows = "PT5H"', 'allows = "PT5H1M"'),
        ('allows = "P20D"', 'allows = "PT480H"'),
        ('allows = "PT12H"', 'allows = "PT13H"'),
        ('takes = "PT3H"', 'takes = "PT2H59M"'),
        ('earliest = "P21D"', 'earliest = "P20D"'),
        ('grace_for_judging = "P3D"', 'grace_for_judging = "P4D"'),
        ('repeat_after = "P21D"', 'repeat_after = "P20D"'),
        ("most_lb = 110", "most_lb = 111"),
        ("\nmost = 2", "\nmost = 3"),
        ("value = 8, most = 9", "value = 8, most = 10"),
        ("may = false", "may = true"),
        ("repeat_when_too_early = true", "repeat_when_too_early = false"),
        ("value = 0.4,", "value = 0.38,"),
    ],
    ids=[
        "wider band",
        "a minute more",
        "days as hours",
        "larger cap",
        "shorter thaw",
        "earlier dose",
        "more grace",
        "earlier repeat",
        "heavier people",
        "more trips",
        "more doses",
        "punctured carried",
        "not repeated",
        "another dose volume",
    ],
)
def test_any_other_difference_stops(old, new):
    assert slips((old, new)) == [STOP]


def test_a_difference_is_said_in_words_with_both_figures():
    (slip,) = audited(changed(('allows = "PT5H"', 'allows = "PT6H30M"')))

    assert slip.says == "clocks.open.allows is 6 h 30 min; published two: 5 h"
    assert (slip.item, slip.line, slip.unit) == ("C4", 56, "ISO 8601")


def test_a_missing_cap_stops_where_it_could_bind():
    (slip,) = audited(without("[caps.room_total]"))

    assert (slip.code, slip.level.value) == ("missing-item", "stop")
    assert slip.says == "caps.room_total.allows is missing; published two: 12 h"


def test_a_missing_cap_is_nothing_where_the_clocks_stay_below_it_anyway():
    raw = without("[caps.room_total]").replace(b"PT10H", b"PT7H")

    assert {slip.code for slip in audited(raw)} == {"differs-from-source"}


@pytest.mark.parametrize("length", [b"PT10H", b"PT5H"], ids=["room time", "open time"])
def test_a_missing_cap_stops_where_a_clock_cannot_be_read(length):
    raw = without("[caps.room_total]").replace(length, b"10 h")

    assert ("missing-item", "stop") in [(s.code, s.level.value) for s in audited(raw)]


def test_a_clock_under_another_name_is_not_the_published_one():
    raw = changed(
        ("[clocks.open]", "[clocks.opened]"),
        ('"open"]', '"opened"]'),
        ('"clocks.open"', '"clocks.opened"'),
        ("{clocks.open.", "{clocks.opened."),
    )

    (slip,) = audited(raw)

    assert (slip.code, slip.level.value, slip.key) == (
        "missing-item",
        "stop",
        "clocks.open.allows",
    )
    assert slip.says == "clocks.open.allows is missing; published two: 5 h"


def test_a_way_of_carrying_without_its_time_is_said_with_the_published_one():
    (slip,) = audited(changed(('allows = "PT4H"\n', "")))

    assert slip.says == "transport.by.sledge.allows is missing; published two: 4 h"


@pytest.mark.parametrize(
    ("raw", "key"),
    [
        (
            changed(('repeat_when_too_early = true\nrepeat_after = "P21D"\n', "")),
            "schedule.dose_2.repeat_when_too_early",
        ),
        (changed(('allows = "PT4H"\n', "")), "transport.by.sledge.allows"),
    ],
    ids=["nothing on early doses", "a way that is forbidden by saying nothing"],
)
def test_what_cannot_be_answered_without_it_is_said(raw, key):
    assert ("missing-item", "check", key) in [
        (slip.code, slip.level.value, slip.key) for slip in audited(raw)
    ]


@pytest.mark.parametrize(
    ("vials", "doses", "found"),
    [(2, 16, []), (1, 16, [CHECK]), (2, 8, [CHECK]), (3, 16, [STOP]), (2, 17, [STOP])],
)
def test_fewer_syringes_drawn_ahead_are_stricter(vials, doses, found):
    ahead = (
        f'\n[predrawn]\nitem = "D6"\nmost_vials = {vials}\nmost_doses = {doses}\n'
        'source = "tale"\n'
    )

    slips_found = audited(PROTOCOL.encode() + ahead.encode())

    assert [(slip.code, slip.level.value) for slip in slips_found] == found


def test_what_the_site_may_leave_out_is_not_missed():
    raw = without("[transport.trips]")

    assert audited(raw) == ()


def test_forbidding_what_is_published_as_allowed_is_stricter():
    carried = REFERENCES.replace(
        '"transport.punctured.may" = { may = false', '"transport.punctured.may" = { may = true'
    )

    found = audit(examined(changed()), read_published(carried.encode()))

    assert [(slip.code, slip.level.value, slip.key) for slip in found] == [
        (*CHECK, "transport.punctured.may")
    ]
