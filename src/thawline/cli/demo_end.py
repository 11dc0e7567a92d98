"""The tour's end: the close-out that argues back, the second doses, and what to try."""

from collections.abc import Iterator
from fractions import Fraction
from typing import Any

from thawline.account.balance import Sheet
from thawline.account.likeliest import GUIDE, spoken_odds
from thawline.app.closing import Search
from thawline.app.doses import Unrecorded, find
from thawline.app.second_places import Planned
from thawline.base.instants import Instant, from_ms
from thawline.cli import (
    demo_cold,
    demo_cover,
    demo_last,
    demo_people,
    demo_reactions,
    demo_replay,
)
from thawline.cli.demo_text import alerts, part
from thawline.cli.second_pages import unreachable
from thawline.cli.text import clock_time, counted, day_name, table
from thawline.demo.building import Built
from thawline.demo.closing import Closed
from thawline.demo.second_doses import ask_a_day_early
from thawline.demo.snow import CLOSED, EVENING

_DIGITS = 16
_SHEET = ("opening", "received", "extra", "given", "wasted", "missing", "sent", "left")
_PLUS = 3  # the first of them are what there was and what came


def parts(built: Built) -> Iterator[list[str]]:
    """Yield the close-out, the second doses, what else is played, and what to try."""
    yield _does_not_balance(built)
    yield _balances(built)
    yield _second_doses(built)
    yield from demo_cold.parts(built)
    yield demo_last.last_vial(built)
    yield _snow(built)
    yield demo_replay.lunch_dip(built)
    yield demo_cover.sick_call(built)
    yield demo_reactions.reactions(built)
    yield demo_people.right_person(built)
    yield _journal(built)
    yield _try(built)


def closed_data(closed: Closed) -> dict[str, Any]:
    """Return the figures of the close-out."""
    last = closed.last
    return {
        "first_places": [
            place.place for search in closed.first.searches for place in search.places
        ],
        "doses": {column: getattr(last.today, column) for column in _SHEET},
        "off": off(last.today),
        "signed": last.signed,
    }


def off(sheet: Sheet) -> int:
    """Return the doses by which a sheet does not balance; 0 when it does."""
    figures = [int(getattr(sheet, column)) for column in _SHEET]
    return sum(figures[:_PLUS]) - sum(figures[_PLUS:])


def _does_not_balance(built: Built) -> list[str]:
    closed = built.closed
    places = [each for search in closed.first.searches for each in _places(search)]
    return part(
        f"7. {_at(closed.asked, built)}, close-out: it cannot be signed yet",
        alerts(closed.refused),
        *places,
        GUIDE,
    )


def _places(search: Search) -> Iterator[str]:
    gap = search.gap
    yield f"{counted(gap.doses, 'dose')} of lot {gap.lot}, {gap.account}: where to look first"
    for number, each in enumerate(search.places, 1):
        yield f"  {number}. {each.place} ({spoken_odds(each.odds)}): {each.reason}"


def _balances(built: Built) -> list[str]:
    last, asked = built.closed.last, built.closed.first.unrecorded
    sheet, usage = last.today, last.waste.usage
    causes = ", ".join(f"{each.cause} {each.doses}" for each in last.waste.causes)
    return part(
        f"8. {_at(built.closed.answered, built)}: {counted(len(asked), 'person', 'people')} "
        "asked by phone, and it balances",
        *(_answer(each, built) for each in asked),
        table(_SHEET, [[f"{getattr(sheet, c):,}" for c in _SHEET]], range(8)).splitlines(),
        f"Opening + received + extra = all the others: {off(sheet)} off. Signed by "
        f"{built.crew.lead} and {built.crew.coordinator}.",
        f"Wasted: {causes}. Wastage rate {_percent(usage.wastage_rate)}, factor "
        f"{_number(usage.wastage_factor)}: {usage.given:,} given of {usage.issued:,} issued.",
    )


