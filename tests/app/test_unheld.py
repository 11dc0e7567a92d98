"""
What was inside a unit that went out is held on record, or the command for it is said.

The freezer of the cold room: band minus 50 to minus 15 °C, called about after 5 minutes out.
"""

from dataclasses import replace

import pytest
from tests.app.cold_room import LOG, ColdRoom
from tests.cast import BRYONY, LOT, ROWAN, at

from thawline.app.acts import Second
from thawline.app.followed_readings import FollowedReadings
from thawline.app.holds import Asked, release
from thawline.app.unheld import unheld
from thawline.base.errors import BusyError
from thawline.base.findings import Level
from thawline.ledger.alert_events import AlertRaised
from thawline.ledger.events import UnitWarmed, VialHeld
from thawline.store.units import Followed, StorageUnit
from thawline.vial.folds import carton_key

COMMAND = (
    "thawline cold exposure freezer-1 --since 2026-02-03T02:08:00-06:00 --hold "
    "--why 'freezer-1 was above its band' --by 'Rowan Thistle' --site harrowmint"
)


@pytest.fixture
def room():
    """A followed freezer with the sealed vials of the cast in it, its readings on record."""
    return ColdRoom(recorded=True)


@pytest.fixture
def holding(room):
    """The same, and what was inside is held by the one who follows it."""
    room.follow(holds=True)
    return room


def first_out(room):
    """Let one reading be out; nobody is called yet."""
    room.file(("02:00", -20), ("02:03", -19.5), ("02:08", -14.2))
    return room.lines("02:09", LOG)


def test_the_first_reading_out_says_what_is_not_held_and_the_command_to_copy(room):
    _, line = first_out(room)

    assert line.finding.level is Level.STOP
    assert line.says.startswith("not held by the record: 40 sealed vials that may have been")
    assert "do not use, do not discard" in line.says
    assert line.below == (COMMAND,)
    assert room.events(VialHeld) == room.events(AlertRaised) == []


def test_the_same_command_is_not_said_again_while_nothing_changes(room):
    first_out(room)
    room.file(("02:08", -14.2), ("02:14", -12))

    assert "not held" not in " ".join(room.look("02:14", LOG))


def test_with_holds_the_carton_is_held_once_and_its_clocks_run(holding):
    first_out(holding)
    holding.file(("02:08", -14.2), ("02:14", -12), ("02:19", -12))
    holding.lines("02:20", LOG)

    (held,) = holding.events(VialHeld)
    assert held.cartons == (carton_key("freezer-1", LOT),)
    assert held.why == "freezer-1 was above its band"
    assert len(holding.events(UnitWarmed)) == 1


def test_a_hold_is_said_with_its_caution(holding):
    said = [line.says for line in first_out(holding)]

    assert any("40 sealed in 1 lots" in each and "do not discard" in each for each in said)
    assert unheld(holding.site, "freezer-1", None) == []


def test_readings_in_band_hold_nothing_and_release_nothing(holding):
    first_out(holding)
    holding.file(("02:14", -16), ("02:19", -17))
    holding.lines("02:20", LOG)

    assert len(holding.events(VialHeld)) == 1
    assert [e for e in holding.day.entries() if "Released" in type(e.event).__name__] == []


def test_what_two_people_released_is_not_held_again_by_old_readings(holding):
    first_out(holding)
    holding.file(("02:14", -16), ("02:19", -17))
    holding.lines("02:20", LOG)
    doing = holding.day.doing(
        "02:30", by=ROWAN, why="asked", second=Second(BRYONY, by_own_entry=True)
    )
    release(
        holding.site,
        doing,
        (),
        Asked("Health Unit", "may be used", "C-7"),
        (carton_key("freezer-1", LOT),),
    )
    holding.follow(holds=True)

    assert list(holding.follower.begin()) == []
    assert len(holding.events(VialHeld)) == 1


def test_an_excursion_of_another_day_is_said_with_its_date(room):
    first_out(room)
    today = [each.finding.says for each in unheld(room.site, "freezer-1", None)]
    room.day.now = at("02:10", day=5)
    later = [each.finding.says for each in unheld(room.site, "freezer-1", None)]

    assert "when it was out from 02:08." in today[0]
    assert "when it was out from 2026-02-03 02:08." in later[0]


