"""The script of Tuesday: laws that hold for any seed, whatever the crew does."""

from collections import Counter

import pytest

from thawline.demo import script
from thawline.demo.crew import crew_of
from thawline.demo.district import TUESDAY, place_named
from thawline.demo.hall import LUNCH_S
from thawline.demo.tuesday import Told, tuesday

HALL = place_named("harrowmint")
SEEDS = [28, 1, 2, 3, 4, 5, 6, 7]
QUARTER_HOUR_S = 900


@pytest.fixture(name="steps", params=SEEDS, scope="module")
def _steps(request):
    return _script(request.param)


def _script(seed, vials=69):
    told = Told(HALL, TUESDAY, seed, vials, 10, QUARTER_HOUR_S)
    return tuesday(told, crew_of(HALL.name, seed))


def _of(steps, kind):
    return [step for step in steps if isinstance(step, kind)]


def _drawn(steps):
    counts, drawn = Counter(), {}
    for step in _of(steps, script.DrawDoses):
        for _ in range(step.doses):
            counts[step.vial] += 1
            drawn[script.Syringe(step.vial, counts[step.vial])] = step.at_s
    return drawn


def test_steps_follow_each_other_in_time(steps):
    assert [step.at_s for step in steps] == sorted(step.at_s for step in steps)


def test_no_syringe_is_scanned_before_it_was_drawn(steps):
    drawn = _drawn(steps)

    assert all(drawn[step.syringe] <= step.at_s for step in _of(steps, script.CheckDose))


def test_no_syringe_is_given_or_wasted_twice(steps):
    ends = _of(steps, script.GiveDose) + _of(steps, script.WasteSyringe)

    assert max(Counter(step.syringe for step in ends).values()) == 1


def test_one_syringe_is_left_that_nobody_recorded(steps):
    ends = _of(steps, script.GiveDose) + _of(steps, script.WasteSyringe)

    assert len(set(_drawn(steps)) - {step.syringe for step in ends}) == 1


def test_a_vial_stands_a_quarter_of_an_hour_on_the_table_before_it_is_opened(steps):
    brought = {vial: s.at_s for s in _of(steps, script.BringToTable) for vial in s.vials}
    opened = _of(steps, script.OpenVial)

    assert all(step.at_s >= brought[step.vial] + QUARTER_HOUR_S for step in opened)


def test_every_opened_vial_is_discarded_and_none_gives_eleven_doses(steps):
    opened = {step.vial for step in _of(steps, script.OpenVial)}
    discarded = {step.vial for step in _of(steps, script.DiscardVial)}

    assert opened <= discarded
    assert max(Counter(syringe.vial for syringe in _drawn(steps)).values()) == 10


def test_a_vial_is_drawn_from_between_its_opening_and_its_end(steps):
    opened = {step.vial: step.at_s for step in _of(steps, script.OpenVial)}
    ended = {step.vial: step.at_s for step in _of(steps, script.DiscardVial)}
    draws = _of(steps, script.DrawDoses)

    assert all(opened[step.vial] < step.at_s <= ended[step.vial] for step in draws)


def test_over_lunch_nobody_sits_down_at_the_chairs_that_are_closed(steps):
    noon = [s for s in _of(steps, script.CheckDose) if LUNCH_S[0] + 300 < s.at_s < LUNCH_S[1]]

    assert {step.station for step in noon} == {"chair 2", "chair 3", "chair 5"}


def test_nobody_gets_two_doses(steps):
    assert max(Counter(step.person for step in _of(steps, script.GiveDose)).values()) == 1


def test_the_rules_are_expected_to_refuse_three_scans(steps):
    refused = [step for step in _of(steps, script.CheckDose) if step.refused]

    assert [step.station for step in refused] == ["chair 4", "chair 2", "chair 5"]


def test_the_look_alikes_never_lie_on_one_table(steps):
    lots = [step.lot for step in _of(steps, script.TakeOut) for _ in range(step.vials)]
    brought = [
        (s.station, lots[vial]) for s in _of(steps, script.BringToTable) for vial in s.vials
    ]

    assert {station for station, lot in brought if lot == "ZZ-1014"} == {"table 3"}
    assert ("table 3", "ZZ-1041") not in brought


def test_a_plan_that_thaws_too_little_is_topped_up_at_noon():
    taken = _of(_script(28, vials=60), script.TakeOut)

    assert [step.at_s for step in taken if step.at_s > 0] == [45_000]


def test_the_same_seed_gives_the_same_script():
    assert _script(28) == _script(28)
