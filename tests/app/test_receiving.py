"""What comes in at the door: frozen cartons, thawed vials, syringes drawn elsewhere."""

from dataclasses import replace
from decimal import Decimal

import pytest
from msgspec.structs import replace as changed
from tests.app.arrivals import CAME, FOREIGN, LABEL
from tests.cast import (
    EXPIRY,
    FREEZER,
    LOT,
    SORREL,
    TRANSPORT,
    a_day,
    at,
    codes,
    small,
)

from thawline.app import coding
from thawline.app.in_force import in_force
from thawline.app.receiving import (
    Label,
    Thawed,
    receive_chilled,
    receive_frozen,
    receive_syringes,
    receive_thawed,
)
from thawline.app.sending import send
from thawline.app.standings import stood
from thawline.base.errors import RecordError, RefusedError, ReusedIdError
from thawline.base.findings import Level
from thawline.base.instants import from_ms, to_ms
from thawline.ledger.events import SyringesArrived
from thawline.receive.inspection import Arrival
from thawline.vial.codes import vial_code
from thawline.vial.folds import CARTON, carton_key
from thawline.vial.reckon import State
from thawline.vial.syringes import SYRINGE

HERE = vial_code(900, "harrowmint")
TOLD = SyringesArrived(
    syringes=("S-01", "S-02"),
    lot=LOT,
    punctured_ms=to_ms(at("06:00")),
    drawn_by=SORREL,
    use_by_ms=to_ms(at("09:00")),
)


def arrived(day, came=CAME, vials=(FOREIGN,)):
    return receive_thawed(day.site, day.doing("05:00", by=SORREL), LABEL, vials, came)


def standing_of(day, vial, clock):
    with day.site.ledger.view() as view:
        return stood(view, in_force(day.site, view, at(clock)), vial, at(clock)).reckoning


# --- frozen cartons -----------------------------------------------------------------------


def test_frozen_cartons_are_counted_by_lot_and_unit_and_no_vial_has_a_code():
    day = a_day(vials=0)

    outcome = day.receive(40, temperature_c=Decimal("-21.5"))

    carton = day.one(CARTON, carton_key(FREEZER, LOT))
    assert (carton.vials, carton.doses_per_vial, carton.rows) == (40, 8, ())
    assert (outcome.event.temperature_mc, outcome.findings) == (-21_500, ())


@pytest.mark.parametrize(
    ("seen", "found", "held"),
    [
        ({"soft": True}, "soft-on-arrival", True),
        ({"temperature_c": Decimal("-9")}, "warm-on-arrival", True),
        ({"dry_ice": True}, "dry-ice", True),
        ({"damage": "one corner wet"}, "damaged", False),
        ({"listed_vials": 39}, "list-differs", False),
    ],
)
def test_what_is_soft_warm_or_on_forbidden_ice_is_held(seen, found, held):
    day = a_day(vials=0)

    outcome = day.receive(40, **seen)

    assert found in codes(outcome.findings)
    assert bool(day.one(CARTON, carton_key(FREEZER, LOT)).rows) is held


@pytest.mark.parametrize("vials", [0, -3])
def test_an_arrival_counts_at_least_one_vial(vials):
    day = a_day()

    with pytest.raises(RecordError, match=f"1 or more: {vials}"):
        receive_frozen(day.site, day.doing("01:00"), LABEL, FREEZER, Arrival(vials))


@pytest.mark.parametrize("lot", ["", "  ", "A|B", "Z" * 21, "ZZ\n1041", "ZZ\x00"])
def test_a_lot_is_what_is_printed_at_most_twenty_characters(lot):
    """Twenty: GS1 application identifier 10, as the clinical check values give it."""
    with pytest.raises(RecordError, match="not a lot") as error:
        Label(lot, EXPIRY)

    assert repr(lot) in str(error.value)
    assert Label("Z" * 20, EXPIRY).lot == "Z" * 20


def test_a_label_has_an_expiry_that_can_be_read():
    with pytest.raises(RecordError, match="not an expiry: 'August'"):
        Label(LOT, "August")


def test_what_is_past_its_label_is_said_on_arrival_and_stays_in_the_freezer():
    day = a_day(vials=0)
    doing = day.doing("01:00", by=SORREL)

    past = Label(LOT, "2026-02-02")
    outcome = receive_frozen(day.site, doing, past, FREEZER, Arrival(5, 5, Decimal(-20)))

    assert codes(outcome.findings) == ["expired"]
    with pytest.raises(RefusedError, match="past the expiry on its label"):
        day.thaw(1, "04:00")
    assert day.one(CARTON, carton_key(FREEZER, LOT)).rows == ()


