"""`thawline plan supplies`: a day's need of needles, syringes and the rest, against stock."""

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from cyclopts import Parameter

from thawline.adapters.sites import folder_of
from thawline.adapters.supply_tables import SUPPLIES, Stock, read_stock, uses
from thawline.app.plans import Ask, plan_for_site
from thawline.base.errors import RecordError
from thawline.base.instants import read_date
from thawline.cli.answers import Answer
from thawline.cli.asking import moment, site_named
from thawline.cli.no_show_option import no_show_of
from thawline.cli.options import Where
from thawline.cli.surroundings import home
from thawline.cli.text import counted, table, wrapped
from thawline.plan.no_show import percent
from thawline.plan.supplies import DayAhead, Line, need_against_stock, supply_findings

NOW = Where()
_HEAD = ["supplies", "kind", "need", "on hand", "short", "figure"]


@Parameter(name="*")
@dataclass(frozen=True, kw_only=True)
class Told:
    """
    A question without a site's bookings.

    Parameters
    ----------
    doses
        Doses that the day may need; left out, from the site's bookings.
    vials
        Vials that will be opened.
    stock
        The file of the count; left out, supplies.toml in the site's folder.
    """

    doses: int | None = None
    vials: int | None = None
    stock: str | None = None


FROM_BOOKINGS = Told()


def supplies(
    *,
    on: str | None = None,
    no_show: str | None = None,
    service: float = 0.95,
    where: Where = NOW,
    told: Told = FROM_BOOKINGS,
) -> Answer:
    """
    Say what a day needs of supplies against what was counted; records nothing.

    thawline plan supplies --site harrowmint --on 2026-02-03 --no-show 0.08
    thawline plan supplies --doses 660 --vials 66 --stock supplies.toml

    Diluent on the site is a stop, and so are too few doses of epinephrine. What nobody counted
    is not known. What a dose uses is common practice unless the site's own row says it.

    Parameters
    ----------
    on
        The day, as in 2026-02-03; the next day with bookings if left out.
    no_show
        The share that stays away, as in 0.08; learned from earlier days here if left out.
    service
        The chance that doses and needles of each length are enough, from 0.5 to below 1.
    """
    day, says = _day(on, no_show, service, where, told)
    stock = read_stock(_file(where, told))
    lines = need_against_stock(uses(), stock.rows, day)
    return Answer(
        data=_data(lines, day, stock),
        text=_text(lines, day, stock, says),
        alerts=supply_findings(lines),
        not_known=_not_known(lines, stock),
        csv=[_HEAD, *_rows(lines)],
    )


def _day(
    on: str | None, no_show: str | None, service: float, where: Where, told: Told
) -> tuple[DayAhead, str]:
    if (told.doses is None) != (told.vials is None):
        raise RecordError("doses and vials go together", advice="add --doses 660 --vials 66")
    if told.doses is not None and told.vials is not None:
        return DayAhead(told.doses, told.vials, service), "as told"
    site = site_named(where.site)
    now = moment(where.at, site.now(), site.zone)
    share = None if no_show is None else no_show_of(no_show)
    asked = None if on is None else read_date(on)
    plan = plan_for_site(site, Ask(now, asked, service, share)).plan
    return DayAhead(plan.people.high, plan.vials.high, service), f"{plan.booked} booked"


def _not_known(lines: tuple[Line, ...], stock: Stock) -> tuple[str, ...]:
    said = (("counted_at", stock.counted_at), ("counted_by", stock.counted_by))
    return (
        *(key for key, value in said if not value),
        *(line.kind for line in lines if line.on_hand is None),
    )


def _file(where: Where, told: Told) -> Path:
    if told.stock is not None:
        return Path(told.stock)
    return folder_of(home(), where.site) / SUPPLIES


def _text(lines: tuple[Line, ...], day: DayAhead, stock: Stock, says: str) -> str:
    by, at = stock.counted_by or "? (not said)", stock.counted_at or "? (not said)"
    return "\n".join(
        [
            wrapped(
                f"Supplies for {counted(day.doses, 'dose')} from {counted(day.vials, 'vial')} "
                f"({says}), enough at {percent(day.service)}. Counted {at}, by: {by}"
            ),
            table(_HEAD, _rows(lines), [2, 3, 4]),
        ]
    )


def _rows(lines: tuple[Line, ...]) -> list[list[str]]:
    return [
        [line.name, line.kind, *map(_known, (line.need, line.on_hand, line.short)), line.source]
        for line in lines
    ]


def _known(count: int | None) -> str:
    return "?" if count is None else str(count)


def _data(lines: tuple[Line, ...], day: DayAhead, stock: Stock) -> dict[str, Any]:
    return {
        "doses": day.doses,
        "vials": day.vials,
        "service": day.service,
        "counted_at": stock.counted_at or None,
        "counted_by": stock.counted_by or None,
        "supplies": [
            {
                "name": line.name,
                "kind": line.kind,
                "need": line.need,
                "on_hand": line.on_hand,
                "short": line.short,
                "source": line.source,
            }
            for line in lines
        ],
    }
