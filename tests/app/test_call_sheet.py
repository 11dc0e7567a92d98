"""Whom to call about a day, and what came of it. Invented; Tuesday 3 February 2026."""

from datetime import date
from uuid import UUID

import pytest
from tests.app.chairs import (
    FEN,
    HEATH,
    MARSH,
    a_chair,
    at_the_desk,
    book,
    card,
    given,
    needle,
    noted,
)
from tests.app.test_walk_ups import YOUNG
from tests.cast import _FIGURES, SMALL, a_day, at, codes, small

from thawline.app import call_sheet as call_sheet_module
from thawline.app.acts import act
from thawline.app.bookings import list_bookings
from thawline.app.call_sheet import Said, call_sheet, called
from thawline.app.doses import not_given, told
from thawline.app.observing import went
from thawline.app.ports import Name
from thawline.base.errors import (
    IndeterminateError,
    NotFoundError,
    RecordError,
    RefusedError,
)
from thawline.base.instants import exactly, to_ms
from thawline.ledger.entries import Decision, Kind
from thawline.ledger.events import DoseGiven, EarlierDoseTold, PersonBooked
from thawline.ledger.person_events import FollowUpCalled
from thawline.ledger.screening_events import ScreeningAnswered
from thawline.person.follow_up import About, Result
from thawline.rules.reading import read_protocol

TUESDAY, WEDNESDAY = date(2026, 2, 3), date(2026, 2, 4)
STAYS = """\
[observation.usual]
item = "O1"
stays = "PT15M"
source = "demo"
[observation.longer]
item = "O2"
stays = "PT30M"
source = "demo"
"""


def _record(day, event, when=None):
    doing = day.doing() if when is None else day.doing(occurred=exactly(when))
    act(day.site, doing, {"command": "x"}, lambda _view: Decision(event), kind=Kind.FACT)


def _place(day, person, when, dose_number=1):
    _record(day, PersonBooked(person=person, slot_ms=to_ms(when), dose_number=dose_number))


@pytest.fixture
def day():
    """Three people with a place at 09:00, none of whom came; it is noon."""
    day = a_day(vials=0)
    for person in (MARSH, FEN, HEATH):
        _place(day, person, at("09:00"))
    day.now = at("12:00")
    return day


def _sheet(day, on=TUESDAY, now=None, **more):
    return call_sheet(day.site, on, now or at("12:00", 4), **more)


def _whom(found):
    return [(each.about, each.person) for each in found]


def _call(day, result, about=About.NO_SHOW, person=MARSH, on=TUESDAY, place=None, **more):
    return called(day.site, day.doing(**more), person, Said(about, on, result, place))


def test_who_had_a_place_and_was_not_seen_is_a_no_show(day):
    assert _whom(_sheet(day)) == [(About.NO_SHOW, each) for each in (MARSH, FEN, HEATH)]


@pytest.mark.parametrize(("clock", "people"), [("09:14", 0), ("09:15", 3)])
def test_on_the_day_itself_somebody_a_little_late_is_not_called(day, clock, people):
    assert len(_sheet(day, now=at(clock))) == people


@pytest.mark.parametrize(
    "seen",
    [
        lambda day: at_the_desk(day, MARSH),
        lambda day: not_given(day.site, day.doing(), MARSH),
        lambda day: _record(day, ScreeningAnswered(person=MARSH, outcome="refer", answers=())),
        lambda day: _place(day, MARSH, at("09:00", 9)),
    ],
    ids=["at the desk", "left without a dose", "screened", "has a later place"],
)
def test_who_was_seen_that_day_or_has_a_later_place_is_no_no_show(day, seen):
    seen(day)

    assert MARSH not in [person for _, person in _whom(_sheet(day))]


def test_whose_name_or_birth_date_differed_at_the_desk_is_called(day):
    at_the_desk(day, MARSH, agreed=("name",), differed=("born",))
    _record(day, ScreeningAnswered(person=MARSH, outcome="refer", answers=()))

    assert MARSH in [person for _, person in _whom(_sheet(day))]


