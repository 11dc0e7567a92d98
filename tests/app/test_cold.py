"""Logger files on the record: once, vouched for, and never for another unit by a slip."""

from dataclasses import replace
from hashlib import sha256

import pytest
from tests.cast import ROWAN, a_day, at

from thawline.app.cold import LoggerFile, readings_of, record_file
from thawline.app.mending import undo
from thawline.base.errors import NotFoundError, RecordError
from thawline.base.instants import to_ms
from thawline.store.readings import readings
from thawline.store.units import Followed, StorageUnit

UNITS = (
    StorageUnit("freezer-1", "frozen", Followed.AT_DOWNLOAD),
    StorageUnit("fridge-1", "refrigerator", Followed.AT_DOWNLOAD),
    StorageUnit("table-1", "room", Followed.BY_HAND),
)


def cold_day(**more):
    """Return the Tuesday with its units named."""
    day = a_day(**more)
    day.site = replace(day.site, units=UNITS)
    return day


def seen(*rows):
    """Return readings of wall-clock times and degrees Celsius."""
    return readings([to_ms(at(clock)) for clock, _ in rows], [int(1000 * c) for _, c in rows])


def a_file(told=b"a file", **more):
    named = {"name": "fridge.csv", "read_as": "day-month, °C, America/Chicago, 5 min", **more}
    return LoggerFile(sha256=sha256(told).hexdigest(), blocks=lambda: [told], **named)


GOOD = seen(("05:00", 5), ("05:05", 5.5), ("05:10", 5.2))
WARM = seen(("05:10", 5.2), ("05:15", 8), ("05:20", 8.1), ("05:25", 6))


def of_fridge(day, unit="fridge-1"):
    """Return everything that counts for a unit, as instants and temperatures."""
    with day.site.ledger.view() as view:
        found = list(readings_of(day.site, view, unit))
    return [(each.file.name, each.readings.temp_mc.tolist()) for each in found]


def test_a_file_is_recorded_with_what_it_says_and_what_vouches_for_it():
    day = cold_day()

    outcome = record_file(day.site, day.doing("08:00", by=ROWAN), "fridge-1", GOOD, a_file())

    event = outcome.event
    assert (event.readings, event.new, event.lowest_mc, event.highest_mc) == (3, 3, 5000, 5500)
    assert (event.first_ms, event.last_ms) == (to_ms(at("05:00")), to_ms(at("05:10")))
    assert event.readings_sha256 in day.site.readings.pieces
    assert event.sha256 == sha256(b"a file").hexdigest()
    assert outcome.findings == ()


def test_one_reading_over_the_band_is_an_excursion_and_the_limit_itself_is_not():
    day = cold_day()

    outcome = record_file(day.site, day.doing("08:00", by=ROWAN), "fridge-1", WARM, a_file())

    (finding,) = outcome.findings
    assert (finding.level, finding.code, finding.item) == ("stop", "excursion", "S2")
    assert finding.says == (
        "fridge-1: 1 of 4 readings outside 2 to 8 °C: an excursion. What was inside is held, "
        "do not use, do not discard; keep cold and apart; call"
    )


def test_the_same_file_twice_changes_nothing():
    day = cold_day()
    first = record_file(day.site, day.doing("08:00", by=ROWAN), "fridge-1", GOOD, a_file())
    before = len(day.entries()), dict(day.site.readings.pieces)

    again = record_file(day.site, day.doing("09:00", by=ROWAN), "fridge-1", GOOD, a_file())

    assert (again.receipt.again, again.event) == (True, first.event)
    assert (len(day.entries()), day.site.readings.pieces) == before


def test_a_later_download_adds_only_what_is_new():
    day = cold_day()
    record_file(day.site, day.doing("08:00", by=ROWAN), "fridge-1", GOOD, a_file())

    later = a_file(b"a longer file")
    outcome = record_file(day.site, day.doing("09:00", by=ROWAN), "fridge-1", WARM, later)

    assert (outcome.event.readings, outcome.event.new) == (4, 3)


def test_the_same_bytes_read_in_another_way_are_asked_about():
    day = cold_day()
    record_file(day.site, day.doing("08:00", by=ROWAN), "fridge-1", GOOD, a_file())

    otherwise = seen(("04:00", 5), ("04:05", 5.5), ("04:10", 5.2))
    with pytest.raises(RecordError, match="already, read as day-month") as error:
        record_file(day.site, day.doing("09:00", by=ROWAN), "fridge-1", otherwise, a_file())
    assert "thawline journal undo 3" in error.value.advice


def test_an_undone_file_counts_no_more_and_can_be_read_again():
    day = cold_day()
    record_file(day.site, day.doing("08:00", by=ROWAN), "fridge-1", GOOD, a_file())
    undo(day.site, day.doing("08:10", by=ROWAN, why="wrong zone"), "3")
    gone = of_fridge(day)

    record_file(day.site, day.doing("08:20", by=ROWAN), "fridge-1", GOOD, a_file())

    assert gone == []
    assert of_fridge(day) == [("fridge.csv", [5000, 5500, 5200])]


def test_the_same_file_for_another_unit_is_asked_about():
    day = cold_day()
    record_file(day.site, day.doing("08:00", by=ROWAN), "fridge-1", GOOD, a_file())

    outcome = record_file(day.site, day.doing("09:00", by=ROWAN), "freezer-1", GOOD, a_file())

    assert [each.code for each in outcome.findings] == ["excursion", "file-of-another-unit"]


def test_two_probes_of_one_file_are_two_records():
    day = cold_day()
    for probe, unit in (("top", "fridge-1"), ("bottom", "fridge-1")):
        record_file(day.site, day.doing("08:00"), unit, GOOD, a_file(probe=probe))

    assert len(of_fridge(day)) == 2


@pytest.mark.parametrize(
    ("unit", "found", "error", "says"),
    [
        ("fridge-9", GOOD, NotFoundError, "no storage unit fridge-9 here"),
        ("fridge-1", seen(), RecordError, "fridge.csv holds no readings"),
        ("fridge-1", seen(("09:00", 5)), RecordError, "09:00:00-06:00, which has not come"),
    ],
    ids=["unknown unit", "no readings", "the future"],
)
def test_a_file_that_cannot_be_is_not_recorded(unit, found, error, says):
    day = cold_day()
    with pytest.raises(error, match=says):
        record_file(day.site, day.doing("08:00"), unit, found, a_file())

    assert len(day.entries()) == 2  # adopted, received
    assert day.site.readings.pieces == {}


def test_a_dry_run_keeps_nothing():
    day = cold_day()

    outcome = record_file(
        day.site, day.doing("08:00", dry_run=True), "fridge-1", GOOD, a_file()
    )

    assert outcome.receipt is None
    assert day.site.readings.pieces == {}


def test_readings_are_on_disk_before_the_entry_that_vouches_for_them():
    day = cold_day()

    def keep_and_look(*asked):
        day.site.readings.order = [len(day.entries())]
        return keep(*asked)

    keep, day.site.readings.keep = day.site.readings.keep, keep_and_look
    record_file(day.site, day.doing("08:00"), "fridge-1", GOOD, a_file())

    assert (day.site.readings.order, len(day.entries())) == ([2], 3)
