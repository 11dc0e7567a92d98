"""The tour's people: who is called about the day, who is told apart, and a dose on paper."""

from collections import Counter

from thawline.app.call_sheet import ToCall, call_sheet
from thawline.base.instants import midnight_after
from thawline.cli.demo_text import alerts, part
from thawline.cli.text import clock_time, counted, day_name
from thawline.demo.building import Built
from thawline.demo.paper import DAY
from thawline.demo.people import people_booked
from thawline.person.follow_up import About


def right_person(built: Built) -> list[str]:
    """Return the part of the right person: the follow-up list, and the dose on paper."""
    calls = call_sheet(built.site, built.day, midnight_after(built.day, built.site.zone))
    return part(
        f"17. {day_name(built.day)}: the follow-up list, people of one name; "
        f"{day_name(DAY)}: a dose on paper",
        _listed(built, calls),
        *_told_apart(built),
        _double(built, calls),
        *_paper(built),
    )


def _listed(built: Built, calls: list[ToCall]) -> str:
    counts = Counter(each.about for each in calls)
    each = ", ".join(f"{counts[about]} {about.value}" for about in About if counts[about])
    return f"{counted(len(calls), 'call')} about {day_name(built.day)}: {each}."


def _told_apart(built: Built) -> list[str]:
    said = []
    for met in built.seen.met:
        others = [each for each in met.facing if each.person != met.person]
        beside = ", ".join(f"{each.person} born {each.identity.born}" for each in others)
        own = next(each for each in met.facing if each.person == met.person)
        said.append(
            f"{own.identity.name}, {met.person} born {own.identity.born}, says both at the "
            f"desk; shown beside {beside}."
        )
    return said


def _double(built: Built, calls: list[ToCall]) -> str:
    booked = people_booked(built.place, built.day, built.seed)
    double = next(each for each in booked if each.double_of is not None)
    called = any((c.person, c.about) == (double.code, About.NO_SHOW) for c in calls)
    on_it = "on the list as a no-show" if called else "not on the list"
    return (
        f"{double.code} may be {double.double_of}, day and month of the birth date swapped: "
        f"not merged, and {on_it}."
    )


def _paper(built: Built) -> list[str | list[str]]:
    paper = built.paper
    given = clock_time(paper.given_at, paper.site.zone, DAY)
    typed = clock_time(paper.typed_at, paper.site.zone, DAY)
    return [
        f"{day_name(DAY)}, given on paper at {given}, typed in at {typed}: the card of "
        f"{paper.person.code} says first dose {paper.first.isoformat()}.",
        alerts(paper.findings),
        *paper.draft,
    ]
