"""How the advice on opening another vial is shown: JSON keys, the choices priced, the dots."""

from datetime import timedelta
from itertools import groupby
from typing import Any
from zoneinfo import ZoneInfo

from thawline.app.last_vial import SLOT, Known, LastVial, Opening
from thawline.app.last_vial_words import advice, choices, days_of, says
from thawline.app.standby import LATE
from thawline.base.durations import spoken
from thawline.base.instants import Instant, local_date, written
from thawline.cli.text import clock_time, counted, table, wrapped
from thawline.draw.dots import dots_text
from thawline.plan.last_vial import Expected

_HEAD = ["choice", "price", "wasted", "asked back", "waiting min", "short days of 20"]


def known_data(opening: Opening, zone: ZoneInfo) -> dict[str, Any]:
    """Return what the advice rests on, as JSON."""
    known = opening.known
    return {
        "at": written(known.now, zone),
        "close": written(known.close, zone),
        "booked_to_come": known.booked,
        "given_up_late": known.given_up,
        "at_chairs": known.at_chairs,
        "waiting": known.waiting,
        "doses_in_hand": known.doses,
        "in_hand": [
            {"vial": b.vial, "doses": b.doses, "use_by": written(b.use_by, zone)}
            for b in known.in_hand
        ],
        "chilled_vials": list(known.chilled),
        "warm_min": known.warm // timedelta(minutes=1),
        "standby": len(known.standby.waiting),
        "standby_in_reach": len(known.standby.can_be_here(known.close)),
        "on_the_way": len(known.standby.on_the_way),
        "no_show": known.no_show.says,
        "walk_ups": known.walk_ups_say,
    }


def last_data(last: LastVial | None, known: Known, zone: ZoneInfo) -> dict[str, Any] | None:
    """Return the advice for the last hours, as JSON; None when it is too early for it."""
    if last is None:
        return None
    until = last.waits_until
    return {
        "advice": advice(last),
        "wait_until": None if until is None else written(until, zone),
        "chance_sooner": last.chance_sooner,
        "days": list(last.days),
        "short_days": last.short_days,
        "drawn_by_lot": False,
        "choices": [
            {
                "choice": name,
                "price_doses": told.price,
                "doses_wasted": told.doses_wasted,
                "people_asked_back": told.people_asked_back,
                "wait_person_min": told.slots_held * (SLOT // timedelta(minutes=1)),
                "chance_short": told.chance_short,
                "names_called": called,
            }
            for name, told, called in choices(last, known)
        ],
        "brings_from": [
            {
                "from": written(Instant(known.start + slot * SLOT), zone),
                "doses_less_waiting": last.solved.brings_from(slot),
            }
            for slot in range(last.hours.slots)
        ],
    }


def last_text(last: LastVial, known: Known, zone: ZoneInfo) -> list[str]:
    """Return the advice for people: in words, the dots, each choice with its price."""
    return [
        wrapped(says(last, known, zone)),
        *dots_text(days_of(last, known, zone, demo=False)),
        table_of(last, known),
        wrapped(_brings(last, known, zone)),
        "Price in doses, on average; exact for what is assumed. You decide; this is advice.",
    ]


def _brings(last: LastVial, known: Known, zone: ZoneInfo) -> str:
    """Return the whole table of when a vial is brought, for people."""
    today = local_date(known.now, zone)
    slots = range(last.hours.slots)
    runs = [(key, next(run)) for key, run in groupby(slots, key=last.solved.brings_from)]
    told = (
        f"{clock_time(Instant(known.start + slot * SLOT), zone, today)} "
        f"{'never' if most is None else most}"
        for most, slot in runs
    )
    return (
        f"Bring one at so many doses in hand, less people waiting, or fewer: {', '.join(told)}."
    )


def table_of(last: LastVial, known: Known) -> str:
    """Return each choice with what it leads to, as a table."""
    rows = [_row(*each) for each in choices(last, known)]
    return table(_HEAD, rows, [1, 2, 3, 4, 5])


def _row(name: str, told: Expected, called: int) -> list[str]:
    waited = told.slots_held * (SLOT / timedelta(minutes=1))
    days = 20 * told.chance_short
    return [
        name.replace("call standby", f"call {called}") if called else name,
        f"{told.price:.2f}",
        f"{told.doses_wasted:.2f}",
        f"{told.people_asked_back:.2f}",
        f"{waited:.0f}",
        f"{days:.1f}",
    ]


def known_text(opening: Opening, zone: ZoneInfo) -> list[str]:
    """Return what the advice rests on, for people."""
    known = opening.known
    today = local_date(known.now, zone)
    soonest = min((b.use_by for b in known.in_hand), default=None)
    lines = [
        f"{clock_time(known.now, zone, today)}, close {clock_time(known.close, zone, today)}: "
        f"{counted(known.doses, 'dose')} in hand"
        f"{'' if soonest is None else f' (first use-by {clock_time(soonest, zone, today)})'}, "
        f"{counted(known.booked, 'booking')} to come, {known.at_chairs} at the chairs, "
        f"{known.waiting} waiting, {counted(len(known.chilled), 'chilled vial')}, standby list "
        f"{len(known.standby.waiting)} of whom {len(known.standby.can_be_here(known.close))} "
        f"can be here in time, {len(known.standby.on_the_way)} on the way.",
        f"No-shows: {known.no_show.says}. Walk-ups: {known.walk_ups_say}.",
    ]
    if known.given_up:
        lines.append(
            f"{counted(known.given_up, 'booking')} of today more than {spoken(LATE)} late had "
            "no dose and are not counted; if they come, they are people waiting."
        )
    return [wrapped(each) for each in lines]
