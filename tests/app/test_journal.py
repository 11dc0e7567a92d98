"""What the journal shows, and when an entry may be undone or corrected."""

from dataclasses import replace
from uuid import UUID

import pytest
from msgspec.structs import replace as replace_event
from tests.cast import (
    BRYONY,
    EXPIRY,
    FREEZER,
    LOT,
    ROWAN,
    Day,
    a_day,
    at,
    codes,
    with_second,
)
from tests.fakes import FakeLedger

from thawline.adapters.wiring import FOLDS
from thawline.app.acts import act
from thawline.app.doses import give
from thawline.app.holds import hold, hold_lot
from thawline.app.in_force import in_force
from thawline.app.in_hand import Needle
from thawline.app.journal import Wanted, listed, shown
from thawline.app.mending import correct, undo
from thawline.app.standings import stood
from thawline.app.vials import draw, move, open_vial
from thawline.base.errors import NotFoundError, RecordError, RefusedError, SecondPersonError
from thawline.base.instants import Occurred, exactly
from thawline.ledger.entries import Decision, Kind
from thawline.ledger.events import Corrected, Noted, VialMoved
from thawline.vial.folds import VIAL

WRONG = "wrong vial scanned"


@pytest.fixture
def day():
    return a_day()


def last(day):
    return day.entries()[-1]


def note(day, clock):
    """Record a remark that touches nothing else."""
    return act(day.site, day.doing(clock), {}, lambda _: Decision(Noted(says="quiet")))


def undone(day, clock, named, **more):
    return undo(day.site, day.doing(clock, why=WRONG, **more), named)


def corrected(day, clock, named, changes=None, occurred=None):
    doing = day.doing(clock, why=WRONG)
    return correct(day.site, doing, named, changes or {}, occurred)


def use_by(day, code, clock):
    with day.site.ledger.view() as view:
        return stood(
            view, in_force(day.site, view, at(clock)), code, at(clock)
        ).reckoning.use_by


# --- what is shown ----------------------------------------------------------------------


def test_the_newest_entries_are_listed_oldest_of_them_first(day):
    day.ready()

    found = listed(day.site, Wanted(most=2))

    assert [type(entry.event).__name__ for entry in found] == ["VialMoved", "VialMoved"]
    assert found == day.entries()[-2:]


def test_a_long_journal_is_read_from_its_end(day):
    for number in range(600):
        note(day, f"07:{number // 60:02}:{number % 60:02}")

    found = listed(day.site, Wanted(most=550))

    assert [entry.seq for entry in found] == list(range(53, 603))


def test_entries_are_listed_from_when_they_were_recorded(day):
    note(day, "07:00")
    note(day, "08:00")

    found = listed(day.site, Wanted(most=50, since=at("08:00")))

    assert [entry.seq for entry in found] == [4]


def test_entries_are_listed_by_kind(day):
    (code,) = day.ready("06:35")
    with pytest.raises(RefusedError):
        open_vial(day.site, day.doing("06:36"), code)

    found = listed(day.site, Wanted(most=50, kind=Kind.REFUSAL))

    assert [entry.seq for entry in found] == [last(day).seq]


def test_a_vials_entries_are_those_of_its_syringes_too(day):
    vial = day.opened()
    syringe = draw(day.site, day.doing("07:10"), vial, 1).event.syringes[0]
    give(day.site, day.doing("07:20"), Needle("DEMO-000009", syringe=syringe))
    note(day, "07:30")

    found = listed(day.site, Wanted(most=50, vial=vial))

    names = [type(entry.event).__name__ for entry in found]
    assert names == ["VialMoved", "VialMoved", "VialPunctured", "DoseDrawn", "DoseGiven"]


def test_a_correction_is_listed_with_the_entries_of_what_it_corrects(day):
    (code,) = day.thaw()
    undone(day, "04:05", str(last(day).seq))

    found = listed(day.site, Wanted(most=50, vial=code))

    assert [type(entry.event).__name__ for entry in found] == ["VialMoved", "Corrected"]
    assert found[0].corrected_by == found[1].seq


