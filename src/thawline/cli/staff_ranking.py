"""Rosters of whole shifts near the staffing found, ranked; and what is said of the choice."""

import sys
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import count, islice
from typing import Any

from thawline.adapters.many_days import side_by_side
from thawline.adapters.station_tables import Stations
from thawline.base.errors import RecordError
from thawline.cli.progress import Progress
from thawline.cli.staff_options import Ranking, Wanted
from thawline.cli.staff_page import Staffed, shifts_data, shifts_text
from thawline.cli.text import counted, wrapped
from thawline.plan.ranking import DAYS_EACH, PlaySome, Ranked, ranked
from thawline.plan.rosters import Roster, people_in, roster_of, rosters, serving, shifts_of
from thawline.plan.same_days import Late, late_by_staffing
from thawline.plan.selection import Sure

MOST_RANKED = 5_000  # a technical limit: as many days of each as fit the memory of a laptop
FIRST = 40  # observations of five days by which spreads are judged: 200 days
_HUNDREDTH = 100


@dataclass(frozen=True, slots=True)
class Choice:
    """
    What was ranked and what came of it.

    Args:
        rosters: Those ranked, the one they differ from first.
        ranked: What is known of them.
        more: Whether there are others within two changes.
        turn: How often there was a ranking, this one counted.
        first: Number of the first day that was played for it.
    """

    rosters: Sequence[Roster]
    ranked: Ranked
    more: bool
    turn: int
    first: int

    @property
    def best(self) -> Roster | None:
        """Return the roster chosen; None: none is known to keep the promise."""
        return None if self.ranked.best is None else self.rosters[self.ranked.best]

    @property
    def saved(self) -> int:
        """Return how many people fewer the best has than the roster that it differs from."""
        return people_in(self.rosters[0]) - (self.ranked.people or 0) if self.best else 0


def chosen(found: Staffed, site: Stations, wanted: Wanted, ranking: Ranking) -> Choice | None:
    """
    Return the best of the rosters near the staffing found.

    Always on days that nobody looked at before: the staffing was found on others. When the
    user stops, or the days run out, the best so far; None where nothing is known yet. What an
    earlier ranking promises is not given up for a later one that decides nothing.

    Raises:
        RecordError: The number of rosters cannot be, or how sure, or what is close.
    """
    many = ranking.rank or 0
    if not 1 <= many <= MOST_RANKED:
        raise RecordError(f"{many} rosters to rank", advice=f"from 1 to {MOST_RANKED:,}")
    sure = Sure(ranking.sure, ranking.close, FIRST)
    start, first = roster_of(list(found.plans.values())), wanted.days
    halves = len(found.kept.day.stations[0].servers)
    last: Choice | None = None
    for turn in count(1):
        near = rosters(start, site.shift, halves)
        taken = list(islice(near, many))
        known = _ranked(found, taken, wanted, (sure, ranking.most_days, first))
        if known is None or (last is not None and not known.final):
            break
        last = Choice(taken, known, next(near, None) is not None, turn, first)
        if not (ranking.again and known.final and last.best and last.saved > 0):
            break
        start, first = last.best, first + known.days + known.more_days
    return last


def _ranked(
    found: Staffed, taken: Sequence[Roster], wanted: Wanted, how: tuple[Sure, int, int]
) -> Ranked | None:
    """Return what is known of rosters; None where the user stopped before anything was."""
    sure, most_days, begin = how
    halves = len(found.kept.day.stations[0].servers)
    staffings = [serving(roster, halves) for roster in taken]
    within = wanted.within

    def play(numbers: Sequence[int], first: int, days: int) -> Late:
        some = [staffings[number] for number in numbers]
        here = (begin + first, days)
        return late_by_staffing(found.kept.day, some, wanted.seed, here, within)

    best = None
    try:
        for known in _told([*map(people_in, taken)], wanted, sure, play, most_days):
            best = known
    except KeyboardInterrupt:
        pass
    return best


