"""`thawline cold read`: what logger files say of one probe and the band of its unit."""

from dataclasses import dataclass
from datetime import timedelta
from decimal import Decimal
from typing import TYPE_CHECKING, Annotated

from cyclopts import Parameter

from thawline.app.ports import Site
from thawline.base.errors import ExchangeError, UnsaidError
from thawline.base.instants import Instant, from_ms
from thawline.cli.answers import Answer
from thawline.cli.asking import site_named
from thawline.cli.logger_options import (
    HELD_TO,
    LAYOUT,
    LoggerLayout,
    ReadTo,
    asked_of,
    interval_of,
)
from thawline.cli.reading import rules_for
from thawline.rules.protocol import Protocol, ProtocolRef

if TYPE_CHECKING:
    from thawline.adapters.long_files import LongFile
    from thawline.app.cold_record import Judged
    from thawline.exchange.loggers.asked import Asked

_MS = timedelta(milliseconds=1)
_NONE_NAMED = "which file is read was not said"


def read(
    *files: Annotated[str, Parameter(allow_leading_hyphen=True)],
    layout: LoggerLayout = LAYOUT,
    held_to: ReadTo = HELD_TO,
) -> Answer:
    """
    Say what logger files saw: in range or not, for how long, and what is not known.

    thawline cold read fridge-2.csv --unit C --zone America/Chicago --band fridge
    thawline cold read monday.txt tuesday.txt --band frozen --date-order dmy --json

    Text and XLSX exports; several files of one probe are read as one record. Records nothing
    and clears nothing. Whatever a file does not tell is asked for by its option (exit 3).

    Parameters
    ----------
    files
        The files; - reads standard input.
    """
    from thawline.adapters.logger_files import read_logger  # noqa: PLC0415  NumPy as needed
    from thawline.adapters.long_files import long_file  # noqa: PLC0415  as needed
    from thawline.app.cold_reading import cold_reading  # noqa: PLC0415  as needed
    from thawline.cli.cold_text import answer_of  # noqa: PLC0415  as needed

    if not files:
        raise UnsaidError(_NONE_NAMED, advice="name it, as in thawline cold read fridge-2.csv")
    site = None if held_to.site is None else site_named(held_to.site)
    asked = asked_of(layout, site.zone if site else None)
    if len(files) == 1 and layout.sheet is None:
        long = long_file(files[0], asked)
        answer = None if long is None else _of_long(long, asked, held_to, site)
        if answer is not None:
            return answer
    read_files = [read_logger(path, asked, sheet=layout.sheet) for path in files]
    last = max(
        (
            int(each.record.readings.at_ms.max())
            for each in read_files
            if len(each.record.readings)
        ),
        default=None,
    )
    rules = _rules(held_to.protocol, site, None if last is None else from_ms(last))
    found = cold_reading(read_files, _judged(held_to, rules.protocol))
    return answer_of(found, asked, rules.ref)


def _of_long(
    long: "LongFile", asked: "Asked", held_to: ReadTo, site: Site | None
) -> Answer | None:
    """
    Return the answer of a long file, None if it turns out not to be plain.

    The rules are those in force at its latest reading, which need not stand at its end; then it
    is gone through once more.
    """
    from thawline.adapters.long_files import last_ms, told  # noqa: PLC0415  as needed
    from thawline.app.cold_reading import activation_energy  # noqa: PLC0415  as needed
    from thawline.app.long_reading import long_reading  # noqa: PLC0415  as needed
    from thawline.base.errors import NotPlainError  # noqa: PLC0415  as needed
    from thawline.cli.cold_text import answer_of  # noqa: PLC0415  as needed
    from thawline.store.exposure import Question  # noqa: PLC0415  as needed

    last, latest = last_ms(long), None
    while latest is None or latest != last:
        last = latest or last
        rules = _rules(held_to.protocol, site, None if last is None else from_ms(last))
        judged = _judged(held_to, rules.protocol)
        question = Question(judged.limits, judged.accuracy_mc)
        interval_ms = None if judged.interval is None else judged.interval // _MS
        try:
            folded, rest = told(long, question, activation_energy(rules.protocol), interval_ms)
        except NotPlainError:
            return None
        latest = folded.answer.found.last_ms
        if latest is None:
            return None
    measured = (folded.interval_ms, folded.half_step_mc)
    found = long_reading(long.beginning, rest, folded.answer, measured, judged)
    return answer_of(found, asked, rules.ref)


@dataclass(frozen=True, slots=True)
class _Rules:
    protocol: Protocol
    ref: ProtocolRef


def _rules(named: str | None, site: Site | None, at: Instant | None) -> _Rules:
    """Return the protocol that was named, else the site's, else the published one, in force."""
    if named is None and site is not None:
        from thawline.app.in_force import in_force  # noqa: PLC0415  as needed

        with site.ledger.view() as view:
            here = in_force(site, view, at or site.now())
        return _Rules(here.protocol, here.ref)
    file = rules_for(named, at)
    return _Rules(file.protocol, file.ref)


def _judged(held_to: ReadTo, protocol: Protocol) -> "Judged":
    """Return what the record is held to, from the options and the protocol."""
    from thawline.app.bands import band_named  # noqa: PLC0415  as needed
    from thawline.app.cold_record import Judged  # noqa: PLC0415  as needed
    from thawline.base.quantities import millicelsius  # noqa: PLC0415  as needed

    if held_to.band is None:
        raise ExchangeError(
            "which band the unit must keep was not said",
            advice="say --band fridge, frozen or room, or two ends in °C, as in --band 2..8",
        )
    band = band_named(protocol, held_to.band)
    accuracy = held_to.accuracy_c
    if accuracy is None:
        accuracy = protocol.logging.accuracy_c if protocol.logging else Decimal(0)
    if accuracy < 0:
        raise ExchangeError(
            f"an accuracy below nothing: {accuracy} °C", advice="--accuracy 0.5"
        )
    return Judged(
        band=band.name,
        item=band.item,
        limits=band.limits,
        accuracy_mc=millicelsius(accuracy),
        interval=interval_of(held_to.interval),
        protocol=protocol,
    )