def test_a_persons_entries_are_listed_and_both_filters_narrow_each_other(day):
    vial = day.opened()
    drawn = draw(day.site, day.doing("07:10"), vial, 2).event.syringes
    for person, syringe in zip(("DEMO-000001", "DEMO-000002"), drawn, strict=True):
        give(day.site, day.doing("07:20"), Needle(person, syringe=syringe))

    found = listed(day.site, Wanted(most=50, person="DEMO-000002"))
    both = listed(day.site, Wanted(most=50, person="DEMO-000002", vial=vial))

    assert [entry.event.person for entry in found] == ["DEMO-000002"]
    assert both == found


@pytest.mark.parametrize("wanted", [{"vial": "ZZ99Z"}, {"person": "DEMO-999999"}])
def test_a_vial_or_person_of_whom_nothing_is_recorded_is_said(day, wanted):
    with pytest.raises(NotFoundError):
        listed(day.site, Wanted(most=50, **wanted))


def test_an_entry_is_shown_by_its_number_or_its_id(day):
    day.thaw()
    entry = last(day)

    assert shown(day.site, str(entry.seq)).entry == entry
    assert shown(day.site, str(entry.id)).entry == entry


@pytest.mark.parametrize("named", ["0", "99", str(UUID(int=77)), "nonsense"])
def test_an_entry_that_is_not_there_is_said(day, named):
    with pytest.raises(NotFoundError, match="no entry"):
        shown(day.site, named)


def test_a_corrected_entry_shows_both_what_was_written_and_what_counts(day):
    codes_ = day.thaw(2)
    seq = last(day).seq
    corrected(day, "04:05", str(seq), {"vials": codes_[0]})

    found = shown(day.site, str(seq))

    assert found.entry.event.vials == tuple(codes_)
    assert found.counts_as.event.vials == (codes_[0],)
    assert (found.correction.seq, found.correction.event.why) == (seq + 1, WRONG)


# --- undoing ----------------------------------------------------------------------------


def test_the_last_entry_of_a_vial_can_be_undone(day):
    (code,) = day.thaw()

    outcome = undone(day, "04:05", str(last(day).seq))

    assert outcome.event.undo
    assert day.one(VIAL, code) is None
    assert last(day).kind is Kind.CORRECTION


def test_an_entry_that_others_build_on_is_not_undone_and_says_which(day):
    (code,) = day.thaw()
    seq = last(day).seq
    move(day.site, day.doing("06:35", by=ROWAN), [code], "table")

    with pytest.raises(RefusedError, match=rf"build on it: {seq + 1} \(VialMoved\)") as refused:
        undone(day, "06:40", str(seq))

    assert codes(refused.value.findings) == ["later-entries"]
    assert refused.value.advice.startswith(f"thawline journal correct {seq} --set")


def test_what_happened_to_other_vials_does_not_matter(day):
    first = day.thaw()[0]
    seq = last(day).seq
    other = day.thaw(clock="04:10")[0]
    del other

    undone(day, "04:20", str(seq + 1))
    undone(day, "04:21", str(seq))

    assert day.one(VIAL, first) is None


def test_a_carton_that_was_opened_cannot_be_made_not_to_have_come(day):
    received = last(day).seq
    day.thaw()

    with pytest.raises(RefusedError, match="build on it"):
        undone(day, "04:05", str(received))


def test_an_entry_is_undone_once_what_built_on_it_was_undone(day):
    (code,) = day.thaw()
    seq = last(day).seq
    move(day.site, day.doing("06:35", by=ROWAN), [code], "table")
    undo(day.site, with_second(day.doing("06:40", why=WRONG)), str(seq + 1))

    undone(day, "06:41", str(seq))

    assert day.one(VIAL, code) is None


def test_an_entry_cannot_be_undone_twice(day):
    day.thaw()
    seq = last(day).seq
    undone(day, "04:05", str(seq))

    with pytest.raises(RefusedError, match=f"entry {seq} was undone by {seq + 1}"):
        undone(day, "04:06", str(seq))


def test_undoing_the_undoing_brings_the_entry_back(day):
    (code,) = day.thaw()
    before = day.one(VIAL, code)
    seq = last(day).seq
    undone(day, "04:05", str(seq))

    undone(day, "04:06", str(seq + 1))

    assert day.one(VIAL, code) == before
    assert shown(day.site, str(seq)).correction is None


