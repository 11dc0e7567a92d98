"""`thawline dose`: check before the needle, record after it, waste, find, needle length."""

from typing import Annotated

from cyclopts import App, Parameter

from thawline.app import doses, vials
from thawline.app.calculators import needle_length
from thawline.base.errors import RecordError, RefusedError
from thawline.base.instants import local_date, read_date
from thawline.base.quantities import microlitres
from thawline.cli import dose_errors, dose_pages, journal_acts
from thawline.cli.acting import doing, recorded
from thawline.cli.answers import Answer
from thawline.cli.asking import moment, site_named
from thawline.cli.dose_hand import Hand, needle_of
from thawline.cli.options import Acting, Number
from thawline.cli.reading import rules_for
from thawline.cli.text import counted, table
from thawline.ledger.events import DoseGiven, EarlierDoseTold

app = App(name="dose", help="Doses: check before the needle, record, correct, find.")
NOBODY = Acting()


@app.command
def check(*, hand: Hand, acting: Acting = NOBODY) -> Answer:
    """
    Ask before the needle whether this dose may go into this person now.

    thawline dose check --person DEMO-004217 --syringe HK47M-07 --at 16:05
    thawline dose check --person DEMO-004217 --syringe HK47M-07 --screened-by Sorrel \
--screening give --station chair-3 --by "Hazel Rainmoor"

    Without --by it only answers. With --by the check is noted, so that a person with no dose
    recorded is asked for at the next scan at that chair.
    """
    site = site_named(acting.site)
    needle = needle_of(hand)
    if acting.by:
        outcome = doses.check(site, doing(site, acting), needle)
        return recorded(outcome, site, f"{hand.person} may have the dose {needle.code}")
    since = moment(acting.at, site.now(), site.zone)
    at = moment(acting.until, site.now(), site.zone) if acting.until else since
    answer = doses.question(site, needle, acting.station, at, since)
    says = f"{hand.person} may have dose {answer.dose_number} from {needle.code}"
    data = {"may": answer.may, "dose_number": answer.dose_number, "recorded": False}
    if not answer.may:
        raise RefusedError(answer.findings)
    return Answer(data, says, answer.findings, protocol=answer.protocol)


@app.command
def give(
    *,
    hand: Hand,
    arm: str | None = None,
    route: str = "IM",
    volume_ml: Number = None,
    acting: Acting = NOBODY,
) -> Answer:
    """
    Record a dose that was given; a fact, never refused.

    thawline dose give --person DEMO-004217 --syringe HK47M-07 --arm left --by "Hazel Rainmoor"
    thawline dose give --person DEMO-004217 --vial HK47M --arm right --at 10:14 --by Hazel

    Parameters
    ----------
    arm
        left or right.
    route
        IM unless something else happened.
    volume_ml
        The volume given, where it was not the dose.
    """
    site = site_named(acting.site)
    volume = None if volume_ml is None else microlitres(volume_ml)
    needle = needle_of(hand, arm=arm, route=route, volume_ul=volume)
    outcome = doses.give(site, doing(site, acting), needle)
    given = outcome.event
    number = given.dose_number if isinstance(given, DoseGiven) else None
    says = f"dose {number} from {needle.code} recorded for {hand.person}"
    return recorded(outcome, site, says, {"dose_number": number})


@app.command
def none(person: str, *, acting: Acting = NOBODY) -> Answer:
    """
    Record that a person who was checked left without a dose.

    thawline dose none DEMO-000412 --why "changed their mind" --by "Hazel Rainmoor"
    thawline dose none DEMO-000412 --at 14:02 --by "Hazel Rainmoor"

    Parameters
    ----------
    person
        The person's code.
    """
    site = site_named(acting.site)
    outcome = doses.not_given(site, doing(site, acting), person)
    return recorded(outcome, site, f"{person} left without a dose")


@app.command
def told(
    person: str, given_on: str, *, lot: str = "", product: str = "", acting: Acting = NOBODY
) -> Answer:
    """
    Record a first dose given elsewhere, from the person's card.

    thawline dose told DEMO-000412 2026-01-06 --lot ZZ-0907 --by "Bryony Testwick"
    thawline dose told DEMO-000412 2026-01-06 --product other --by "Bryony Testwick"

    Parameters
    ----------
    person
        The person's code.
    given_on
        The date on the card, as 2026-01-06.
    lot
        The lot on the card.
    product
        The product on the card.
    """
    site = site_named(acting.site)
    card = EarlierDoseTold(person=person, given_on=given_on, lot=lot, product=product)
    outcome = doses.told(site, doing(site, acting), card)
    return recorded(outcome, site, f"{person} had a dose on {read_date(given_on).isoformat()}")


@app.command
def correct(
    person: str,
    *,
    dose: int = 1,
    set_: Annotated[list[str] | None, Parameter(name="--set")] = None,
    acting: Acting = NOBODY,
) -> Answer:
    """
    Correct the record of a dose; what was written stays too.

    thawline dose correct DEMO-004217 --set arm=right --why "asked again" --by "Hazel Rainmoor"
    thawline dose correct DEMO-004217 --dose 2 --set at=10:14 --why "typed late" --by Hazel

    Fields are those of `thawline journal show`; --set at=… says when it happened.

    Parameters
    ----------
    person
        The person's code.
    dose
        Which dose, 1 or 2.
    set_
        A field and its right value, as arm=right; may be given several times.
    """
    if not set_:
        raise RecordError(
            "nothing to correct is named", advice="add --set, as in --set arm=right"
        )
    site = site_named(acting.site)
    entry = doses.entry_of_dose(site, person, dose)
    return journal_acts.correct(entry, set_=set_, acting=acting)


