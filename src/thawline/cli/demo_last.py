"""The tour's last vial: Oddmoor Library at 16:52, from the site's own record."""

from typing import Any

from thawline.app.last_vial import LastVial
from thawline.app.last_vial_words import advice, days_of, says
from thawline.base.instants import written
from thawline.cli.demo_text import part
from thawline.cli.last_vial import known_text, table_of
from thawline.cli.text import clock_time
from thawline.demo.building import Built
from thawline.demo.folder import LAST_VIAL
from thawline.demo.library import PERSON_PRICE
from thawline.draw.dots import dots_text


def last_vial(built: Built) -> list[str]:
    """Return the part of the page; without a last vial on this seed it says so."""
    shown = built.library
    known, last, zone = shown.opening.known, shown.opening.last, shown.site.zone
    clock = clock_time(known.now, zone)
    head = f"12. {clock}, {shown.place.title}: open another vial?"
    if last is None:
        return part(head, "It is too early to ask.")
    return part(
        head,
        *(line.replace("\n", " ") for line in known_text(shown.opening, zone)),
        dots_text(days_of(last, known, zone, demo=True)),
        f"{says(last, known, zone)} A person asked to come back is priced at "
        f"{PERSON_PRICE:g} doses.",
        table_of(last, known).splitlines(),
        f"As a page: {built.home / LAST_VIAL}",
    )


def last_data(built: Built) -> dict[str, Any]:
    """Return the figures of the last vial."""
    shown = built.library
    last: LastVial | None = shown.opening.last
    until = None if last is None else last.waits_until
    return {
        "last_vial_advice": None if last is None else advice(last),
        "last_vial_wait_until": None if until is None else written(until, shown.site.zone),
        "last_vial_in_hand": shown.opening.known.doses,
    }
