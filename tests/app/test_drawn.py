"""Drawn syringes that nobody was given: where they lie, until when, and which are held."""

from tests.cast import a_day, at

from thawline.app import holds, vials
from thawline.app.drawn import lying
from thawline.app.in_force import in_force
from thawline.app.receiving import receive_syringes
from thawline.base.instants import to_ms
from thawline.ledger.events import SyringesArrived


def drawn(day, when: str) -> list:
    with day.site.ledger.view() as view:
        return list(lying(view, in_force(day.site, view, at(when)), at(when)))


def test_a_syringe_keeps_as_long_as_the_vial_it_was_drawn_from():
    day = a_day()
    code = day.opened("07:00")
    vials.draw(day.site, day.doing("08:00", station="table 1"), code)
    [found] = drawn(day, "09:00")
    assert (found.syringe, found.station, found.drawn) == (f"{code}-01", "table 1", at("08:00"))
    assert (found.use_by, found.usable) == (at("12:00"), True)  # five hours after opening
    [later] = drawn(day, "12:00")
    assert (later.held, later.usable) == (False, False)


def test_what_was_wasted_lies_nowhere():
    day = a_day()
    code = day.opened("07:00")
    vials.draw(day.site, day.doing("08:00"), code, 2)
    vials.waste(day.site, day.doing("08:05"), f"syringe:{code}-01", 1, "spilled")
    assert [each.syringe for each in drawn(day, "09:00")] == [f"{code}-02"]


def test_held_ones_come_first_also_when_their_vial_was_discarded_before():
    day = a_day()
    code = day.opened("07:00")
    vials.draw(day.site, day.doing("08:00"), code, 2)
    vials.discard(day.site, day.doing("08:30"), code, "leftover")
    holds.hold(day.site, day.doing("08:40", why="needle touched"), [f"{code}-02"])
    found = drawn(day, "09:00")
    assert [(each.syringe, each.held, each.usable) for each in found] == [
        (f"{code}-02", True, False),
        (f"{code}-01", False, True),
    ]


def test_a_held_vial_holds_every_syringe_drawn_from_it():
    day = a_day()
    code = day.opened("07:00")
    vials.draw(day.site, day.doing("08:00"), code, 2)
    holds.hold(day.site, day.doing("08:40", why="shaken"), [code])
    assert [(each.held, each.usable) for each in drawn(day, "09:00")] == [(True, False)] * 2


def ready_drawn(day, **told) -> None:
    """Receive one syringe that came drawn."""
    came = SyringesArrived(
        syringes=("S-1",),
        lot="ZZ-1041",
        punctured_ms=to_ms(at("07:00")),
        drawn_by="the hub",
        use_by_ms=told.get("use_by_ms", to_ms(at("11:00"))),
    )
    receive_syringes(day.site, day.doing("08:00", station="chair 1"), came)


def test_a_syringe_that_came_drawn_keeps_until_its_own_use_by():
    day = a_day()
    ready_drawn(day)
    [found] = drawn(day, "10:59")
    assert (found.vial, found.use_by, found.usable) == (None, at("11:00"), True)
    assert drawn(day, "11:00")[0].usable is False


def test_one_whose_use_by_nobody_knows_is_held():
    day = a_day()
    ready_drawn(day, use_by_ms=None)
    [found] = drawn(day, "09:00")
    assert (found.use_by, found.held, found.usable) == (None, True, False)


def test_a_held_lot_holds_what_came_drawn():
    day = a_day()
    ready_drawn(day)
    holds.hold_lot(day.site, day.doing("09:00", why="withdrawn"), "ZZ-1041", "N-7")
    assert [each.held for each in drawn(day, "09:30")] == [True]
