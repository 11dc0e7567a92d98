"""`thawline vial`: what happens to vials, and how long each may be used."""

from decimal import Decimal
from typing import Annotated

from cyclopts import App, Parameter

from thawline.adapters.notes import write_note
from thawline.app import holds, receiving, sending, vials
from thawline.app.standings import all_stood, in_force, stood
from thawline.base.errors import RecordError
from thawline.base.instants import read_instant
from thawline.cli.acting import doing, moment, recorded, site_named
from thawline.cli.answers import Answer
from thawline.cli.options import Acting, Where
from thawline.cli.reading import read_json, rules_for
from thawline.cli.vials import (
    listed,
    reckoning_data,
    reckoning_text,
    vial_data,
    vial_text,
)
from thawline.ledger import events as ev
from thawline.receive import Arrival
from thawline.vial.reckon import reckon as reckoning_of
from thawline.vial.story import read_story

app = App(name="vial", help="Vials: receive, move, open, draw, hold; until when each is usable.")
NOBODY = Acting()


@app.command
def reckon(story: str, *, at: str, protocol: str | None = None) -> Answer:
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