def _told(
    people: Sequence[int], wanted: Wanted, sure: Sure, play: PlaySome, most_days: int
) -> Iterator[Ranked]:
    """Yield what is known, and say on a terminal how far it is."""
    many = counted(len(people), "roster")
    begun = Progress(sys.stderr, f"days of all {many}")
    decided = Progress(sys.stderr, f"{many} decided")

    def told(done: int, days: int) -> None:
        if days == FIRST * DAYS_EACH:
            begun.show(done, days)

    try:
        for known in ranked(people, wanted.share, sure, side_by_side(play, told), most_days):
            yield known
            decided.show(max(len(people) - known.undecided, 1), len(people))
    finally:
        begun.end()
        decided.end()


def ranking_data(choice: Choice, staffed: Staffed, ranking: Ranking) -> dict[str, Any]:
    """Return the JSON form."""
    found, best = choice.ranked, choice.best
    return {
        "rosters": len(choice.rosters),
        "ranked_times": choice.turn,
        "first_day": choice.first,
        "more_rosters": choice.more,
        "final": found.final,
        "sure": ranking.sure,
        "close": ranking.close,
        "people": found.people,
        "broken": found.broken,
        "undecided": found.undecided,
        "as_many_people_keep": found.rivals,
        "late_share": found.late_share,
        "late_share_error": found.error,
        "days": found.days,
        "more_days": found.more_days,
        "stations": None
        if best is None
        else [
            {"name": name, "shifts": shifts_data(shifts_of(turns))}
            for name, turns in zip(staffed.plans, best, strict=True)
        ],
    }


def ranking_text(choice: Choice, found: Staffed, wanted: Wanted, ranking: Ranking) -> list[str]:
    """Return what is said of the rosters."""
    known, best = choice.ranked, choice.best
    lines = ["", wrapped(_looked_at(choice))]
    if best is not None and known.final:
        lines.append(wrapped(_said_of_the_best(known), 2))
    if best is not None:
        lines += [
            wrapped(f"{name}: {shifts_text(shifts_of(turns), found.clock)}.", 2)
            for name, turns in zip(found.plans, best, strict=True)
        ]
    days = f"{known.days:,} simulated days for the promise"
    days += f", {known.more_days:,} more for the choice" if known.more_days else ""
    close = f"{ranking.close * _HUNDREDTH:g} in 100 people"
    if known.final:
        lines.append(
            wrapped(
                f"{ranking.sure * 100:g}% sure, all of it together, apart from differences "
                f"below {close} in a half hour, or over the day. {days}, seed {wanted.seed}, "
                "the same for every roster.",
                2,
            )
        )
    else:
        lines.append(
            wrapped(
                f"Not decided in {days}, seed {wanted.seed}: nothing is promised of this yet. "
                "Allow more with --most-days, or let more count as close with --close.",
                2,
            )
        )
    return lines


def _looked_at(choice: Choice) -> str:
    found = choice.ranked
    start = "that of these shifts"
    if choice.turn > 1:
        start = (
            f"the best of ranking {choice.turn - 1}, of {people_in(choice.rosters[0])} people"
        )
    more = "; there are more, raise --rank to see them" if choice.more else ""
    near = (
        f"{counted(len(choice.rosters), 'roster')} of whole shifts: {start}, and others that "
        f"differ from it in one or two people{more}."
    )
    if found.people is not None:
        less = f", {choice.saved} fewer than that" if choice.saved > 0 else ""
        return f"{near} The fewest people that keep the promise: {found.people}{less}."
    if found.final:
        return f"{near} None of them is known to keep the promise."
    return f"{near} Of none it is known yet that it keeps the promise; open: {found.undecided}."


def _said_of_the_best(found: Ranked) -> str:
    assert found.late_share is not None  # noqa: S101  a final best was played on further days
    late = f"{found.late_share * _HUNDREDTH:.1f} % wait longer over the day"
    error = f"standard error {(found.error or 0) * _HUNDREDTH:.1f} %"
    if found.rivals == 1:
        return f"It is the only one with so few; {late} ({error})."
    return f"Of {found.rivals} with so many, the one with the fewest late: {late} ({error})."