def test_an_undoing_is_not_undone_once_others_built_on_it(day):
    (code,) = day.thaw()
    seq = last(day).seq
    undone(day, "04:05", str(seq))
    day.doing("04:06")
    assert day.thaw(clock="04:07") == [code]

    with pytest.raises(RefusedError, match="build on it"):
        undone(day, "04:08", str(seq + 1))


def test_refusals_and_adoptions_are_never_undone(day):
    with pytest.raises(RefusedError, match="cannot be undone"):
        undone(day, "04:05", "1")


def test_an_undoing_needs_a_reason(day):
    with pytest.raises(RecordError, match="needs a reason"):
        undo(day.site, day.doing("04:05"), "2")


# --- whatever buys a vial time needs two ------------------------------------------------


def test_undoing_the_opening_of_a_vial_needs_a_second_person(day):
    day.opened()

    with pytest.raises(SecondPersonError, match="buys a vial time"):
        undone(day, "07:05", str(last(day).seq))


def test_a_second_person_by_their_own_entry_is_written_down_and_shown(day):
    code = day.opened()
    doing = with_second(day.doing("07:05", why=WRONG))

    outcome = undo(day.site, doing, str(last(day).seq))

    assert (outcome.event.second, codes(outcome.findings)) == (BRYONY, ["buys-time"])
    # 10 hours on the table from 06:35, the fixture's own figure; no longer 5 hours from 07:00.
    assert use_by(day, code, "07:06") == at("16:35")


def test_a_second_person_who_was_only_named_does_not_count(day):
    day.opened()
    doing = with_second(day.doing("07:05", why=WRONG), by_own_entry=False)

    with pytest.raises(SecondPersonError):
        undo(day.site, doing, str(last(day).seq))


def test_a_later_opening_time_needs_a_second_person_and_an_earlier_one_does_not(day):
    code = day.opened("07:00")
    seq = str(last(day).seq)

    with pytest.raises(SecondPersonError):
        corrected(day, "09:00", seq, occurred=exactly(at("07:01")))
    corrected(day, "09:00", seq, occurred=exactly(at("06:50")))

    assert use_by(day, code, "09:01") == at("11:50")  # 5 hours from 06:50


def test_a_known_time_that_becomes_uncertain_takes_the_earlier_bound(day):
    code = day.opened("07:00")

    corrected(day, "09:00", str(last(day).seq), occurred=Occurred(at("06:55"), at("07:30")))

    assert use_by(day, code, "09:01") == at("11:55")


def test_an_earlier_time_out_of_the_freezer_that_makes_a_vial_ready_sooner_needs_two(day):
    (code,) = day.thaw(clock="06:00")
    moved_at = str(last(day).seq)
    move(day.site, day.doing("07:00", by=ROWAN), [code], "table")

    # 2 hours in the refrigerator are needed; from 05:00 it would have had them.
    with pytest.raises(SecondPersonError):
        corrected(day, "07:20", moved_at, occurred=exactly(at("05:00")))


def test_taking_back_a_hold_needs_two(day):
    code = day.opened()
    hold(day.site, day.doing("07:10", why="shaken"), [code])

    with pytest.raises(SecondPersonError):
        undone(day, "07:11", str(last(day).seq))


def test_taking_back_the_hold_of_a_lot_needs_two(day):
    day.opened()
    hold_lot(day.site, day.doing("07:10", why="recall"), LOT, "notice 7")

    with pytest.raises(SecondPersonError):
        undone(day, "07:11", str(last(day).seq))


def test_a_vial_that_was_wrongly_opened_in_the_book_is_given_back_by_two(day):
    first, second = day.ready(count=2)
    open_vial(day.site, day.doing("07:00"), first)
    seq = str(last(day).seq)

    with pytest.raises(SecondPersonError):
        corrected(day, "07:05", seq, {"vial": second})
    doing = with_second(day.doing("07:05", why=WRONG))
    correct(day.site, doing, seq, {"vial": second})

    assert use_by(day, first, "07:06") == at("16:35")
    assert use_by(day, second, "07:06") == at("12:00")


# --- correcting -------------------------------------------------------------------------