def test_a_dose_or_a_check_of_the_day_is_having_come():
    day, _, (first, second, _) = a_chair()
    given(day, needle(MARSH, first, arm="left"), "09:00")
    noted(day, needle(FEN, second), "09:05")

    assert _whom(_sheet(day)) == []  # the third was at the desk


def test_who_had_that_dose_on_an_earlier_day_is_no_no_show():
    day, _, (first, *_) = a_chair()
    _place(day, MARSH, at("09:00", 4))
    given(day, needle(MARSH, first, arm="left"), "09:00")

    assert _whom(_sheet(day, WEDNESDAY, at("12:00", 5))) == []


def test_who_missed_the_first_dose_is_called_though_the_second_is_booked_ahead(day):
    _place(day, MARSH, at("09:00", 3, 3), dose_number=2)

    assert (About.NO_SHOW, MARSH) in _whom(_sheet(day))


def test_a_dose_without_an_arm_is_asked_about():
    day, _, (first, *_) = a_chair()
    given(day, needle(MARSH, first), "09:00")

    assert _whom(_sheet(day)) == [(About.NO_ARM, MARSH)]
    assert _whom(_sheet(day, WEDNESDAY)) == []


def test_who_left_early_is_called():
    day, _, (first, *_) = a_chair(small(STAYS))
    given(day, needle(MARSH, first, arm="left"), "09:00")
    went(day.site, day.doing("09:14"), MARSH)

    assert _whom(_sheet(day)) == [(About.LEFT_EARLY, MARSH)]
    assert _whom(_sheet(day, WEDNESDAY)) == []


def test_who_stayed_their_time_is_not_called():
    day, _, (first, *_) = a_chair(small(STAYS))
    given(day, needle(MARSH, first, arm="left"), "09:00")
    went(day.site, day.doing("09:15"), MARSH)

    assert _whom(_sheet(day)) == []


@pytest.mark.parametrize(("first", "people"), [("2025-12-23", 0), ("2025-12-22", 1)])
def test_late_is_after_day_42_without_a_place_to_come(first, people):
    # 23 December and 42 days is 3 February (calendar); CDC 2021: up to 6 weeks.
    day = a_day(vials=0)
    card(day, first)

    found = _sheet(day)

    assert [each.about for each in found] == [About.LATE] * people
    _place(day, MARSH, at("09:00", 9), dose_number=2)
    assert _whom(_sheet(day)) == []


def test_names_and_phones_come_from_the_register_at_print_time(day):
    day.site.people.put(FEN, Name("Hazel Rainmoor", phone="555-0143", language="es"))

    contacts = {each.person: each.contact for each in _sheet(day)}

    assert (contacts[FEN].phone, contacts[FEN].language) == ("555-0143", "es")
    assert not contacts[MARSH].is_reachable
    assert "555-0143" not in repr([entry.event for entry in day.entries()])


@pytest.mark.parametrize("result", [Result.NO_ANSWER, Result.MESSAGE, Result.WRONG_NUMBER])
def test_a_try_that_reached_nobody_stays_on_the_sheet_and_is_counted(day, result):
    _call(day, result)
    _call(day, result)

    (each,) = [each for each in _sheet(day) if each.person == MARSH]
    assert [made.result for made in each.tries] == [result.value] * 2


def test_a_call_that_settled_it_leaves_the_sheet_and_is_shown_on_asking(day):
    outcome = _call(day, Result.DECLINES)

    assert outcome.event == FollowUpCalled(
        person=MARSH, about="no-show", day="2026-02-03", result="declines"
    )
    assert MARSH not in [person for _, person in _whom(_sheet(day))]
    assert MARSH in [person for _, person in _whom(_sheet(day, closed=True))]


def test_the_last_call_counts(day):
    _call(day, Result.NO_ANSWER)
    _call(day, Result.DECLINES)

    assert MARSH not in [person for _, person in _whom(_sheet(day))]