def test_thawed_vials_past_their_label_are_said_on_arrival():
    day = a_day(small(TRANSPORT))
    doing = day.doing("05:00", by=SORREL)

    outcome = receive_thawed(day.site, doing, Label(LOT, "2026-01"), (FOREIGN,), CAME)

    assert codes(outcome.findings) == ["expired"]
    assert standing_of(day, FOREIGN, "05:30").usable is False


def test_the_same_delivery_with_other_figures_is_another_act():
    day = a_day(vials=0)
    doing = day.doing("01:00", by=SORREL)
    receive_frozen(day.site, doing, LABEL, FREEZER, Arrival(5, temperature_c=Decimal(-20)))

    with pytest.raises(ReusedIdError):
        receive_frozen(day.site, doing, LABEL, FREEZER, Arrival(5, temperature_c=Decimal(-9)))


# --- thawed vials -------------------------------------------------------------------------


def test_thawed_vials_go_on_with_the_history_they_bring():
    day = a_day(small(TRANSPORT))

    outcome = arrived(day)

    found = standing_of(day, FOREIGN, "05:30")
    assert (outcome.findings, found.state, found.usable) == ((), State.CHILLED, True)
    assert (found.use_by, found.set_by) == (at("01:00", day=23), "chilled")


@pytest.mark.parametrize(
    ("missing", "named"),
    [
        ("thawed_lo", "thaw start"),
        ("room_used_min", "room minutes"),
        ("transport_used_min", "transport minutes"),
        ("trips_used", "trips"),
    ],
)
def test_a_gap_in_the_history_holds_them_and_is_named(missing, named):
    day = a_day(small(TRANSPORT))

    outcome = arrived(day, replace(CAME, **{missing: None}))

    (stop,) = outcome.findings
    assert (stop.level, stop.code) == (Level.STOP, "arrived-without-history")
    assert f"not known: {named};" in stop.says
    assert standing_of(day, FOREIGN, "05:30").state is State.HELD


@pytest.mark.parametrize(
    ("changed", "code"),
    [
        ({"carried_min": 41}, "carried-too-long"),
        ({"by_mode": "helicopter"}, "mode-not-allowed"),
        ({"held": "shaken on the way"}, "held"),
    ],
)
def test_what_was_carried_too_long_or_held_by_the_sender_is_held(changed, code):
    day = a_day(small(TRANSPORT))

    outcome = arrived(day, replace(CAME, **changed))

    assert codes(outcome.findings) == [code]
    assert standing_of(day, FOREIGN, "05:30").state is State.HELD


def test_a_vial_thawed_after_it_arrived_cannot_be():
    day = a_day(small(TRANSPORT))

    with pytest.raises(RecordError, match="thawed 2026-02-03T06:00:00-06:00, after"):
        arrived(day, replace(CAME, thawed_lo=at("06:00"), thawed_hi=at("06:00")))


@pytest.mark.parametrize(
    "figure", ["doses", "room_used_min", "transport_used_min", "trips_used"]
)
def test_a_history_has_no_figure_below_zero(figure):
    with pytest.raises(RecordError, match="below zero"):
        replace(CAME, **{figure: -1})


def test_a_code_checks_at_the_site_that_gave_it():
    day = a_day(small(TRANSPORT))

    with pytest.raises(RecordError, match=f"{HERE} does not check at quillbeck"):
        arrived(day, vials=(HERE,))
    assert arrived(day, replace(CAME, from_site=None), (HERE,)).event.vials == (HERE,)


def test_a_vial_arrives_once():
    day = a_day(small(TRANSPORT))
    arrived(day)

    with pytest.raises(RecordError, match=f"{FOREIGN} is the code of a vial that is here"):
        arrived(day)
    with pytest.raises(RecordError, match="named twice"):
        arrived(day, vials=(FOREIGN, FOREIGN))
    with pytest.raises(RecordError, match="none is"):
        arrived(day, vials=())


def test_a_vial_that_was_sent_away_may_come_back():
    day = a_day(small(TRANSPORT))
    (vial,) = day.thaw()
    send(day.site, day.doing("06:30"), (vial,), "quillbeck", "cart")

    came = replace(CAME, from_site=None)
    doing = day.doing("07:00", by=SORREL)
    outcome = receive_thawed(day.site, doing, LABEL, (vial,), came)

    assert outcome.event.vials == (vial,)
    assert standing_of(day, vial, "07:01").usable is False  # carried twice by now