def _answer(asked: Unrecorded, built: Built) -> str:
    """Return what the ledger has of somebody who was asked by phone."""
    doses = find(built.site, asked.person)[0].state.doses
    if not doses:
        return f"{asked.person} left {asked.station} without a dose: recorded."
    given = _at(from_ms(doses[-1].lo_ms), built)
    return (
        f"{asked.person} had it: recorded as given at {given}, typed in "
        f"{_at(built.closed.answered, built)}. Without it, no second dose on day 28."
    )


def _at(at: Instant, built: Built) -> str:
    return clock_time(at, built.site.zone, built.day)


def _second_doses(built: Built) -> list[str]:
    asked = ask_a_day_early(built)
    named = {line: f"{code} {name}" for line, (code, name) in enumerate(asked.people, 1)}
    reasons: dict[str, list[str]] = {}
    for bad in asked.answered.bad:
        reasons.setdefault(bad.reason, []).append(named[bad.line])
    return part(
        f"9. {day_name(asked.on)}: {len(named)} people ask for their second dose, "
        f"{len(asked.answered.bad)} are refused",
        *(f"{', '.join(people)}: {reason}" for reason, people in reasons.items()),
        f"Due that day: {asked.due}. For {day_name(asked.next_day_on)}: "
        f"{asked.next_day.booked} of the {len(named)} may have a place, "
        f"{counted(asked.due_next, 'person is', 'people are')} due.",
    )


def _snow(built: Built) -> list[str]:
    moves = [(moved.site, moved.planned) for moved in built.snow]
    moved = sum(len(planned.slots) for _, planned in moves)
    silent = sum(len(unreachable(site, planned)) for site, planned in moves)
    without = sum(len(planned.assignment.without) for _, planned in moves)
    return part(
        f"13. {day_name(EVENING)} 18:00: snow, {moved} second doses leave {day_name(CLOSED)}",
        *(_moved(site.name, planned) for site, planned in moves),
        f"Nobody before day 28, {without} without a place, {silent} with neither phone nor "
        "mail: named by the command, to be found another way.",
    )


def _moved(name: str, planned: Planned) -> str:
    days = [f"{day_name(line.day)} {line.given}" for line in planned.assignment.days]
    longest = max(each.waited for each in planned.assignment.given)
    return (
        f"{name}: {', '.join(days)}; the earliest on day {planned.earliest_day}, "
        f"longest delay {counted(longest, 'day')}."
    )


def _journal(built: Built) -> list[str]:
    last = built.closed.last
    return [
        f"Everything you saw is in the Journal: {last.entries:,} entries, "
        f"head {last.head.hash.hex()[:_DIGITS]}"
    ]


def _try(built: Built) -> list[str]:
    home, held = built.home, built.seen.held[0].vial
    gap = built.closed.first.searches[0].gap
    found = [e for e in built.closed.first.unrecorded if gap.account.endswith(e.syringe or "?")]
    commands = [
        f"vial show {held}",
        f"dose find {found[0].person}",
        f"lot people {gap.lot}",
        f"closeout run --on {built.day.isoformat()}",
        "doctor",
    ]
    snow = built.snow[0].site.name
    return part(
        "Try:",
        [
            *(f"thawline {each} --site {built.site.name} --home {home}" for each in commands),
            f"thawline second remind --site {snow} --home {home}",
            f"thawline plan opening --site oddmoor --at {built.day.isoformat()}T16:52 \\",
            f"  --person-price 5 --walk-ups-per-hour 0 --home {home}",
            f"thawline replay day --site {built.site.name} --day {built.day.isoformat()} \\",
            f"  --home {home}",
        ],
    )


def _percent(rate: Fraction | None) -> str:
    return "-" if rate is None else f"{float(100 * rate):.1f} %"


def _number(factor: Fraction | None) -> str:
    return "-" if factor is None else f"{float(factor):.3f}"