def test_a_call_about_another_day_settles_nothing_here(day):
    _call(day, Result.DECLINES, on=date(2026, 2, 2))

    assert MARSH in [person for _, person in _whom(_sheet(day))]


def test_a_new_place_agreed_on_the_phone_is_booked_with_the_call(day):
    outcome = _call(day, Result.REBOOKED, place=at("10:00", 10))

    assert outcome.event.slot_ms == to_ms(at("10:00", 10))
    (place,) = list_bookings(day.site, date(2026, 2, 10))
    assert (place.person, place.dose_number) == (MARSH, 1)
    assert len(_sheet(day)) == 2


def test_who_is_late_and_misses_the_place_agreed_on_is_on_the_late_sheet_again():
    # 22 December and 42 days is 2 February (calendar); CDC 2021: up to 6 weeks.
    day = a_day(vials=0)
    card(day, "2025-12-22")
    day.now = at("12:00")
    _call(day, Result.REBOOKED, About.LATE, on=date(2026, 2, 2), place=at("10:00", 5))

    later = [_whom(_sheet(day, date(2026, 2, each), at("12:00", 9))) for each in (4, 5, 6, 9)]

    assert later == [
        [],
        [(About.NO_SHOW, MARSH)],
        [(About.LATE, MARSH)],
        [(About.LATE, MARSH)],
    ]


def test_a_try_typed_in_later_does_not_open_what_a_later_call_settled(day):
    _call(day, Result.DECLINES)
    _call(day, Result.NO_ANSWER, occurred=exactly(at("11:00")))

    assert MARSH not in [person for _, person in _whom(_sheet(day))]


def test_the_same_call_sent_twice_books_one_place(day):
    again = UUID("01936b1e-0000-7000-8000-000000000001")
    for _ in range(2):
        _call(day, Result.REBOOKED, place=at("10:00", 10), id=again)

    assert len(list_bookings(day.site, date(2026, 2, 10))) == 1


def test_a_call_cut_off_after_its_booking_is_finished_by_its_id(day, monkeypatch):
    again = UUID("01936b1e-0000-7000-8000-000000000001")
    with monkeypatch.context() as patched:
        patched.setattr(call_sheet_module, "_findings", _power_fails)
        with pytest.raises(SystemExit):
            _call(day, Result.REBOOKED, place=at("10:00", 10), id=again)
    assert len(list_bookings(day.site, date(2026, 2, 10))) == 1

    day.now = at("12:05")
    outcome = _call(day, Result.REBOOKED, place=at("10:00", 10), id=again)

    assert isinstance(outcome.event, FollowUpCalled)
    assert len(list_bookings(day.site, date(2026, 2, 10))) == 1


def _power_fails(*_):
    raise SystemExit("power")


def test_a_place_that_was_refused_is_refused_again_under_the_same_id(day):
    again = UUID("01936b1e-0000-7000-8000-000000000001")
    _place(day, MARSH, at("09:00", 9))

    for clock in ("12:00", "12:05"):
        day.now = at(clock)
        with pytest.raises(RefusedError, match="has a place for dose 1 already"):
            _call(day, Result.REBOOKED, place=at("10:00", 10), id=again)


def test_a_call_that_was_cut_off_after_the_place_is_finished_by_its_id(day):
    again = UUID("01936b1e-0000-7000-8000-000000000001")
    record = day.site.ledger.record

    def cut_off(act, decide):
        if act.command["command"] == "person called":
            raise IndeterminateError("disk error")
        return record(act, decide)

    day.site.ledger.record = cut_off
    with pytest.raises(IndeterminateError):
        _call(day, Result.REBOOKED, place=at("10:00", 10), id=again)
    day.site.ledger.record = record
    day.now = at("12:05")

    outcome = _call(day, Result.REBOOKED, place=at("10:00", 10), id=again)

    assert outcome.event.slot_ms == to_ms(at("10:00", 10))
    assert len(list_bookings(day.site, date(2026, 2, 10))) == 1


