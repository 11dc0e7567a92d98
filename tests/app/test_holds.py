"""What a hold reaches, what ends it, and who had a lot."""

import pytest
from tests.cast import (
    BRYONY,
    LOT,
    OTHER_LOT,
    ROWAN,
    a_day,
    at,
    codes,
    with_second,
)

from thawline.app.doses import give, question
from thawline.app.holds import Asked, hold, hold_lot, people_of_lot, release, release_lot
from thawline.app.in_force import in_force
from thawline.app.in_hand import Needle
from thawline.app.ports import Name
from thawline.app.receiving import receive_syringes
from thawline.app.standings import stood
from thawline.app.vials import discard, draw, move
from thawline.base.errors import NotFoundError, RecordError, RefusedError, SecondPersonError
from thawline.base.findings import Level
from thawline.ledger.events import SyringesArrived, VialHeld

SHAKEN = "shaken"


def drawn(day, doses=3, station="chair 2"):
    """Open a vial and draw doses from it; return its code and those of the syringes."""
    vial = day.opened()
    outcome = draw(day.site, day.doing("07:10", station=station), vial, doses)
    return vial, outcome.event.syringes


def stops(day, syringe, clock):
    """Return the codes of the stops for a syringe before the needle."""
    needle = Needle(person="DEMO-000001", syringe=syringe, screening="give-15")
    found = question(day.site, needle, "chair 2", at(clock)).findings
    return {finding.code for finding in found if finding.level is Level.STOP}


def standing_of(day, vial, clock):
    with day.site.ledger.view() as view:
        return stood(view, in_force(day.site, view, at(clock)), vial, at(clock)).reckoning


def test_a_hold_names_the_syringes_that_are_out_and_where_they_were():
    day = a_day()
    vial, syringes = drawn(day)
    give(day.site, day.doing("07:20"), Needle("DEMO-000009", syringe=syringes[0]))

    outcome, out = hold(day.site, day.doing("07:31", why=SHAKEN), [vial, vial])

    assert outcome.event == VialHeld(vials=(vial,), why=SHAKEN)
    assert [(each.syringe, each.station) for each in out] == [
        (syringes[1], "chair 2"),
        (syringes[2], "chair 2"),
    ]
    assert [finding.level for finding in outcome.findings] == [Level.STOP]


def test_a_hold_reaches_every_syringe_drawn_from_the_vial():
    day = a_day()
    vial, syringes = drawn(day)
    before = stops(day, syringes[2], "07:30")

    hold(day.site, day.doing("07:31", why=SHAKEN), [vial])

    assert "held" not in before
    assert all("held" in stops(day, syringe, "07:32") for syringe in syringes)


def test_a_hold_reaches_a_syringe_whose_vial_was_discarded_before():
    day = a_day()
    vial, syringes = drawn(day)
    discard(day.site, day.doing("07:20"), vial, "leftover")

    hold(day.site, day.doing("07:31", why="particles seen"), [vial])

    assert "held" in stops(day, syringes[0], "07:32")


def test_a_recall_reaches_a_syringe_whose_vial_was_discarded_before():
    day = a_day()
    vial, syringes = drawn(day)
    discard(day.site, day.doing("07:20"), vial, "leftover")

    hold_lot(day.site, day.doing("07:31", why="withdrawn"), LOT, "UV-2026-03")

    assert "lot-held" in stops(day, syringes[0], "07:32")


def test_discarding_the_empty_vial_ends_none_of_its_syringes():
    day = a_day()
    vial, syringes = drawn(day)
    discard(day.site, day.doing("07:20"), vial, "leftover")

    assert not stops(day, syringes[0], "07:32") & {"held", "past-use-by", "vial-discarded"}
    assert "past-use-by" in stops(day, syringes[0], "12:00")


