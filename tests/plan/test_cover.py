"""A sick call: every case small enough to be seen at a glance; all people invented."""

from datetime import time

import pytest

from thawline.base.errors import NotFoundError, RecordError
from thawline.base.roles import Role
from thawline.plan.cover import Member, Post, Span, found_in, gaps

SIX_THIRTY = time(6, 30)
MORNING, AFTERNOON = Span(time(7), time(13)), Span(time(13), time(19))
ALL_DAY = Span(time(7), time(19))


def member(name, *signed_off, works=None, span=ALL_DAY):
    post = None if works is None else Post(works, span)
    return Member(name, frozenset(signed_off), post)


ROWAN = member("Rowan", Role.SCREENER, works=Role.SCREENER)
HAZEL = member("Hazel", Role.SCREENER)


def one_gap(team, ill=ROWAN, since=SIX_THIRTY):
    (gap,) = gaps(team, [ill], since)
    return gap


def test_somebody_signed_off_and_free_covers():
    gap = one_gap([ROWAN, HAZEL])

    assert (gap.ill, gap.cover, gap.closed) == ("Rowan", "Hazel", ())


def test_nobody_is_named_who_is_not_signed_off():
    willing = member("Sorrel", Role.REGISTRAR, Role.OBSERVER)

    gap = one_gap([ROWAN, willing])

    assert (gap.cover, gap.others, gap.movable) == (None, (), ())
    assert gap.closed == (ALL_DAY,)


def test_whoever_works_then_is_not_free():
    busy = member("Sorrel", Role.SCREENER, Role.OBSERVER, works=Role.OBSERVER, span=AFTERNOON)

    assert one_gap([ROWAN, busy]).cover is None


def test_whoever_comes_off_as_the_post_begins_is_free():
    early = member("Sorrel", Role.SCREENER, works=Role.SCREENER, span=MORNING)
    late = member("Rowan", Role.SCREENER, works=Role.SCREENER, span=AFTERNOON)

    assert one_gap([late, early], late).cover == "Sorrel"


def test_somebody_at_home_is_called_before_somebody_with_a_shift_of_their_own():
    early = member("Aster", Role.SCREENER, works=Role.SCREENER, span=MORNING)
    late = member("Rowan", Role.SCREENER, works=Role.SCREENER, span=AFTERNOON)

    gap = one_gap([early, late, HAZEL], late)

    assert (gap.cover, gap.others) == ("Hazel", ("Aster",))


def test_who_is_ill_covers_nothing():
    found = gaps([ROWAN, HAZEL], [ROWAN, HAZEL], SIX_THIRTY)

    assert [gap.cover for gap in found] == [None]


def test_two_gaps_are_both_covered_where_one_choice_would_leave_one_open():
    # Hazel could do either; Aster the screening alone. So Hazel goes to the desk.
    desk = member("Sorrel", Role.REGISTRAR, works=Role.REGISTRAR)
    hazel = member("Hazel", Role.SCREENER, Role.REGISTRAR)
    aster = member("Aster", Role.SCREENER)

    found = gaps([ROWAN, desk, hazel, aster], [ROWAN, desk], SIX_THIRTY)

    assert [gap.cover for gap in found] == ["Aster", "Hazel"]


def test_the_gap_that_closes_something_is_covered_first():
    # Two register, one screens: without Rowan nobody screens.
    desks = [member(n, Role.REGISTRAR, works=Role.REGISTRAR) for n in ("Ash", "Elm")]
    hazel = member("Hazel", Role.SCREENER, Role.REGISTRAR)

    found = gaps([*desks, ROWAN, hazel], [desks[0], ROWAN], SIX_THIRTY)

    assert [(gap.cover, gap.stay) for gap in found] == [(None, 1), ("Hazel", 1)]


def test_one_of_two_alike_is_enough_where_the_other_closes_something_else():
    # Both who vaccinate and the only one who screens are ill; two could do either. Screening
    # begins last, but one at a chair and one at screening leave nothing closed.
    chairs = [member(n, Role.VACCINATOR, works=Role.VACCINATOR) for n in ("Ash", "Elm")]
    late = member("Rowan", Role.SCREENER, works=Role.SCREENER, span=Span(time(9), time(19)))
    both = [member(n, Role.SCREENER, Role.VACCINATOR) for n in ("Hazel", "Linden")]

    found = gaps([*chairs, late, *both], [*chairs, late], SIX_THIRTY)

    assert [gap.closed for gap in found] == [(), (), ()]
    assert sum(gap.cover is None for gap in found) == 1