def _young_day(born):
    day = a_day(small(YOUNG), vials=0)
    _place(day, MARSH, at("09:00"))
    day.site.people.put(MARSH, Name("Rue Loom", born))
    day.now = at("12:00")
    return day


def test_who_is_too_young_on_the_day_of_the_new_place_gets_none():
    day = _young_day("2008-02-11")

    with pytest.raises(RefusedError, match="17 years old on 2026-02-10"):
        _call(day, Result.REBOOKED, place=at("10:00", 10))

    assert list_bookings(day.site, date(2026, 2, 10)) == []


@pytest.mark.parametrize("born", ["2008-02-10", None], ids=["18 that day", "nobody knows"])
def test_who_is_old_enough_on_the_day_of_the_new_place_gets_it(born):
    day = _young_day(born)

    _call(day, Result.REBOOKED, place=at("10:00", 10))

    assert len(list_bookings(day.site, date(2026, 2, 10))) == 1


@pytest.mark.parametrize(
    ("place", "says"),
    [
        (("10:00", 2, 3), "2026-03-03"),  # day 27 of 3 February; day 28 is 3 March
        (("09:00", 3, 2), "which is over"),
    ],
)
def test_a_place_before_day_28_or_in_the_past_is_refused_and_no_call_is_recorded(place, says):
    day = a_day(vials=0)
    day.now = at("12:00")
    book(day, FEN)
    if "2026" in says:
        first = EarlierDoseTold(person=MARSH, given_on="2026-02-03")
        told(day.site, day.doing(), first)
    else:
        _place(day, MARSH, at("08:00"))
    clock, of_month, month = place

    with pytest.raises(RefusedError) as error:
        _call(day, Result.REBOOKED, place=at(clock, of_month, month))

    assert codes(error.value.findings) == ["no-place"]
    assert says in error.value.findings[0].says
    assert not [e for e in day.entries() if isinstance(e.event, FollowUpCalled)]


@pytest.mark.parametrize(
    ("about", "result", "code"),
    [
        (About.LEFT_EARLY, Result.UNWELL, "unwell"),
        (About.NO_SHOW, Result.WRONG_NUMBER, "wrong-number"),
        (About.LATE, Result.HAD_ELSEWHERE, "type-the-card"),
    ],
)
def test_what_a_call_asks_for_is_said(day, about, result, code):
    assert codes(_call(day, result, about).findings)[0] == code


@pytest.mark.parametrize(
    ("about", "result", "more"),
    [
        (About.LEFT_EARLY, Result.REBOOKED, {"place": at("10:00", 10)}),
        (About.NO_ARM, Result.WELL, {}),
        (About.NO_SHOW, Result.REBOOKED, {}),
        (About.NO_SHOW, Result.DECLINES, {"place": at("10:00", 10)}),
        (About.NO_SHOW, Result.DECLINES, {"on": date(2026, 2, 5)}),
    ],
)
def test_a_result_that_does_not_fit_is_refused(day, about, result, more):
    with pytest.raises(RecordError):
        _call(day, result, about, **more)


@pytest.mark.parametrize("place", [None, at("10:00", 10)])
def test_nobody_unknown_is_called(day, place):
    result = Result.NO_ANSWER if place is None else Result.REBOOKED
    with pytest.raises(NotFoundError):
        _call(day, result, person="DEMO-000404", place=place)


ON_NO_SHEET = ["on-no-sheet"]


@pytest.mark.parametrize(
    ("about", "result", "on"),
    [
        (About.LEFT_EARLY, Result.WELL, TUESDAY),
        (About.NO_ARM, Result.PUT_RIGHT, TUESDAY),
        (About.LATE, Result.DECLINES, TUESDAY),
        (About.NO_SHOW, Result.DECLINES, date(2026, 2, 2)),
    ],
)
def test_a_call_about_what_is_on_no_sheet_is_kept_and_said(day, about, result, on):
    outcome = _call(day, result, about, on=on)

    assert codes(outcome.findings) == ON_NO_SHEET
    assert outcome.findings[0].says.startswith(f"{MARSH} is on no sheet as {about.value} of")
    assert isinstance(day.entries()[-1].event, FollowUpCalled)


