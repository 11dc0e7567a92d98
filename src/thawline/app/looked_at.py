"""A logger's record looked at against a band: put in order, held against it, ready to draw."""

from dataclasses import dataclass
from decimal import Decimal

import numpy as np

from thawline.app.bands import band_named
from thawline.base.errors import RecordError
from thawline.base.instants import Instant, to_ms
from thawline.base.quantities import millicelsius
from thawline.rules.protocol import Protocol
from thawline.store.exposure import exposure
from thawline.store.readings import Readings, readings
from thawline.store.tidy import Tidy, tidied
from thawline.store.time_out import Exposure, Question

_NONE = Decimal(0)


@dataclass(frozen=True, slots=True, eq=False)
class LookedAt:
    """A record in order and what it says of its band, and the question it was asked."""

    tidy: Tidy
    exposure: Exposure
    question: Question


def look(
    raw: Readings,
    question: Question,
    interval_ms: int | None = None,
    since: Instant | None = None,
    until: Instant | None = None,
) -> LookedAt:
    """
    Return what the readings between two instants say of a band; None: all of them.

    Raises:
        RecordError: No reading was taken between the two.
    """
    kept = np.ones(len(raw), dtype=bool)
    if since is not None:
        kept &= raw.at_ms >= to_ms(since)
    if until is not None:
        kept &= raw.at_ms <= to_ms(until)
    if not kept.any():
        raise RecordError("no reading between those times", advice="leave out --since, --until")
    tidy = tidied(readings(raw.at_ms[kept], raw.temp_mc[kept]), interval_ms)
    return LookedAt(tidy, exposure(tidy, question), question)


def question_about(
    protocol: Protocol, band: str, accuracy_c: Decimal | None = None
) -> Question:
    """
    Return what a record is asked: the protocol's band of that name, or LO..HI as typed.

    The accuracy is the one given, else the protocol's worst for a logger.

    Raises:
        RecordError: There is no such band.
    """
    off = accuracy_c if accuracy_c is not None else _accuracy(protocol)
    return Question(band_named(protocol, band).limits, millicelsius(off))


def _accuracy(protocol: Protocol) -> Decimal:
    return protocol.logging.accuracy_c if protocol.logging else _NONE
