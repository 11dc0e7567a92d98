"""`thawline plan opening` at a site: the record says what is known; the last hours as dots."""

from datetime import timedelta

from thawline.adapters.whole_files import write_picture
from thawline.app.last_vial import Ask, Opening, opening_now
from thawline.app.last_vial_words import days_of
from thawline.app.ports import Site
from thawline.base.errors import RecordError
from thawline.cli import last_vial as page
from thawline.cli.amounts import walk_ups_of
from thawline.cli.answers import Answer
from thawline.cli.asking import moment, site_named
from thawline.cli.opening_options import Ahead, Here
from thawline.cli.opening_page import (
    policy_data,
    policy_text,
    steps_of,
    table_data,
    table_text,
)
from thawline.draw.dots import dots_svg
from thawline.plan.no_show import by_hand
from thawline.plan.opening import Prices


def at_site(
    here: Here, ahead: Ahead, person_price: float, wait_price: float, wait_most: timedelta
) -> Answer:
    """Return the advice at a site, at a moment."""
    site = site_named(here.site)
    found = opening_now(site, _asked(site, here, ahead, person_price, wait_price, wait_most))
    if here.svg is not None:
        _write(here.svg, found, site)
    known, zone = found.known, site.zone
    slot_min = found.slot // timedelta(minutes=1)
    steps = steps_of(found.policy, len(found.day.arrivals), slot_min, found.day.standby)
    comes = [each.comes for each in known.due]
    share = 1 - sum(comes) / len(comes) if comes else 0.0
    beside = table_data(len(comes), share, known.doses_per_vial, ahead.tables)
    lines = page.known_text(found, zone)
    if found.last is not None:
        lines += page.last_text(found.last, known, zone)
    lines += ["", "From an empty table, for the rest of the day:"]
    lines.append(policy_text(found.policy, steps, slot_min, person_price))
    lines += [] if beside is None else [table_text(beside)]
    return Answer(
        data={
            **policy_data(found.policy, slot_min),
            "opens_from": steps,
            "slots": len(found.day.arrivals),
            "slot_min": slot_min,
            "doses_per_vial": known.doses_per_vial,
            "tables": beside,
            "known": page.known_data(found, zone),
            "last": page.last_data(found.last, known, zone),
            "svg": here.svg,
        },
        text="\n".join(lines),
        protocol=known.ref,
    )


def _asked(
    site: Site,
    here: Here,
    ahead: Ahead,
    person_price: float,
    wait_price: float,
    wait_most: timedelta,
) -> Ask:
    now = moment(here.at, site.now(), site.zone)
    if here.waiting < 0:
        raise RecordError(f"{here.waiting} people waiting", advice="0 or more")
    return Ask(
        now=now,
        prices=Prices(1.0, person_price, wait_price / 2),  # for five minutes of the ten
        no_show=None if ahead.no_show is None else by_hand(ahead.no_show),
        walk_ups_an_hour=walk_ups_of(ahead.walk_ups_per_hour),
        waiting=here.waiting,
        takes=ahead.takes,
        close=None if here.close is None else moment(here.close, now, site.zone),
        hold_most=wait_most,
    )


def _write(path: str, found: Opening, site: Site) -> None:
    """Write the picture of the last hours; earlier there is none."""
    if found.last is None:
        raise RecordError(
            "the picture is of the last two hours, and it is earlier",
            advice="leave --svg out, or ask later",
        )
    days = days_of(found.last, found.known, site.zone, demo=site.demo)
    write_picture(path, dots_svg(days))
