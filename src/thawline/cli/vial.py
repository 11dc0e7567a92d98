"""`thawline vial`: what happens to vials, and how long each may be used."""

from collections.abc import Callable

from cyclopts import App

from thawline.app.calculators import vial_yield
from thawline.app.in_force import in_force
from thawline.app.standings import all_stood, seen_at, stood
from thawline.base.instants import read_instant
from thawline.cli import vial_acts, vial_arrivals, vial_travel
from thawline.cli.answers import Answer
from thawline.cli.asking import moment, site_named
from thawline.cli.options import Readable, Where
from thawline.cli.reading import read_json, rules_for
from thawline.cli.vials import (
    csv_rows,
    listed,
    reckoning_data,
    reckoning_text,
    vial_data,
    vial_text,
)
from thawline.prepare.opening import next_ones
from thawline.vial.facts import story_of, was_opened
from thawline.vial.reckon import State
from thawline.vial.reckon import reckon as reckoning_of
from thawline.vial.story import read_story

app = App(
    name="vial", help="Vials: receive, move, open, draw, hold; until when each may be used."
)
NOW = Where()


@app.command
def reckon(story: Readable, *, at: str, protocol: str | None = None) -> Answer:
    """
    Say what the rules make of one vial's handling history; records nothing.

    thawline vial reckon story.json --at 2026-02-03T13:00:00-06:00
    thawline vial reckon - --at 2026-02-03T13:00:00-06:00 --protocol published < story.json

    Parameters
    ----------
    story
        A JSON file with the vial's story; - reads it from standard input.
    at
        The moment asked about, with its offset from UTC.
    protocol
        A protocol id or file; the published guidance in force then if left out.
    """
    when = read_instant(at)
    told = read_story(read_json(story))
    rules = rules_for(protocol, when)
    found = reckoning_of(told, rules.protocol, when)
    return Answer(
        data=reckoning_data(found, told.zone, when),
        text=reckoning_text(found, told.zone, when),
        alerts=found.findings,
        not_known=found.not_known,
        protocol=rules.ref,
        found=None if found.usable else True,
    )


@app.command(name="list")
def list_(
    *, open_: bool = False, lot: str | None = None, everything: bool = False, where: Where = NOW
) -> Answer:
    """
    List the vials that have codes, the one to use first at the top.

    thawline vial list --open --site harrowmint --at 13:37
    thawline vial list --lot ZZ-1041 --everything

    Parameters
    ----------
    open_
        Only open vials.
    lot
        Only this lot.
    everything
        Discarded vials too.
    """
    site = site_named(where.site)
    at = moment(where.at, site.now(), site.zone)
    with site.ledger.view() as view:
        rules = in_force(site, view, at)
        found = [
            each
            for each in seen_at(all_stood(view, rules, at), at)
            if (lot is None or each.vial.lot == lot)
            and (everything or each.reckoning.state is not State.DISCARDED)
            and (not open_ or was_opened(each.vial))
        ]
    last_day = {each.code: story_of(each.vial, None).last_day for each in found}
    first = next_ones(
        [
            (each.code, each.reckoning, last_day[each.code])
            for each in found
            if each.vial.left > 0 and each.vial.sent_to is None
        ]
    )
    place = {code: number for number, code in enumerate(first)}
    found.sort(key=lambda each: (place.get(each.code, len(place)), each.code))
    return Answer(
        data={"vials": [vial_data(each, site.zone, at) for each in found], "use_first": first},
        text=listed(found, site.zone, at),
        protocol=rules.ref,
        csv=csv_rows(found, site.zone, at),
    )


@app.command
def show(vial: str, *, where: Where = NOW) -> Answer:
    """
    Show one vial: its clocks, what was done to it, and what speaks against it.

    thawline vial show HK47M
    thawline vial show HK47M --site harrowmint --at 13:37

    Parameters
    ----------
    vial
        The code on its flag.
    """
    site = site_named(where.site)
    at = moment(where.at, site.now(), site.zone)
    with site.ledger.view() as view:
        rules = in_force(site, view, at)
        now = stood(view, rules, vial.upper(), at)
    each = next(seen_at([now], at), now)
    return Answer(
        data=vial_data(each, site.zone, at),
        text=vial_text(each, site.zone, at),
        alerts=each.reckoning.findings,
        not_known=each.reckoning.not_known,
        protocol=rules.ref,
    )


@app.command(name="yield")
def yield_(
    *, fill_ul: int, dose_ul: int, dead_space_ul: int = 0, most: int | None = None
) -> Answer:
    """
    Say how many doses a vial gives by volume; records nothing.

    thawline vial yield --fill-ul 5500 --dose-ul 500 --dead-space-ul 35
    thawline vial yield --fill-ul 6500 --dose-ul 541 --dead-space-ul 0 --most 11

    Parameters
    ----------
    fill_ul
        What can be drawn out of the vial, in microlitres: measured fill, not the label's.
    dose_ul
        One dose, in microlitres.
    dead_space_ul
        What stays in syringe and needle, in microlitres.
    most
        The most doses that are authorised.
    """
    drawn = vial_yield(fill_ul, dose_ul, dead_space_ul, most)
    return Answer(
        data={"doses": drawn.doses, "left_ul": drawn.left_ul},
        text=f"{drawn.doses} doses, {drawn.left_ul} microlitres left; never pool what is left",
    )


_ACTS: dict[str, Callable[..., Answer]] = {
    "receive": vial_arrivals.receive,
    "receive-chilled": vial_arrivals.receive_chilled,
    "syringes": vial_arrivals.receive_syringes,
    "to-fridge": vial_acts.to_fridge,
    "to-table": vial_acts.to_table,
    "to-freezer": vial_acts.to_freezer,
    "open": vial_acts.open_,
    "draw": vial_acts.draw,
    "waste": vial_acts.waste,
    "discard": vial_acts.discard,
    "flag": vial_acts.flag,
    "hold": vial_travel.hold,
    "release": vial_travel.release,
    "send": vial_travel.send,
    "arrive": vial_travel.arrive,
    "reached": vial_travel.reached,
}
for _name, _act in _ACTS.items():
    app.command(_act, name=_name)