def test_a_call_before_somebody_counts_as_late_is_about_nothing_yet(day):
    early = _call(day, Result.NO_ANSWER, occurred=exactly(at("09:14")))
    late = _call(day, Result.NO_ANSWER, occurred=exactly(at("09:15")))

    assert (codes(early.findings), codes(late.findings)) == (ON_NO_SHEET, [])


@pytest.mark.parametrize(("on", "found"), [(1, ON_NO_SHEET), (2, []), (3, ON_NO_SHEET)])
def test_a_call_about_a_late_second_dose_names_the_last_day_of_the_window(on, found):
    # 22 December and 42 days is 2 February (calendar).
    day = a_day(vials=0)
    card(day, "2025-12-22")
    day.now = at("12:00")

    outcome = _call(day, Result.MESSAGE, About.LATE, on=date(2026, 2, on))

    assert codes(outcome.findings) == found


def test_about_a_place_agreed_on_before_one_may_call_again(day):
    _call(day, Result.REBOOKED, place=at("10:00", 10))

    assert codes(_call(day, Result.DECLINES).findings) == []


def test_an_arm_that_was_put_right_before_the_call_is_typed_is_a_matter_all_the_same():
    day, _, (first, *_) = a_chair()
    given(day, needle(MARSH, first, arm="left"), "09:00")

    assert codes(_call(day, Result.PUT_RIGHT, About.NO_ARM).findings) == []


def test_a_new_place_is_for_the_dose_whose_place_was_missed(day):
    _place(day, "DEMO-000009", at("09:00"), dose_number=2)

    _call(day, Result.REBOOKED, person="DEMO-000009", place=at("10:00", 10))

    (place,) = list_bookings(day.site, date(2026, 2, 10))
    assert place.dose_number == 2
    assert "DEMO-000009" not in [person for _, person in _whom(_sheet(day))]


REPEATED = 'late_after = "P42D"\nrepeat_when_too_early = true\nrepeat_after = "P28D"'


@pytest.fixture
def to_repeat():
    """Somebody whose second dose came on day 14 of 20 January and is to be repeated."""
    rules = SMALL.format(**_FIGURES).replace('late_after = "P42D"', REPEATED)
    day = a_day(read_protocol(rules.encode()), vials=0)
    card(day, "2026-01-20")
    dose = DoseGiven(person=MARSH, dose_number=2, lot="ZZ-1041", syringe=None)
    day.now = at("12:00")
    _record(day, dose, at("09:00"))
    return day


def test_the_repeat_of_a_dose_that_came_too_early_is_booked_on_the_phone(to_repeat):
    # 3 February and 28 days is 3 March (calendar); late 42 days after, from 18 March on.
    to_repeat.now = at("12:00", 18, 3)
    late = date(2026, 3, 17)
    said = {"about": About.LATE, "on": late}

    outcome = _call(to_repeat, Result.REBOOKED, place=at("10:00", 20, 3), **said)

    assert codes(outcome.findings) == []
    (place,) = list_bookings(to_repeat.site, date(2026, 3, 20))
    assert (place.person, place.dose_number) == (MARSH, 2)


def test_who_misses_the_place_for_the_repeat_is_called(to_repeat):
    _place(to_repeat, MARSH, at("09:00", 4, 3), dose_number=2)

    found = _sheet(to_repeat, date(2026, 3, 4), at("12:00", 5, 3))

    assert _whom(found) == [(About.NO_SHOW, MARSH)]


def test_a_day_to_come_has_no_sheet(day):
    with pytest.raises(RecordError, match="has not come yet"):
        _sheet(day, date(2026, 2, 5))
