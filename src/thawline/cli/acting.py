"""Turns the shared options into the site, the moment and the person behind an act."""

import json
from typing import Any
from uuid import UUID

from msgspec import to_builtins

from thawline.app.acts import Doing, Outcome, second_person
from thawline.app.ports import Site
from thawline.base.errors import RecordError
from thawline.base.instants import (
    Instant,
    Occurred,
    exactly,
    written,
)
from thawline.cli.answers import Answer
from thawline.cli.asking import moment
from thawline.cli.options import Acting


def doing(site: Site, acting: Acting) -> Doing:
    """Return who does what when, as the options say it."""
    now = site.now()
    asked_before = _id(acting.id) if acting.id else None
    return Doing(
        by=acting.by,
        occurred=_as_before(site, acting, asked_before) or _occurred(site, acting, now),
        recorded_at=now,
        id=asked_before or site.mint(),
        why=acting.why,
        device=acting.device,
        station=acting.station,
        second=second_person(site, acting.by, acting.countersign, acting.pin),
        happened=acting.happened,
        dry_run=acting.dry_run,
    )


def recorded(
    outcome: Outcome, site: Site, text: str, data: dict[str, Any] | None = None
) -> Answer:
    """Return the answer of an act: what was recorded, under which number."""
    receipt = outcome.receipt
    values: dict[str, Any] = {
        "recorded": receipt is not None,
        "event": type(outcome.event).__name__,
        "record": to_builtins(outcome.event),
        "id": None if receipt is None else str(receipt.id),
        "seq": None if receipt is None else receipt.seq,
        "hash": None if receipt is None else receipt.hash,
        "again": receipt is not None and receipt.again,
        "site": site.name,
        **(data or {}),
    }
    says = text if receipt else f"Would record: {text}\n{_record(values)}"
    if receipt and receipt.again:
        says = f"Recorded before, nothing new: {text}"
    return Answer(values, says, outcome.findings, protocol=outcome.protocol)


def _record(values: dict[str, Any]) -> str:
    """Return the event as the ledger would hold it, one line a field."""
    lines = [
        f"  {name}: {json.dumps(value, ensure_ascii=False)}"
        for name, value in values["record"].items()
    ]
    return "\n".join([values["event"], *lines])


def _as_before(site: Site, acting: Acting, asked_before: UUID | None) -> Occurred | None:
    """
    Return when the act of that id happened, if it is recorded and no time was typed.

    Asked again without --at, an act means the same moment as the first time.
    """
    if asked_before is None or acting.at or acting.until:
        return None
    with site.ledger.view() as view:
        entry = view.entry(asked_before)
    return entry.occurred if entry else None


def _occurred(site: Site, acting: Acting, now: Instant) -> Occurred:
    at = moment(acting.at, now, site.zone)
    until = moment(acting.until, now, site.zone) if acting.until else at
    if until > now:
        raise RecordError(
            f"{written(until, site.zone)} has not come yet; it is {written(now, site.zone)}",
            advice="leave --at out for now, or check the machine's clock",
        )
    return exactly(at) if at == until else Occurred(at, until)


def _id(text: str) -> UUID:
    try:
        return UUID(text)
    except ValueError as error:
        raise RecordError(f"not an id: {text!r}", advice="use a UUID") from error
