"""`thawline reaction count`: seen beside expected, by site, lot or number of the dose."""

import re
from dataclasses import dataclass
from fractions import Fraction
from typing import Annotated, Any

from cyclopts import Parameter

from thawline.adapters.reaction_tables import reaction_named, shipped, smallest_shared
from thawline.adapters.sites import folder_of, names
from thawline.adapters.whole_files import write_picture
from thawline.app.reactions import doses_and_seen
from thawline.app.seen_pictures import seen_picture
from thawline.base.errors import NotFoundError, RecordError, UnsaidError
from thawline.base.findings import Finding, Level
from thawline.cli.answers import Answer
from thawline.cli.asking import site_named
from thawline.cli.surroundings import home
from thawline.cli.text import wrapped
from thawline.draw.seen_expected import Picture, forest_svg, forest_text
from thawline.report.reactions import StatedRate
from thawline.report.seen import Row, lot_rows, rows_of

_PAIR = re.compile(r"(\d{1,9})/(\d{1,12})", re.ASCII)
_HEAD = ("group", "doses", "seen", "expected", "ratio", "lower", "upper", "p", "says")


@Parameter(name="*")
@dataclass(frozen=True, kw_only=True)
class Held:
    """
    What the count is held against.

    Parameters
    ----------
    rate
        The name of a shipped rate, or cases/doses as in 16/64900.
    definition
        What is a case, for a rate of your own.
    source
        Where that rate is from.
    """

    rate: str = ""
    definition: str = ""
    source: str = ""


@Parameter(name="*")
@dataclass(frozen=True, kw_only=True)
class Shown:
    """
    Whom it is for.

    Parameters
    ----------
    share
        For others: counts so small that they would name a person are hidden.
    svg
        The file to write the picture to; its name ends in .svg.
    """

    share: Annotated[bool, Parameter(negative="")] = False
    svg: str | None = None


NOTHING, HERE = Held(), Shown()


def count(
    what: str,
    *,
    by: str = "site",
    lot: str | None = None,
    site: Annotated[tuple[str, ...], Parameter(negative="")] = (),
    held: Held = NOTHING,
    shown: Shown = HERE,
) -> Answer:
    """
    Count a reaction beside the number expected, with exact ranges; records nothing.

    thawline reaction count faint --rate hall
    thawline reaction count anaphylaxis --by lot --rate watched --svg lots.svg

    Expected is the doses so far times the rate. Rates differ with what is called a case, up to
    thirtyfold, so none is taken by itself: the clinical lead says which fits here.

    Parameters
    ----------
    what
        The code of the reaction, as in thawline reaction note.
    by
        site, lot or dose.
    lot
        Only the doses of this lot.
    site
        Only this site; may be repeated. All sites of this home if left out.
    """
    reaction = reaction_named(what)
    rate = _rate(what, held)
    asked = list(dict.fromkeys(site)) or names(home())
    sites = [site_named(name) for name in asked]
    found = list(doses_and_seen(sites, what))
    if lot is not None:
        found = list(lot_rows(found, lot))
    if not found:
        raise NotFoundError("no dose is recorded yet", advice="count after the first dose")
    smallest = max(smallest_shared(folder_of(home(), name)) for name in asked)
    rows = rows_of(
        found, by, Fraction(rate.cases, rate.doses), smallest if shown.share else None
    )
    picture = picture_of(reaction.says, rows, rate, demo=any(each.demo for each in sites))
    if shown.svg is not None:
        write_picture(shown.svg, forest_svg(picture))
    return Answer(
        data=_data(what, by, rows, rate, shared=shown.share),
        text="\n".join(forest_page(picture)),
        alerts=_alerts(reaction.says, rows),
        not_known=[row.name for row in rows if row.found is None or row.hidden],
        csv=[_HEAD, *(_cells(row) for row in rows)],
    )


def forest_page(picture: Picture) -> list[str]:
    """Return the picture as text with what each row says, and what it was held against."""
    return [*forest_text(picture), *(wrapped(each, 2) for each in sentences_of(picture))]


def sentences_of(picture: Picture) -> list[str]:
    """Return what each row says, and what it was held against."""
    return [*(f"{mark.name}: {mark.says}." for mark in picture.marks), picture.says]


def _rate(what: str, held: Held) -> StatedRate:
    """Return the rate asked for; nothing is expected at a rate that nobody named."""
    known = {each.name: each for each in shipped().rates if each.code == what}
    told = "; ".join(f"{n} ({r.cases}/{r.doses}: {r.definition})" for n, r in known.items())
    if held.rate in known:
        return known[held.rate]
    match = _PAIR.fullmatch(held.rate)
    if match is None:
        says = "no rate is named" if not held.rate else f"no rate {held.rate!r} for {what}"
        known_ones = f"--rate {told}, or" if told else "give"
        raise UnsaidError(says, advice=f"{known_ones} --rate CASES/DOSES of your own")
    if not held.definition.strip() or not held.source.strip():
        raise UnsaidError(
            "a rate without what it calls a case, or without its source",
            advice="add --definition and --source",
        )
    cases, doses = map(int, match.groups())
    if not cases or cases > doses:
        raise RecordError(f"a rate of {held.rate}", advice="cases above 0, no more than doses")
    return StatedRate(what, "own", cases, doses, held.definition.strip(), held.source.strip())


def picture_of(
    says: str, rows: tuple[Row, ...], rate: StatedRate, *, demo: bool = False
) -> Picture:
    """Return what is drawn of the rows, and what they were held against."""
    source = shipped().titles.get(rate.source, rate.source)
    return seen_picture(says, rows, rate, source, demo=demo)


def _alerts(says: str, rows: tuple[Row, ...]) -> tuple[Finding, ...]:
    return tuple(
        Finding(
            Level.ACT,
            "more-than-expected",
            f"{says}: {row.name} has {row.seen}. Look into it, and tell the clinical lead.",
        )
        for row in rows
        if row.is_above and not row.hidden
    )


def _data(
    what: str, by: str, rows: tuple[Row, ...], rate: StatedRate, *, shared: bool
) -> dict[str, Any]:
    return {
        "what": what,
        "by": by,
        "shared": shared,
        "rate": {
            "cases": rate.cases,
            "doses": rate.doses,
            "definition": rate.definition,
            "source": shipped().titles.get(rate.source, rate.source),
        },
        "groups": [dict(zip(_HEAD, _cells(row), strict=True)) for row in rows],
    }


def _cells(row: Row) -> list[Any]:
    if row.hidden or row.found is None:
        return [row.name, row.doses, None if row.hidden else row.seen, *[None] * 5, row.says]
    found = row.found
    ends = (found.expected, found.ratio, found.lower, found.upper, row.p)
    return [row.name, row.doses, row.seen, *ends, row.says]
