"""
What is known before a needle: the person, the dose in hand, the chair. Plain values.

The use case gathers them from the folds of people, vials and syringes; a value that is not
known is None here, and the checks say so rather than assume it.
"""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from zoneinfo import ZoneInfo

from thawline.base.findings import Finding
from thawline.base.instants import Instant
from thawline.person.desk import Compared, Consent


class Became(StrEnum):
    """What has become of a syringe."""

    DRAWN = "drawn"
    GIVEN = "given"
    WASTED = "wasted"
    MISSING = "missing"


@dataclass(frozen=True, slots=True)
class ToCome:
    """The dose that is still to come: counted from a date, not before another."""

    counted_from: date
    not_before: date


@dataclass(frozen=True, slots=True, kw_only=True)
class PersonFacts:
    """
    The person in the chair.

    Args:
        code: The person's code.
        known: Whether the ledger has the person.
        dose_number: Which dose is asked for.
        doses_on: Local dates of the doses had, here and told; of an uncertain one the later.
        to_come: The dose after the first, or its repeat; None when none is awaited.
        undated: Whether a dose told from a card has no date that can be read.
        screening: The outcome of the screening, None when there was none today.
        needs: Help the person needs, as the booking says it.
        advice: What the screening asks of whoever gives the dose, each with its item.
        screened_by: Who asked the questions that were recorded; None where none were.
        compared: What came of comparing the person with what is kept, None when not today.
        consent: What was said to the dose of today, None when nothing is on record.
        same_name: Codes of others of the same name.
        refuses_without: What the site refuses a dose without: identity, consent.
    """

    code: str
    known: bool
    dose_number: int
    doses_on: tuple[date, ...] = ()
    to_come: ToCome | None = None
    undated: bool = False
    screening: str | None = None
    needs: str = ""
    advice: tuple[tuple[str, str], ...] = ()
    screened_by: str | None = None
    compared: Compared | None = None
    consent: Consent | None = None
    same_name: tuple[str, ...] = ()
    refuses_without: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True, kw_only=True)
class DoseFacts:
    """
    The dose in hand, in a syringe or still in a vial.

    Args:
        code: Of the syringe, or of the vial when the dose is drawn at the chair.
        known: Whether the ledger has that code.
        vial: The vial it comes from; None for a syringe that came ready drawn.
        lot: None when nobody knows it.
        became: What has become of the syringe; drawn for a dose still in its vial.
        use_by: None when it is not known.
        use_by_item: The protocol item that set the use-by.
        drawn: When the syringe was drawn at the earliest; None for a dose still in its vial.
        opened: When the vial was opened, None when it was not or nobody knows.
        discarded: Whether the vial in hand was discarded before.
        held: Why the syringe itself is held, None when it is not.
        lot_held: Why the lot is held, None when it is not.
        handling: What the rules say about its vial now.
    """

    code: str
    known: bool
    vial: str | None = None
    lot: str | None = None
    became: Became = Became.DRAWN
    use_by: Instant | None = None
    use_by_item: str | None = None
    drawn: Instant | None = None
    opened: Instant | None = None
    discarded: bool = False
    held: str | None = None
    lot_held: str | None = None
    handling: tuple[Finding, ...] = ()


@dataclass(frozen=True, slots=True)
class Unanswered:
    """A person checked at this station before, with neither a dose nor "none given" since."""

    person: str
    at: Instant


@dataclass(frozen=True, slots=True, kw_only=True)
class ChairFacts:
    """
    Where and when.

    Args:
        now: The present; the later end of an uncertain time, which use-by is held against.
        since: The earlier end of one, which the interval is held against; None: it is certain.
        zone: The site's time zone.
        station: The chair's name, empty when nobody said.
        lots: The lots that are meant to be used at this table; empty when nobody said.
        unanswered: People checked here before, without an answer.
    """

    now: Instant
    zone: ZoneInfo
    station: str = ""
    lots: tuple[str, ...] = ()
    unanswered: tuple[Unanswered, ...] = ()
    since: Instant | None = None