def test_without_a_count_of_doses_the_protocols_own_counts():
    day = a_day(small(TRANSPORT))

    assert arrived(day, replace(CAME, doses=None)).event.doses == 8
    assert arrived(day, replace(CAME, doses=0), (vial_code(901, "quillbeck"),)).event.doses == 0


# --- syringes drawn elsewhere -------------------------------------------------------------


def syringes(day, told=TOLD):
    return receive_syringes(day.site, day.doing("07:00", by=SORREL), told)


def test_ready_drawn_syringes_with_all_that_is_needed_are_in_order():
    day = a_day()

    outcome = syringes(day)

    assert (outcome.findings, outcome.event) == ((), TOLD)
    assert day.one(SYRINGE, "S-01").rows == ()


@pytest.mark.parametrize("missing", ["punctured_ms", "drawn_by", "use_by_ms"])
def test_ready_drawn_syringes_with_a_gap_are_held(missing):
    day = a_day()

    outcome = syringes(day, changed(TOLD, **{missing: None}))

    assert codes(outcome.findings) == ["arrived-without-history"]
    assert day.one(SYRINGE, "S-01").rows[0].what == "hold"


@pytest.mark.parametrize(
    ("told", "kept"),
    [
        ({"use_by_ms": to_ms(at("11:30"))}, "11:00"),  # five hours from the puncture
        ({"expiry": "2026-02-02"}, "00:00"),  # the end of the label
        ({"expiry": "2026-08"}, "09:00"),
    ],
)
def test_the_strictest_limit_on_ready_drawn_syringes_counts(told, kept):
    day = a_day()

    outcome = syringes(day, changed(TOLD, **told))

    shortened = kept != "09:00"
    assert from_ms(outcome.event.use_by_ms) == at(kept)
    assert codes(outcome.findings) == (["use-by-shortened"] if shortened else [])


def test_a_syringe_arrives_once_under_a_lot():
    day = a_day()
    syringes(day)

    with pytest.raises(RecordError, match="there is a syringe S-01 here already"):
        syringes(day)
    with pytest.raises(RecordError, match="named twice"):
        syringes(day, changed(TOLD, syringes=("S-09", "S-09")))
    with pytest.raises(RecordError, match="none is"):
        syringes(day, changed(TOLD, syringes=()))
    with pytest.raises(RecordError, match="not a lot"):
        syringes(day, changed(TOLD, syringes=("S-09",), lot=""))


# --- thawed vials from a supplier ---------------------------------------------------------


def supplied(day, count=2, came=None):
    doing = day.doing("05:00", by=SORREL)
    history = came or replace(CAME, from_site=None, by_mode=None, carried_min=None)
    return receive_chilled(day.site, doing, LABEL, count, history)


def test_thawed_vials_from_a_supplier_get_codes_of_this_site_and_keep_their_history():
    day = a_day(small(TRANSPORT))

    outcome = supplied(day)

    first, second = outcome.event.vials
    assert (first, second) == (vial_code(0, "harrowmint"), vial_code(1, "harrowmint"))
    assert standing_of(day, first, "05:30").use_by == at("01:00", day=23)
    assert (outcome.findings, standing_of(day, second, "05:30").usable) == ((), True)


def test_their_codes_are_not_given_out_again():
    day = a_day(small(TRANSPORT))

    came = supplied(day).event.vials

    assert not set(came) & set(day.thaw(3, "05:10"))


def test_a_gap_in_what_a_supplier_tells_holds_the_vials():
    day = a_day(small(TRANSPORT))

    outcome = supplied(day, came=Thawed())

    (stop,) = outcome.findings
    assert stop.code == "arrived-without-history"
    assert "thaw start, room minutes, transport minutes, trips" in stop.says


@pytest.mark.parametrize("count", [0, 501])
def test_one_to_five_hundred_vials_come_at_once(count):
    day = a_day(small(TRANSPORT))

    with pytest.raises(RecordError, match=f"1 to 500: {count}"):
        supplied(day, count)


def test_when_every_code_is_in_use_nothing_is_received(monkeypatch):
    day = a_day(small(TRANSPORT))
    monkeypatch.setattr(coding, "CODES", 1)

    with pytest.raises(RecordError, match="no 2 vial codes are left at harrowmint"):
        supplied(day)