def test_a_restart_says_again_what_is_still_not_held(room):
    first_out(room)
    room.follow()

    assert [line.below for line in room.follower.begin()] == [(COMMAND,)]


def test_a_unit_in_which_nothing_was_says_nothing_of_holds(room):
    for unit in ("freezer-1", "freezer-2"):
        other = StorageUnit(unit, "frozen", Followed.LIVE)
        room.day.site = replace(room.day.site, units=(*room.day.site.units, other))
    room.unit = other
    room.follow()

    assert len(first_out(room)) == 1


def test_a_carton_in_a_freezer_that_nobody_named_may_be_in_any(room):
    # The shipment went into freezer-1, and the site has named freezer-2 alone.
    room.unit = StorageUnit("freezer-2", "frozen", Followed.LIVE)
    room.day.site = replace(room.day.site, units=(room.unit,))
    room.seen = FollowedReadings(room.day.site, ROWAN)
    room.follow(holds=True)
    first_out(room)

    assert room.events(VialHeld)[0].cartons == (carton_key("freezer-1", LOT),)
    assert [(e.unit, e.lots) for e in room.events(UnitWarmed)] == [
        ("freezer-2", ()),
        ("freezer-1", (LOT,)),
    ]
    assert unheld(room.site, "freezer-2", None) == []


# --- a disk that fails ----------------------------------------------------------------------


class FullDisk:
    """A store of readings on a disk that is full for a while."""

    def __init__(self, store):
        self.store, self.full = store, True

    def of(self, unit):
        """Return all readings of a unit."""
        return self.store.of(unit)

    def add(self, unit, new, source):
        """Keep readings while there is room."""
        if self.full:
            raise BusyError("the disk is full; no reading was kept")
        self.store.add(unit, new, source)


class FullLedger:
    """A ledger on a disk that is full for a while; it can be read."""

    def __init__(self, ledger):
        self.ledger, self.full = ledger, True

    def __getattr__(self, name):
        if name == "record" and self.full:
            raise BusyError("the disk is full; nothing was recorded")
        return getattr(self.ledger, name)


@pytest.fixture
def full(room):
    """The followed freezer on a full disk."""
    room.seen = FullDisk(room.seen)
    room.follow()
    return room


def test_readings_that_cannot_be_written_down_are_said_with_what_is_out(full):
    (line,) = first_out(full)

    assert line.finding.level is Level.STOP
    assert "3 new readings of log.csv could not be written down: the disk is full" in line.says
    assert "1 of them are outside the band: what was inside is held, do not use" in line.says


def test_nothing_is_lost_once_there_is_room_again(full):
    first_out(full)
    again = full.look("02:10")
    full.seen.full = False
    said = full.look("02:11")

    assert again == []
    assert said[0].startswith("freezer-1: 3 new readings from log.csv")
    assert len(full.seen.of("freezer-1")) == 3


def without_room(room, *, holds=False):
    """Let the ledger be full from now on, its readings already on record."""
    ledger = FullLedger(room.day.site.ledger)
    room.day.site = replace(room.day.site, ledger=ledger)
    room.follow(holds=holds)
    return ledger


def test_an_alert_that_cannot_be_written_down_is_said_with_whom_to_call(room):
    room.file(("02:00", -20), ("02:08", -14.2), ("02:14", -12))
    room.day.now = at("02:14")
    room.seen.add("freezer-1", room.files[LOG].seen, "log.csv")
    ledger = without_room(room)

    line = room.lines("02:14")[0]

    assert "This could not be written down: the disk is full" in line.says
    assert line.below[0] == "You call Sorrel K., vaccine coordinator, 555-0101"
    ledger.full = False
    assert "is minus 12.0 °C" in " ".join(room.look("02:14"))


def test_a_hold_that_cannot_be_written_down_is_tried_again(room):
    first_out(room)
    ledger = without_room(room, holds=True)

    (line,) = room.follower.begin()

    assert "a hold could not be written down: the disk is full" in line.says
    ledger.full = False
    room.lines("02:10")
    assert len(room.events(VialHeld)) == 1


def test_a_folder_that_is_gone_is_said_once_and_when_it_is_back(room):
    room.day.now = at("02:10")
    said = [line.says for line in room.follower.without_folder(LOG)]

    assert "is not there any more: not known how warm" in said[0]
    assert list(room.follower.without_folder(LOG)) == []
    assert room.look("02:12")[0] == "freezer-1: the folder is there again"