def test_a_recall_reaches_syringes_that_came_ready_drawn():
    day = a_day()
    came = SyringesArrived(
        syringes=("S-01",),
        lot=OTHER_LOT,
        punctured_ms=1,
        drawn_by="somebody",
        use_by_ms=4_000_000_000_000,
    )
    receive_syringes(day.site, day.doing("07:00"), came)

    _, out = hold_lot(day.site, day.doing("07:31", why="withdrawn"), OTHER_LOT, "")

    assert [each.syringe for each in out] == ["S-01"]
    assert "lot-held" in stops(day, "S-01", "07:32")


def test_the_end_of_a_recall_leaves_a_shaken_vial_held():
    day = a_day()
    (vial,) = day.ready()
    hold(day.site, day.doing("07:00", why=SHAKEN), [vial])
    hold_lot(day.site, day.doing("07:10", why="withdrawn"), LOT, "")

    release_lot(day.site, with_second(day.doing("08:00", by=ROWAN, why="lifted")), LOT, "")

    assert codes(standing_of(day, vial, "08:01").findings) == ["held"]


def test_releasing_one_vial_does_not_take_it_out_of_a_recall():
    day = a_day()
    (vial,) = day.ready()
    hold(day.site, day.doing("07:00", why=SHAKEN), [vial])
    hold_lot(day.site, day.doing("07:10", why="withdrawn"), LOT, "")

    release(day.site, with_second(day.doing("08:00", by=ROWAN, why="logger")), [vial], Asked())

    assert codes(standing_of(day, vial, "08:01").findings) == ["lot-held"]
    with pytest.raises(RecordError, match="lot"):
        release(
            day.site, with_second(day.doing("08:05", by=ROWAN, why="logger")), [vial], Asked()
        )


def test_a_release_takes_two_people_each_by_their_own_entry():
    day = a_day()
    (vial,) = day.ready()
    hold(day.site, day.doing("07:00", why=SHAKEN), [vial])

    doing = with_second(day.doing("08:00", by=ROWAN, why="health unit: use"))
    asked = Asked("Health Unit", "use it", "UV-17")
    event = release(day.site, doing, [vial], asked).event

    assert (event.second, event.called, event.answer) == (BRYONY, "Health Unit", "use it")
    assert standing_of(day, vial, "07:59").usable is False
    assert standing_of(day, vial, "08:01").usable is True


@pytest.mark.parametrize("named", [True, False], ids=["only named", "nobody"])
def test_a_second_person_who_was_only_named_releases_nothing(named):
    day = a_day()
    (vial,) = day.ready()
    hold(day.site, day.doing("07:00", why=SHAKEN), [vial])
    alone = day.doing("08:00", by=ROWAN, why="health unit: use")

    doing = with_second(alone, by_own_entry=False) if named else alone
    with pytest.raises(SecondPersonError, match="second person"):
        release(day.site, doing, [vial], Asked())
    assert standing_of(day, vial, "08:01").usable is False


def test_a_refrozen_vial_is_never_released():
    day = a_day()
    (vial,) = day.ready()
    move(day.site, day.doing("07:00", happened=True, why="found there"), [vial], "freezer")
    hold(day.site, day.doing("07:01", why="found in the freezer"), [vial])

    with pytest.raises(RefusedError) as refusal:
        release(day.site, with_second(day.doing("08:00", why="sure?")), [vial], Asked())
    assert codes(refusal.value.findings) == ["refrozen"]


def test_what_is_not_held_cannot_be_released():
    day = a_day()
    (vial,) = day.ready()

    with pytest.raises(RecordError, match="is not held"):
        release(day.site, with_second(day.doing("08:00", why="lifted")), [vial], Asked())
    with pytest.raises(RecordError, match="lot ZZ-1041 is not held"):
        release_lot(day.site, with_second(day.doing("08:00", why="lifted")), LOT, "")


def test_a_lot_that_was_released_is_not_held_any_more():
    day = a_day()
    (vial,) = day.ready()
    hold_lot(day.site, day.doing("07:00", why="withdrawn"), LOT, "UV-3")
    release_lot(day.site, with_second(day.doing("08:00", why="lifted")), LOT, "UV-4")

    assert standing_of(day, vial, "08:01").usable is True
    with pytest.raises(RecordError, match="is not held"):
        release_lot(day.site, with_second(day.doing("08:10", why="again")), LOT, "")


