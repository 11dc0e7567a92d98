"""What is gathered before a needle: of syringes that came ready drawn, of days and stations."""

import pytest
from tests.app.chairs import FEN, MARSH, a_chair, asked, book, given, needle, noted, stops
from tests.cast import (
    OTHER_LOT,
    ROWAN,
    SORREL,
    TRANSPORT,
    a_day,
    at,
    codes,
    small,
    with_second,
)

from thawline.app.doses import question
from thawline.app.holds import Asked, hold, hold_lot, release, release_lot
from thawline.app.receiving import receive_syringes
from thawline.app.sending import send
from thawline.base.errors import RefusedError
from thawline.base.instants import to_ms
from thawline.ledger.events import SyringesArrived


def ready_drawn(day, **more):
    """Receive one syringe that came ready drawn, good until 11:00."""
    known = {
        "lot": OTHER_LOT,
        "punctured_ms": to_ms(at("06:00")),
        "drawn_by": SORREL,
        "use_by_ms": to_ms(at("11:00")),
        **more,
    }
    receive_syringes(day.site, day.doing("07:00"), SyringesArrived(syringes=("S-01",), **known))
    return needle(code="S-01")


def test_a_syringe_that_came_ready_drawn_keeps_the_use_by_it_came_with():
    day, *_ = a_chair()
    hand = ready_drawn(day)

    assert asked(day, hand, "10:59").may
    assert stops(asked(day, hand, "11:00")) == {"past-use-by"}


@pytest.mark.parametrize(
    ("unknown", "found"),
    [
        ("punctured_ms", {"held"}),
        ("drawn_by", {"held"}),
        ("use_by_ms", {"held", "use-by-not-known"}),
    ],
)
def test_a_ready_drawn_syringe_with_a_gap_in_its_history_is_held(unknown, found):
    """Source: practice.md 8: lot, puncture time, drawn by, use-by; else hold."""
    day, *_ = a_chair()
    hand = ready_drawn(day, **{unknown: None})

    assert stops(asked(day, hand, "08:00")) == found


def test_a_hold_on_a_ready_drawn_syringe_or_its_lot_lasts_until_it_is_released():
    day, *_ = a_chair()
    hand = ready_drawn(day)
    lifted = with_second(day.doing("08:30", by=ROWAN, why="lifted"))
    hold_lot(day.site, day.doing("08:00", why="withdrawn"), OTHER_LOT, "")
    of_lot = stops(asked(day, hand, "08:10"))
    release_lot(day.site, lifted, OTHER_LOT, "")
    hold(day.site, day.doing("08:40", why="dropped"), ["S-01"])
    own = stops(asked(day, hand, "08:41"))

    release(day.site, with_second(day.doing("08:50", why="cap was on")), ["S-01"], Asked())

    assert (of_lot, own) == ({"lot-held"}, {"held"})
    assert asked(day, hand, "08:51").may


def test_a_dose_of_a_ready_drawn_syringe_is_of_its_lot():
    day, *_ = a_chair()
    hand = ready_drawn(day)

    event = given(day, hand, "09:00").event

    assert (event.lot, event.vial, event.doses_from) == (OTHER_LOT, None, "syringe:S-01")


def test_of_several_bookings_the_help_named_last_counts():
    day, _, (syringe, *_) = a_chair()
    book(day, "DEMO-000007", needs="wheelchair")
    book(day, "DEMO-000007", needs="lying down")
    book(day, "DEMO-000007")

    (finding,) = asked(day, needle("DEMO-000007", syringe), "09:00").findings

    assert finding.says == "Help needed: lying down."


def unasked(code):
    """Return a dose for a person whom nobody asked the screening questions just now."""
    return needle(code=code, screened_by=None, screening=None)


def on(day, hand, clock, march=0):
    """Return the answer before the needle on a day of March, or the day after the Tuesday."""
    when = at(clock, march, 3) if march else at(clock, 4)
    return question(day.site, hand, "", when)


def test_a_screening_of_yesterday_has_expired():
    """Source: practice.md 5: answers expire that day."""
    day, _, (syringe, *_) = a_chair()
    noted(day, needle(code=syringe), "09:00")

    assert asked(day, unasked(syringe), "10:00").may
    assert "not-screened" in stops(on(day, unasked(syringe), "08:00"))


def test_of_two_screenings_on_a_day_the_later_counts():
    day, _, (syringe, *_) = a_chair()
    noted(day, needle(code=syringe), "09:00")
    with pytest.raises(RefusedError):
        noted(day, needle(code=syringe, screening="refer"), "09:05")

    assert stops(asked(day, unasked(syringe), "09:06")) == {"screened-not-to-give"}


def test_the_second_dose_waits_28_days_after_the_first_given_here():
    """Source: clinical.md 1.2: day 28 of Tuesday 3 February is Tuesday 3 March."""
    day, _, (syringe, *_) = a_chair()
    given(day, needle(code=syringe), "09:00")

    assert "too-early" in stops(on(day, needle(code=syringe), "23:59", 2))
    assert "too-early" not in stops(on(day, needle(code=syringe), "00:00", 3))
    assert on(day, needle(code=syringe), "00:00", 3).dose_number == 2


def test_a_check_is_asked_for_only_from_its_own_time_on():
    day, _, syringes = a_chair()
    noted(day, needle(FEN, syringes[1]), "09:00")

    earlier = asked(day, needle(code=syringes[0]), "08:59", "chair 3")
    at_once = asked(day, needle(code=syringes[0]), "09:00", "chair 3")

    assert (codes(earlier.findings), codes(at_once.findings)) == ([], ["dose-not-recorded"])


def test_a_station_nobody_names_asks_for_nobody():
    day, _, syringes = a_chair()
    noted(day, needle(FEN, syringes[1]), "09:00", station="")

    assert asked(day, needle(code=syringes[0]), "09:10").findings == ()


def test_a_vial_sent_away_gives_no_dose_here():
    day = a_day(small(TRANSPORT))
    book(day, MARSH)
    (vial,) = day.thaw()
    send(day.site, day.doing("08:00", by=ROWAN), (vial,), "quillbeck", "vehicle")

    assert "not-here" in stops(asked(day, needle(code=vial), "09:00"))
