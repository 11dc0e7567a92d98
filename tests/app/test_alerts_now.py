"""What somebody must answer now: held and past vials, doses that may not be used, people."""

from tests.cast import a_day, at
from tests.cast import codes as codes_of

from thawline.app.alerts_now import alerts_now
from thawline.app.holds import hold
from thawline.app.in_force import in_force
from thawline.app.standings import all_stood
from thawline.app.vials import draw, open_vial, waste


def alerts(day, clock):
    now = at(clock)
    with day.site.ledger.view() as view:
        stands = tuple(all_stood(view, in_force(day.site, view, now), now))
        return alerts_now(day.site, view, stands, now)


def of_vials(day, clock):
    return [each for each in alerts(day, clock) if "use-by" in each.code or "held" in each.code]


def test_nothing_is_said_of_a_vial_with_hours_left():
    day = a_day()
    day.opened("07:00")  # the small protocol: 5 h once open
    assert not of_vials(day, "11:14")


def test_doses_that_may_not_be_used_are_named_three_quarters_of_an_hour_before():
    day = a_day()
    vial = day.opened("07:00")
    [found] = of_vials(day, "11:15")
    assert (found.level.value, found.code) == ("act", "use-by-soon")
    assert f"8 doses in {vial} may not be used by 12:00" in found.says


def test_a_vial_past_its_use_by_with_doses_in_it_is_a_stop():
    day = a_day()
    vial = day.opened("07:00")
    [found] = of_vials(day, "12:00")
    assert (found.level.value, found.code) == ("stop", "use-by")
    assert f"do not draw from {vial}" in found.says


def test_an_emptied_vial_asks_for_nothing():
    day = a_day()
    vial = day.opened("07:00")
    waste(day.site, day.doing("07:30"), f"vial:{vial}", 8, "spilled")
    assert not of_vials(day, "12:00")


def test_a_held_vial_names_where_its_syringes_are_and_what_not_to_do():
    day = a_day()
    vial = day.opened("07:00")
    draw(day.site, day.doing("07:10", station="table 1"), vial, 2)
    hold(day.site, day.doing("07:31", why="shaken"), [vial])
    [found] = of_vials(day, "07:40")
    assert (found.level.value, found.code) == ("stop", "vial-held")
    assert found.says == (
        f"do not use {vial}. It is held: do not discard it, keep it cold and apart, call the "
        "vaccine coordinator. Drawn syringes: 2, at table 1."
    )


def test_the_worst_comes_first():
    day = a_day()
    for vial, clock in zip(day.ready(count=2), ("07:40", "07:00"), strict=True):
        open_vial(day.site, day.doing(clock), vial)
    assert codes_of(of_vials(day, "12:00")) == ["use-by", "use-by-soon"]