@pytest.mark.parametrize("why", ["", "  "])
def test_holds_and_releases_say_why(why):
    day = a_day()
    (vial,) = day.ready()
    doing = with_second(day.doing("07:00", why=why))
    acts = [
        lambda: hold(day.site, doing, [vial]),
        lambda: release(day.site, doing, [vial], Asked()),
        lambda: hold_lot(day.site, doing, LOT, ""),
        lambda: release_lot(day.site, doing, LOT, ""),
    ]

    for each in acts:
        with pytest.raises(RecordError, match="needs a reason"):
            each()
    assert len(day.entries()) == 4  # adopted, received, to the fridge, to the table


def test_a_hold_of_nothing_is_no_hold():
    day = a_day()

    with pytest.raises(RecordError, match="no vial is named"):
        hold(day.site, day.doing("07:00", why=SHAKEN), [])


def test_a_mistyped_code_is_not_held_and_the_nearest_is_named():
    day = a_day()
    (vial,) = day.ready()
    wrong = vial[:4] + ("A" if vial[4] != "A" else "C")

    with pytest.raises(NotFoundError, match=f"no vial {wrong} here") as error:
        hold(day.site, day.doing("07:00", why=SHAKEN), [wrong])
    assert error.value.advice == f"did you mean {vial}?"


def test_one_syringe_can_be_held_and_released_by_itself():
    day = a_day()
    _, syringes = drawn(day)
    first, second, _ = syringes

    _, out = hold(day.site, day.doing("07:31", why="dropped"), [first])
    held = "held" in stops(day, first, "07:32"), "held" in stops(day, second, "07:32")
    release(day.site, with_second(day.doing("07:40", why="cap was on")), [first], Asked())

    assert [each.syringe for each in out] == [first]
    assert held == (True, False)
    assert "held" not in stops(day, first, "07:41")


def test_a_ready_drawn_syringe_with_a_gap_is_held_until_released():
    day = a_day()
    came = SyringesArrived(syringes=("S-01",), lot=LOT, use_by_ms=4_000_000_000_000)
    receive_syringes(day.site, day.doing("07:00"), came)
    before = "held" in stops(day, "S-01", "07:01")

    release(day.site, with_second(day.doing("07:40", why="Quillbeck says")), ["S-01"], Asked())

    assert before is True
    assert "held" not in stops(day, "S-01", "07:41")
    with pytest.raises(RecordError, match="S-01 is not held"):
        release(day.site, with_second(day.doing("07:45", why="again")), ["S-01"], Asked())


def test_the_recipients_of_a_lot_are_listed_as_they_were_given():
    day = a_day()
    _, syringes = drawn(day)
    day.site.people.put("DEMO-000002", Name("Bryony Testwick", phone="555-0101"))
    give(day.site, day.doing("07:30"), Needle("DEMO-000001", syringe=syringes[0]))
    give(day.site, day.doing("07:20"), Needle("DEMO-000002", syringe=syringes[1]))

    had = people_of_lot(day.site, LOT)

    assert [one.person for one in had] == ["DEMO-000002", "DEMO-000001"]
    assert [one.name and one.name.phone for one in had] == ["555-0101", None]


def test_a_lot_nobody_had_yet_has_no_recipients_and_an_unknown_lot_is_not_found():
    day = a_day()

    assert people_of_lot(day.site, LOT) == []
    with pytest.raises(NotFoundError, match="no lot ZZ-9999 here"):
        people_of_lot(day.site, "ZZ-9999")


@pytest.mark.parametrize(
    ("lot", "meant"), [("ZZ-1014", "was ZZ-1041 meant?"), ("AB-7", "Read the number")]
)
def test_a_lot_that_never_was_here_is_held_and_asked_about(lot, meant):
    day = a_day()

    outcome, _ = hold_lot(day.site, day.doing("07:00", why="withdrawn"), lot, "UV-3")

    assert codes(outcome.findings) == ["held", "lot-not-here"]
    assert meant in outcome.findings[1].says
