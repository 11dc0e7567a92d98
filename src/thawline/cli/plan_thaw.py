"""`thawline plan thaw`: how many vials to move by which half-hour."""

from dataclasses import dataclass, replace
from typing import Annotated
from zoneinfo import ZoneInfo

from cyclopts import Parameter

from thawline.adapters.time import now as machine_now
from thawline.app.plans import Ask, Given, Planned, Slot, plan_for_site, plan_for_slots
from thawline.base.errors import ExchangeError, NotFoundError, RecordError
from thawline.base.instants import Instant, from_ms, read_date, zone_named
from thawline.cli.answers import Answer
from thawline.cli.asking import moment, site_named
from thawline.cli.booking_files import LAYOUT, Layout, read_file
from thawline.cli.no_show_option import no_show_of
from thawline.cli.options import Where
from thawline.cli.reading import rules_for
from thawline.cli.rolling_options import NOT_ROLLING, Rolling
from thawline.cli.text import counted
from thawline.cli.thaw_plan import HEAD, plan_data, plan_rows, plan_text
from thawline.plan.thaw import OnHand
from thawline.rules.protocol import Protocol, ProtocolRef

NOW = Where()
_MS = 1000


@Parameter(name="*")
@dataclass(frozen=True, kw_only=True)
class FromFile:
    """
    A plan without a site: the bookings come from a file, and what is ready is told.

    Parameters
    ----------
    bookings
        A CSV or XLSX file of bookings; - reads standard input.
    zone
        The IANA time zone of its times, as in America/Chicago; the site's if left out.
    protocol
        A protocol id or file; the published guidance in force that day if left out.
    ready_doses
        Doses on the table already.
    chilled_vials
        Vials in the refrigerator already.
    """

    bookings: Annotated[str | None, Parameter(allow_leading_hyphen=True)] = None
    zone: str | None = None
    protocol: str | None = None
    ready_doses: int = 0
    chilled_vials: int = 0
    layout: Layout = LAYOUT


FROM_SITE = FromFile()


def thaw(
    *,
    on: str | None = None,
    no_show: str | None = None,
    service: float = 0.95,
    where: Where = NOW,
    file: FromFile = FROM_SITE,
    roll: Rolling = NOT_ROLLING,
) -> Answer:
    """
    Say how many vials to move by which half-hour, and what one more or less costs.

    thawline plan thaw --on 2026-02-03 --no-show 0.08
    thawline plan thaw --rolling --person-price 9 --fridge-price 0.1 --table-price 1

    Records nothing. From a site it takes off what is thawed already.

    Parameters
    ----------
    on
        The day, as in 2026-02-03; the next day with bookings if left out.
    no_show
        The share that stays away, as in 0.08, or a file with a group and a no-show column;
        learned from earlier days here if left out.
    service
        The chance of having enough, from 0.5 to below 1.
    """
    how = roll.asked()
    planned, ask = day_planned(on, no_show, service, where, file)
    answer = Answer(
        data=plan_data(planned),
        text=plan_text(planned),
        alerts=planned.findings,
        not_known=_not_known(planned),
        protocol=planned.ref,
        csv=[HEAD, *plan_rows(planned)],
    )
    if how is None:
        return answer
    from thawline.app import rolling  # noqa: PLC0415  brings SciPy
    from thawline.cli.rolling_page import rolling_data, rolling_text  # noqa: PLC0415  the same

    if file.bookings is None:
        rolled = rolling.rolling_for_site(site_named(where.site), planned, ask, how)
    else:
        rolled = rolling.rolling_for_slots(planned, ask, how)
    zone, day = planned.day.zone, planned.day.day
    return replace(
        answer,
        data={**plan_data(planned), "rolling": rolling_data(rolled, zone)},
        text=f"{plan_text(planned)}\n{rolling_text(rolled, zone, day)}",
        alerts=(*planned.findings, *rolled.findings),
    )


def day_planned(
    on: str | None, no_show: str | None, service: float, where: Where, file: FromFile
) -> tuple[Planned, Ask]:
    """Return the plan of a day, of a site or of a file, and what was asked."""
    if file.bookings is None and file != FROM_SITE:
        raise RecordError(
            "--zone, --protocol, --ready-doses and --chilled-vials go with a file",
            advice="add --bookings FILE; a site has its own",
        )
    day = None if on is None else read_date(on)
    shares = None if no_show is None else no_show_of(no_show)
    if file.bookings is None:
        site = site_named(where.site)
        ask = Ask(moment(where.at, site.now(), site.zone), day, service, shares)
        return plan_for_site(site, ask), ask
    zone = _zone(file.zone, where.site)
    ask = Ask(moment(where.at, machine_now(), zone), day, service, shares)
    return _from_file(file.bookings, file, ask, zone), ask


def _from_file(path: str, file: FromFile, ask: Ask, zone: ZoneInfo) -> Planned:
    from thawline.adapters.tables import saved_at  # noqa: PLC0415  as needed

    read = read_file(path, zone, file.layout)
    if read.bad:
        first = read.bad[0]
        raise ExchangeError(
            f"{path}: {counted(len(read.bad), 'row')} cannot be read; the first is "
            f"line {first.line}: {first.reason}",
            advice="correct them: a plan without them would thaw too little",
        )
    slots = [Slot(row.slot, row.group) for row in read.rows]
    saved = saved_at(path)
    on_hand = OnHand(_count(file.ready_doses), _count(file.chilled_vials))
    given = Given(zone, on_hand, None if saved is None else from_ms(int(saved * _MS)))

    def rules_on(at: Instant) -> tuple[Protocol, ProtocolRef]:
        rules = rules_for(file.protocol, at)
        return rules.protocol, rules.ref

    return plan_for_slots(slots, ask, rules_on, given)


def _zone(named: str | None, site: str | None) -> ZoneInfo:
    """Return the zone that was named, else that of the site."""
    if named is not None:
        return zone_named(named)
    try:
        return site_named(site).zone
    except NotFoundError as error:
        raise RecordError(
            "the file's times need a time zone", advice="add --zone America/Chicago"
        ) from error


def _count(count: int) -> int:
    if count < 0:
        raise RecordError(f"fewer than none: {count}", advice="count what is there")
    return count


def _not_known(planned: Planned) -> tuple[str, ...]:
    always = ("walk_ups",)
    return (*always, "bookings_as_of") if planned.day.as_of is None else always
