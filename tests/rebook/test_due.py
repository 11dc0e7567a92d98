"""The list of second doses due on a day, with made-up days."""

from datetime import date, time

import pytest
from tests.rebook.people import had, person, place, told
from tests.rebook.rules import FIRST, MADE_UP, REPEATS, always, on

from thawline.base.findings import Finding, Level
from thawline.rebook.due import SecondDue, Standing, booking_findings, second_due

DUE = date(2026, 2, 23)
ONE_DOSE = ("DEMO-000001", person(had(FIRST)))


def _due(*people, day: date, rule=MADE_UP):
    return second_due(people, day, always(rule)).due


@pytest.mark.parametrize(
    ("day", "standings"),
    [
        (date(2026, 2, 22), []),
        (DUE, [Standing.DUE_TODAY]),
        (date(2026, 2, 24), [Standing.WAITING]),
        (date(2026, 3, 5), [Standing.WAITING]),
        (date(2026, 3, 6), [Standing.LATE]),
    ],
    ids=["day before", "due", "day after", "last day in the window", "late"],
)
def test_a_person_is_due_from_the_earliest_bookable_day_and_late_after_the_window(
    day, standings
):
    assert [each.standing for each in _due(ONE_DOSE, day=day)] == standings


def test_the_words_for_how_long_it_has_been_due_are_settled():
    assert [each.value for each in Standing] == ["late", "waiting", "due-today"]


def test_the_list_says_since_when_and_what_is_booked():
    booked = [place(FIRST, 1), *(place(date(2026, 2, day), 2) for day in (24, 27, 26))]
    someone = ("DEMO-000002", person(had(FIRST), booked=booked))

    assert _due(someone, day=date(2026, 2, 25)) == (
        SecondDue(
            person="DEMO-000002",
            standing=Standing.WAITING,
            counted_from=FIRST,
            due=DUE,
            late_after=date(2026, 3, 5),
            days=22,
            repeats=False,
            booked=date(2026, 2, 26),
        ),
    )


def test_a_place_in_the_evening_is_on_the_day_at_the_site():
    booked = [place(FIRST, 1), place(date(2026, 2, 24), 2, time(19, 30))]
    someone = ("DEMO-000002", person(had(FIRST), booked=booked))

    assert _due(someone, day=DUE)[0].booked == date(2026, 2, 24)  # 01:30 on the 25th in UTC


def test_a_person_with_only_a_first_place_has_none_for_the_second():
    someone = ("DEMO-000002", person(had(FIRST), booked=[place(FIRST, 1)]))

    assert _due(someone, day=DUE)[0].booked is None


def test_the_longest_due_come_first():
    others = [
        ("DEMO-000009", person(had(date(2026, 2, 4)))),
        ("DEMO-000003", person(had(date(2026, 1, 5)))),
        ("DEMO-000002", person(had(date(2026, 2, 4)))),
    ]

    named = [each.person for each in _due(*others, day=date(2026, 3, 1))]

    assert named == ["DEMO-000003", "DEMO-000002", "DEMO-000009"]


def test_whoever_had_both_doses_is_not_due():
    both = ("DEMO-000001", person(had(FIRST), had(DUE)))

    assert _due(both, day=date(2026, 3, 1)) == ()
    assert _due(both, day=DUE) == ()


def test_a_past_day_is_answered_as_it_was_then():
    both = ("DEMO-000001", person(had(FIRST), had(date(2026, 2, 26))))

    assert [each.standing for each in _due(both, day=DUE)] == [Standing.DUE_TODAY]


def test_a_first_dose_from_elsewhere_counts():
    someone = ("DEMO-000001", person(told=(told("2026-02-03"),)))

    assert [each.counted_from for each in _due(someone, day=DUE)] == [FIRST]


def test_nobody_is_called_due_or_done_while_a_dose_has_no_day():
    someone = ("DEMO-000005", person(had(FIRST), told=(told("in spring"),)))
    other = ("DEMO-000004", person(told=(told("?"),)))

    answer = second_due([someone, other], DUE, always(MADE_UP))

    assert answer.due == ()
    assert answer.not_known == ("DEMO-000004", "DEMO-000005")


def test_a_dose_to_repeat_is_due_again():
    someone = ("DEMO-000001", person(had(FIRST), had(date(2026, 2, 13))))

    (again,) = _due(someone, day=date(2026, 3, 5), rule=REPEATS)

    assert again.repeats is True
    assert again.standing is Standing.DUE_TODAY


@pytest.mark.parametrize(
    ("day", "codes"),
    [(date(2026, 2, 22), ["too-early"]), (DUE, []), (date(2026, 12, 31), [])],
    ids=["a day early", "the first day", "very late"],
)
def test_no_place_is_given_before_the_earliest_day_and_any_place_after(day, codes):
    found = booking_findings(on(FIRST), day, always(MADE_UP))

    assert [finding.code for finding in found] == codes


def test_the_days_of_grace_never_book():
    assert booking_findings(on(FIRST), date(2026, 2, 20), always(MADE_UP)) == (
        Finding(
            Level.STOP,
            "too-early",
            "No place on 2026-02-20: the second dose is due on or after 2026-02-23. "
            "Book a place from that day on.",
            "B1",
        ),
    )


def test_no_third_dose_is_booked():
    (found,) = booking_findings(on(FIRST, DUE), date(2026, 5, 1), always(MADE_UP))

    assert found == Finding(
        Level.STOP,
        "already-two-doses",
        "Both doses are on record. No further dose is booked; ask the clinical lead.",
        "B1",
    )


def test_a_first_dose_is_booked_on_any_day():
    assert booking_findings([], FIRST, always(MADE_UP)) == ()