@app.command
def waste(*, syringe: str, cause: str, acting: Acting = NOBODY) -> Answer:
    """
    Record a drawn syringe that nobody will get.

    thawline dose waste --syringe HK47M-07 --cause use-by --by "Hazel Rainmoor"
    thawline dose waste --syringe HK47M-07 --cause spilled --why dropped --by "Hazel Rainmoor"

    Parameters
    ----------
    syringe
        The syringe's code.
    cause
        One of the listed causes of waste.
    """
    site = site_named(acting.site)
    place = f"syringe:{syringe.upper()}"
    outcome = vials.waste(site, doing(site, acting), place, 1, cause)
    return recorded(outcome, site, f"{syringe.upper()} wasted: {cause}")


@app.command
def find(text: str | None = None, *, site: str | None = None) -> Answer:
    """
    Find a person's doses; without a name or code, the people with no dose recorded.

    thawline dose find DEMO-004217
    thawline dose find --site harrowmint

    Parameters
    ----------
    text
        A code, or three letters or more of a name.
    site
        The site's name; not needed where there is only one.
    """
    place = site_named(site)
    if text is None:
        return dose_pages.unrecorded(place)
    found = doses.find(place, text)
    today = local_date(place.now(), place.zone)
    rows = [row for each in found for row in dose_pages.rows(each, place.zone, today)]
    shown = table(["person", "name", "dose", "given", "lot", "from"], rows)
    return Answer(
        data={"people": [dose_pages.person(each, place.zone) for each in found]},
        text=shown if rows else f"{counted(len(found), 'person', 'people')}, no dose on record",
    )


@app.command
def needle(
    *,
    sex: str,
    weight_lb: Number = None,
    weight_kg: Number = None,
    protocol: str | None = None,
) -> Answer:
    """
    Say which needle length the protocol's table gives for an adult's upper arm.

    thawline dose needle --sex F --weight-lb 153
    thawline dose needle --sex M --weight-kg 120 --protocol published

    Licensed practice decides; the table is a guide. Records nothing.

    Parameters
    ----------
    sex
        F or M, as the table has them.
    weight_lb
        The person's weight in pounds.
    weight_kg
        The person's weight in kilograms.
    protocol
        A protocol id or file; the newest published guidance if left out.
    """
    rules = rules_for(protocol, None)
    row = needle_length(sex, weight_lb, weight_kg, rules.protocol)
    shortest, longest = f"{row.shortest_in}", f"{row.longest_in}"
    length = f"{shortest} in" if shortest == longest else f"{shortest} to {longest} in"
    condition = f" ({row.condition})" if row.condition else ""
    return Answer(
        data={
            "shortest_in": float(row.shortest_in),
            "longest_in": float(row.longest_in),
            "condition": row.condition,
            "item": row.item,
        },
        text=f"{length}{condition}, item {row.item}",
        protocol=rules.ref,
    )


@app.command
def error(
    what: str,
    *,
    given: str,
    about: dose_errors.About = dose_errors.NOTHING,
    person: str | None = None,
    acting: Acting = NOBODY,
) -> Answer:
    """
    Say what to do after an error, by the table in force on that day; drafts a report.

    thawline dose error too-little --given 2021-03-01 --volume-ml 0.3
    thawline dose error wrong-site --given 2026-02-03 --person DEMO-004217 --by "Rowan Thistle"

    Licensed practice decides. Sends nothing; records it only with --person, by the version that
    the site had in force that day.

    Parameters
    ----------
    what
        wrong-site, wrong-route, too-much, too-little, too-young, other-product, past-limit,
        after-expiry, too-early or late.
    given
        The date of the dose.
    person
        The code of the person it happened to: the error is recorded at the site.
    """
    slip = about.slip(what, given)
    if person is None:
        return dose_errors.answer(slip, about.protocol)
    return dose_errors.noted(slip, person.strip(), about.protocol, acting)


@app.command
def needle_stick(
    *,
    syringe: str,
    needle_used: str = "not-known",
    source: str = "",
    acting: Acting = NOBODY,
) -> Answer:
    """
    Somebody was stuck: waste the dose and open a private exposure card.

    thawline dose needle-stick --syringe HK47M-07 --by "Hazel Rainmoor"
    thawline dose needle-stick --syringe HK47M-07 --needle-used yes --source DEMO-42 --by Hazel

    The card is kept with the names, apart from the record, and read by the clinical lead only.

    Parameters
    ----------
    syringe
        The syringe's code.
    needle_used
        Whether the needle had been in a person: yes, no or not-known.
    source
        The code of that person, where one is known.
    """
    return dose_errors.exposure(syringe, needle_used, source, acting)


@app.command
def needle_sticks(*, acting: Acting = NOBODY) -> Answer:
    """
    Show the private exposure cards: the clinical lead, by their own PIN.

    thawline dose needle-sticks --by "Bryony Testwick" --pin 284651
    thawline dose needle-sticks --site harrowmint --by "Bryony Testwick" --pin 284651
    """
    return dose_errors.exposures(acting)


@app.command(name="card")
def card_(*, protocol: str | None = None) -> Answer:
    """
    Show the site and technique card of the protocol, to print.

    thawline dose card
    thawline dose card --protocol example-10

    Licensed practice decides. Records nothing.

    Parameters
    ----------
    protocol
        A protocol id or file; the newest published guidance if left out.
    """
    return dose_errors.technique(protocol)
