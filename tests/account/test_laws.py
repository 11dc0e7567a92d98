"""What holds for the doses of any sequence of events, in order or not."""

from datetime import timedelta

from hypothesis import given
from hypothesis import strategies as st
from tests.account.ledger_entries import MORNING, balances, entry

from thawline.account.balance import sheet
from thawline.account.postings import postings
from thawline.account.wastage import waste_sheet
from thawline.base.instants import Instant
from thawline.ledger import events as ev

LOTS = st.sampled_from(["ZZ-1041", "ZZ-1014"])
VIALS = st.sampled_from(["HK47M", "CM62T"])
SYRINGES = st.builds("{}-{:02d}".format, VIALS, st.integers(1, 12))
ACCOUNTS = st.one_of(
    st.just("stock:freezer"),
    st.builds("vial:{}".format, VIALS),
    SYRINGES.map("syringe:{}".format),
)
EVENTS = st.one_of(
    st.builds(
        ev.ShipmentArrived,
        lot=LOTS,
        expiry=st.just("2026-08"),
        unit=st.just("freezer"),
        vials=st.integers(0, 20),
        doses_per_vial=st.integers(0, 15),
    ),
    st.builds(
        ev.VialsArrived,
        vials=st.tuples(VIALS),
        lot=LOTS,
        expiry=st.just("2026-08"),
        doses=st.integers(0, 15),
        from_site=st.sampled_from([None, "oddmoor"]),
    ),
    st.builds(ev.SyringesArrived, syringes=st.tuples(SYRINGES), lot=LOTS),
    st.builds(
        ev.VialMoved,
        vials=st.tuples(VIALS),
        to=st.just("fridge"),
        lot=LOTS,
        expiry=st.just("2026-08"),
        from_unit=st.sampled_from([None, "freezer"]),
        doses=st.integers(0, 15),
    ),
    st.builds(
        ev.DoseDrawn,
        vial=VIALS,
        lot=LOTS,
        syringes=st.tuples(SYRINGES, SYRINGES),
        extra=st.integers(0, 2),
    ),
    st.builds(
        ev.DoseGiven,
        person=st.just("DEMO-000001"),
        dose_number=st.just(1),
        lot=st.one_of(st.none(), LOTS),
        doses_from=st.one_of(st.none(), ACCOUNTS),
    ),
    st.builds(
        ev.DoseWasted,
        place=ACCOUNTS,
        lot=LOTS,
        doses=st.integers(0, 15),
        cause=st.sampled_from(["spilled", "broken"]),
    ),
    st.builds(
        ev.VialDiscarded,
        vial=VIALS,
        lot=LOTS,
        doses=st.integers(0, 15),
        cause=st.just("leftover"),
    ),
    st.builds(
        ev.VialSent,
        vials=st.tuples(VIALS),
        lot=LOTS,
        doses=st.tuples(st.integers(0, 15)),
        to_site=st.just("oddmoor"),
        by_mode=st.just("vehicle"),
    ),
    st.builds(
        ev.DoseNotFound,
        place=ACCOUNTS,
        lot=LOTS,
        doses=st.integers(0, 3),
        why=st.just(""),
        second=st.just("hazel"),
    ),
    st.builds(
        ev.CountTaken,
        place=ACCOUNTS,
        lot=LOTS,
        doses=st.integers(0, 15),
        book=st.integers(0, 15),
    ),
    st.builds(ev.VialPunctured, vial=VIALS),
)
ENTRIES = st.lists(
    st.builds(
        lambda event, hours: entry(event, Instant(MORNING + timedelta(hours=hours))),
        EVENTS,
        st.integers(0, 72),
    ),
    max_size=30,
)
DAYS = st.sampled_from(["2026-02-03", "2026-02-04", "2026-02-05", "2026-02-06"])


@given(EVENTS)
def test_an_event_takes_from_one_account_what_it_gives_to_another(event):
    assert sum(posting.doses for posting in postings(event)) == 0


@given(ENTRIES)
def test_all_accounts_together_hold_nothing(entries):
    assert sum(state.doses for state in balances(entries).values()) == 0


@given(ENTRIES, DAYS, DAYS)
def test_received_is_left_given_wasted_missing_or_sent_over_any_days(entries, first, last):
    states = balances(entries)

    assert sheet(states).balances
    assert first > last or sheet(states, first=first, last=last).balances


@given(ENTRIES, DAYS)
def test_a_day_opens_with_what_the_days_before_left(entries, day):
    states = balances(entries)
    eve = max(
        ("2026-02-02", "2026-02-03", "2026-02-04", "2026-02-05"), key=lambda d: (d < day, d)
    )

    assert sheet(states, first=day).opening == sheet(states, last=eve).left


@given(ENTRIES)
def test_the_order_of_recording_changes_no_balance(entries):
    forward, backward = balances(entries), balances(entries[::-1])

    assert {k: (s.doses, s.days) for k, s in forward.items()} == {
        k: (s.doses, s.days) for k, s in backward.items()
    }


@given(ENTRIES)
def test_wasted_doses_by_cause_add_up_to_those_of_the_sheet(entries):
    states = balances(entries)

    assert sum(each.doses for each in waste_sheet(states).causes) == sheet(states).wasted
