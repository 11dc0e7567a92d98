"""`thawline observe`: who may leave, the emergency card, stamps, the kit, a pause."""

from decimal import Decimal
from typing import Annotated

from cyclopts import App, Parameter

from thawline.app import observing
from thawline.base.instants import local_date, written
from thawline.cli import observe_pages
from thawline.cli.acting import doing, recorded
from thawline.cli.answers import Answer
from thawline.cli.asking import moment, site_named
from thawline.cli.options import Acting, Number, Where
from thawline.cli.text import clock_time
from thawline.observe.emergency import dose_for, millilitres

app = App(name="observe", help="Observation: who may leave, emergency card and stamps, kit.")
NOBODY = Acting()
NOW = Where()


@app.command(name="list")
def list_(*, where: Where = NOW) -> Answer:
    """
    Show who is in the observation area and from when each may leave.

    thawline observe list
    thawline observe list --at 10:30
    """
    site = site_named(where.site)
    now = moment(where.at, site.now(), site.zone)
    here, early = observing.waiting(site, now), observing.left_early(site, now)
    return observe_pages.area(here, early, site.zone, now)


@app.command
def leave(person: str, *, acting: Acting = NOBODY) -> Answer:
    """
    Record that a person left the observation area; never refused.

    thawline observe leave DEMO-004217 --by "Sorrel Kettlewick"
    thawline observe leave DEMO-004217 --at 10:20 --by "Sorrel Kettlewick"

    Too early is recorded as well, and the person is on the list of calls.

    Parameters
    ----------
    person
        The person's code.
    """
    site = site_named(acting.site)
    outcome = observing.went(site, doing(site, acting), person.strip())
    return recorded(outcome, site, f"{person.strip()} left the observation area")


@app.command
def stamp(
    what: str = "given", *, card: str = "", person: str | None = None, acting: Acting = NOBODY
) -> Answer:
    """
    Stamp a moment of an emergency or a faint; nothing has to be typed.

    thawline observe stamp
    thawline observe stamp down --person DEMO-004217 --by "Sorrel Kettlewick"

    Without a word it is "epinephrine given now", and the window of the next dose is shown.

    Parameters
    ----------
    what
        given, called, crew, down or up.
    card
        Which emergency, where there are several at once.
    person
        The person's code; may be named later.
    """
    site = site_named(acting.site)
    act = doing(site, acting)
    outcome, window = observing.stamp(site, act, what, card.strip(), person)
    at = clock_time(act.at, site.zone, local_date(act.at, site.zone))
    says, data = f"{what} stamped {at}", {}
    if window is not None:
        opens, closes = (
            clock_time(each, site.zone, local_date(act.at, site.zone))
            for each in (window.opens, window.closes)
        )
        says = f"{says}\nIf not better, next dose from {opens} to {closes}, item {window.item}"
        data = {
            "next_from": written(window.opens, site.zone),
            "next_until": written(window.closes, site.zone),
        }
    return recorded(outcome, site, says, data)


@app.command
def name(person: str, *, card: str = "", acting: Acting = NOBODY) -> Answer:
    """
    Name the person of an emergency card afterwards.

    thawline observe name DEMO-004217 --by "Sorrel Kettlewick"
    thawline observe name DEMO-004217 --card 2 --by "Sorrel Kettlewick"

    Parameters
    ----------
    person
        The person's code.
    card
        Which emergency, where there were several at once.
    """
    site = site_named(acting.site)
    outcome = observing.name_card(site, doing(site, acting), card.strip(), person.strip())
    return recorded(outcome, site, f"the emergency card names {person.strip()}")


@app.command
def card(*, weight_kg: Number = None, where: Where = NOW) -> Answer:
    """
    Show the emergency card of the protocol in force, to print and to hang up.

    thawline observe card
    thawline observe card --weight-kg 24

    The dose by weight is a calculator for licensed people; the card itself needs no weight.

    Parameters
    ----------
    weight_kg
        The person's weight in kilograms, for the calculator.
    """
    site = site_named(where.site)
    found = observing.emergency_card(site, moment(where.at, site.now(), site.zone))
    mg: Decimal | None = None if weight_kg is None else dose_for(weight_kg, found.card)
    volume = None if mg is None else millilitres(mg, found.card)
    return observe_pages.emergency(found, mg, volume)


@app.command
def kit(
    *,
    doses: Annotated[list[str] | None, Parameter(name="--doses")] = None,
    able: Annotated[list[str] | None, Parameter(name="--able")] = None,
    acting: Acting = NOBODY,
) -> Answer:
    """
    Record a look at the emergency kit; too little pauses vaccinating at once.

    thawline observe kit --doses 3@2026-08-31 --able "Hazel Rainmoor" --by "Sorrel Kettlewick"
    thawline observe kit --doses 2@2026-03-31 --doses 1@2026-08-31 --able Hazel --by Sorrel

    Parameters
    ----------
    doses
        Doses of epinephrine and their last day of use, as 3@2026-08-31; several times.
    able
        Who is present and may give epinephrine; several times.
    """
    site = site_named(acting.site)
    act = doing(site, acting)
    outcome = observing.look_at_kit(site, act, doses or [], able or [])
    return recorded(outcome, site, "The look at the emergency kit is recorded")


@app.command
def resume(*, acting: Acting = NOBODY) -> Answer:
    """
    Let vaccinating go on after a pause: the clinical lead, by their own PIN.

    thawline observe resume --why kit-complete --by "Bryony Testwick" --pin 284651
    thawline observe resume --why person-there --by "Bryony Testwick" --pin 284651
    """
    site = site_named(acting.site)
    outcome = observing.resume(site, doing(site, acting), acting.pin)
    return recorded(outcome, site, "vaccinating goes on")