def test_a_corrected_value_counts_at_the_place_of_the_wrong_one(day):
    vial = day.opened()
    syringe = draw(day.site, day.doing("07:10"), vial, 1).event.syringes[0]
    give(day.site, day.doing("07:20"), Needle("DEMO-000001", syringe=syringe, arm="left"))
    seq = last(day).seq

    corrected(day, "07:30", str(seq), {"arm": "right"})

    assert shown(day.site, str(seq)).counts_as.event.arm == "right"


def test_a_second_correction_builds_on_the_first(day):
    vial = day.opened()
    syringe = draw(day.site, day.doing("07:10"), vial, 1).event.syringes[0]
    give(day.site, day.doing("07:20"), Needle("DEMO-000001", syringe=syringe, arm="left"))
    seq = str(last(day).seq)
    corrected(day, "07:30", seq, {"arm": "right"})

    corrected(day, "07:31", seq, {"person": "DEMO-000002"})

    event = shown(day.site, seq).counts_as.event
    assert (event.arm, event.person) == ("right", "DEMO-000002")


def test_values_are_read_as_the_field_wants_them(day):
    vial = day.opened()
    syringe = draw(day.site, day.doing("07:10"), vial, 1).event.syringes[0]
    give(day.site, day.doing("07:20"), Needle("DEMO-000001", syringe=syringe, arm="left"))
    seq = str(last(day).seq)

    corrected(day, "07:30", seq, {"dose_number": "2", "volume_ul": "500", "arm": "-"})

    event = shown(day.site, seq).counts_as.event
    assert (event.dose_number, event.volume_ul, event.arm) == (2, 500, None)


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"colour": "blue"}, "VialPunctured has no 'colour'"),
        ({"vial": "-"}, "a value does not fit"),
        ({}, "says so already"),
    ],
    ids=["no such field", "none where there must be one", "nothing"],
)
def test_a_correction_that_says_nothing_new_or_nonsense_is_refused(day, changes, says):
    day.opened()

    with pytest.raises(RecordError, match=says):
        corrected(day, "07:05", str(last(day).seq), changes)


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"arm": "leg"}, "arm cannot be 'leg'"),
        ({"dose_number": "5"}, "dose_number cannot be 5"),
        ({"volume_ul": "-500"}, "volume_ul cannot be -500"),
    ],
    ids=["arm", "number", "volume"],
)
def test_a_correction_writes_no_value_that_a_record_could_not_have(day, changes, says):
    give(day.site, day.doing("07:20"), Needle("DEMO-000001", syringe="HK47M-01"))
    dose = last(day)

    with pytest.raises(RecordError, match=says):
        corrected(day, "07:30", str(dose.seq), changes)
    assert last(day) == dose


def test_an_undone_entry_is_not_corrected(day):
    day.thaw()
    seq = last(day).seq
    undone(day, "04:05", str(seq))

    with pytest.raises(RefusedError, match="was undone") as refused:
        corrected(day, "04:06", str(seq), {"room_mc": "5000"})
    assert refused.value.advice == f"thawline journal undo {seq + 1}"


def test_a_correction_is_undone_and_not_corrected(day):
    day.thaw()
    seq = last(day).seq
    undone(day, "04:05", str(seq))

    with pytest.raises(RefusedError, match="is Corrected and is never corrected"):
        corrected(day, "04:06", str(seq + 1), {"why": "x"})


def test_a_dry_run_writes_nothing(day):
    (code,) = day.thaw()
    before = day.entries()

    outcome = undone(day, "04:05", str(last(day).seq), dry_run=True)

    assert (outcome.receipt, day.entries()) == (None, before)
    assert isinstance(outcome.event, Corrected)
    assert day.one(VIAL, code) is not None


def test_without_rules_nobody_can_say_that_a_correction_buys_no_time():
    ledger = FakeLedger(FOLDS)
    day = a_day(vials=0)
    bare = Day(replace(day.site, ledger=ledger), day.rules, day.now)
    came = VialMoved(vials=("HK47M",), to="fridge", lot=LOT, expiry=EXPIRY, from_unit=FREEZER)
    for number, event in enumerate((came, replace_event(came, to="table", from_unit=None))):
        bare.now = at(f"04:0{number}")
        act(bare.site, bare.doing(), {"n": number}, lambda _, event=event: Decision(event))

    with pytest.raises(SecondPersonError, match="buys a vial time"):
        undo(bare.site, bare.doing("04:05", why=WRONG), "2")