def test_where_only_the_other_of_two_alike_can_be_covered_that_one_is():
    # Ash works in the morning, Elm all day; Hazel is free only in the morning.
    ash = member("Ash", Role.VACCINATOR, works=Role.VACCINATOR, span=MORNING)
    elm = member("Elm", Role.VACCINATOR, works=Role.VACCINATOR)
    hazel = member("Hazel", Role.VACCINATOR, Role.RUNNER, works=Role.RUNNER, span=AFTERNOON)

    found = gaps([elm, ash, hazel], [elm, ash], SIX_THIRTY)

    assert [(gap.cover, gap.closed) for gap in found] == [(None, (AFTERNOON,)), ("Hazel", ())]


def test_nobody_covers_two_at_once():
    other = member("Linden", Role.SCREENER, works=Role.SCREENER)

    found = gaps([ROWAN, other, HAZEL], [ROWAN, other], SIX_THIRTY)

    assert sorted(gap.cover or "" for gap in found) == ["", "Hazel"]
    assert [gap.stay for gap in found] == [1, 1]


def test_it_closes_only_while_nobody_else_is_there():
    early = member("Aster", Role.SCREENER, works=Role.SCREENER, span=Span(time(7), time(11)))
    late = member("Linden", Role.SCREENER, works=Role.SCREENER, span=Span(time(12), time(18)))

    gap = one_gap([ROWAN, early, late])

    assert gap.closed == (Span(time(11), time(12)), Span(time(18), time(19)))
    assert gap.stay == 0


def test_a_call_in_the_day_counts_from_then_on():
    assert one_gap([ROWAN], since=time(10)).closed == (Span(time(10), time(19)),)


@pytest.mark.parametrize("since", [time(19), time(23)])
def test_a_post_that_is_over_leaves_no_gap(since):
    assert gaps([ROWAN, HAZEL], [ROWAN], since) == ()


def test_somebody_without_work_that_day_leaves_no_gap():
    assert gaps([ROWAN, HAZEL], [HAZEL], SIX_THIRTY) == ()


def test_somebody_may_move_only_where_others_stay():
    both = (Role.REGISTRAR, Role.SCREENER)
    alone = member("Ash", *both, works=Role.REGISTRAR)
    second = member("Elm", Role.REGISTRAR, works=Role.REGISTRAR)

    assert one_gap([ROWAN, alone]).movable == ()
    assert one_gap([ROWAN, alone, second]).movable == ("Ash",)


def test_somebody_there_for_part_of_the_time_does_not_move():
    part = member("Ash", Role.REGISTRAR, Role.SCREENER, works=Role.REGISTRAR, span=MORNING)
    second = member("Elm", Role.REGISTRAR, works=Role.REGISTRAR)

    assert one_gap([ROWAN, part, second]).movable == ()


def test_work_without_sign_off_counts_for_nothing():
    unsigned = member("Ash", Role.REGISTRAR, works=Role.SCREENER)

    gap = one_gap([ROWAN, unsigned])

    assert not unsigned.works_signed_off
    assert (gap.stay, gap.movable, gap.closed) == (0, (), (ALL_DAY,))


def test_names_are_found_however_they_are_written_and_once():
    assert found_in([ROWAN, HAZEL], [" rowan ", "ROWAN"]) == (ROWAN,)


def test_a_name_nobody_has_is_said_with_the_nearest():
    with pytest.raises(NotFoundError, match="nobody is called 'Rown'") as raised:
        found_in([ROWAN, HAZEL], ["Rown"])

    assert raised.value.advice == "did you mean Rowan?"


def test_a_name_like_nobodys_points_to_the_file():
    with pytest.raises(NotFoundError) as raised:
        found_in([ROWAN], ["Zzz"])

    assert raised.value.advice == "see the team's file"


@pytest.mark.parametrize("ends", [time(7), time(6)])
def test_a_shift_that_does_not_end_after_it_starts_is_refused(ends):
    with pytest.raises(RecordError, match="a shift from 07:00 to"):
        Span(time(7), ends)


def test_of_two_that_close_something_the_one_that_begins_sooner_is_covered():
    late = member("Linden", Role.OBSERVER, works=Role.OBSERVER, span=AFTERNOON)
    early = member("Ash", Role.OBSERVER, works=Role.OBSERVER, span=MORNING)
    one = member("Elm", Role.OBSERVER)

    found = gaps([late, early, one], [late, early], SIX_THIRTY)

    assert [gap.cover for gap in found] == [None, "Elm"]
