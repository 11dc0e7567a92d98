"""
How a wrong entry is undone or corrected. Nothing is ever taken away.

An entry is undone while nothing later was recorded on its account; after that it is corrected.
Whatever buys a vial time needs a second person's own entry.
"""

from collections.abc import Iterator, Mapping
from itertools import islice
from uuid import UUID

import msgspec
from msgspec import ValidationError
from msgspec.structs import asdict, replace

from thawline.app.acts import Doing, Outcome, act, needs_second
from thawline.app.in_force import in_force
from thawline.app.journal import named_entry
from thawline.app.ports import Site
from thawline.app.standings import stood
from thawline.app.supposed import counts_as, supposing
from thawline.base.errors import RecordError, RefusedError, RuleError, UnsaidError
from thawline.base.findings import Finding, Level
from thawline.base.instants import Occurred, to_ms
from thawline.ledger.canonical import body_bytes
from thawline.ledger.corrections import replacement
from thawline.ledger.entries import Decision, Entry, Kind, Plain, View
from thawline.ledger.events import Corrected, EpochBegan, Event, ProtocolAdopted, Refused
from thawline.ledger.fitting import refuse_unfit
from thawline.ledger.person_events import PersonAmended
from thawline.ledger.things import things
from thawline.vial.folds import VIAL
from thawline.vial.lengthened import lengthens, lifts_a_hold

_NAMED_AT_MOST = 3
_NONE = "-"
_NEVER_UNDONE = (Refused, EpochBegan, ProtocolAdopted, PersonAmended)


def undo(site: Site, doing: Doing, named: str) -> Outcome:
    """
    Let an entry count as not having happened.

    Raises:
        RefusedError: Later entries were recorded on its account, or it does not count anyway.
        SecondPersonError: It would buy a vial time.
    """
    _needs_why(doing)

    def decide(view: View) -> Decision:
        wrong = named_entry(view, named)
        _may_be_undone(view, wrong)
        correction = Corrected(target=str(wrong.id), why=doing.why, undo=True)
        return _corrected(site, view, doing, correction)

    command: dict[str, Plain] = {"command": "journal undo", "entry": named}
    return act(site, doing, command, decide, kind=Kind.CORRECTION)


def correct(
    site: Site,
    doing: Doing,
    named: str,
    changes: Mapping[str, str],
    occurred: Occurred | None = None,
) -> Outcome:
    """
    Let an entry count as one with other values, or at another time; it stays as written too.

    Args:
        site: Where.
        doing: Who corrects it and why.
        named: The id or number of the wrong entry.
        changes: The right values by the names of the event's fields; "-" means none.
        occurred: When it happened, where that was wrong.

    Raises:
        RecordError: There is no such field, or the value does not fit it.
        RefusedError: The entry does not count, or is of a sort that is never corrected.
        SecondPersonError: It would buy a vial time.
    """
    _needs_why(doing)

    def decide(view: View) -> Decision:
        wrong = named_entry(view, named)
        now = _may_be_corrected(view, wrong)
        event = changed_event(now.event, changes)
        if event == now.event and occurred in (None, now.occurred):
            raise RecordError(f"entry {wrong.seq} says so already", advice="change a value")
        when = occurred or now.occurred
        correction = Corrected(
            target=str(wrong.id),
            why=doing.why,
            replacement_type=type(event).__name__,
            replacement_body=body_bytes(event).decode(),
            occurred_lo_ms=to_ms(when.lo),
            occurred_hi_ms=to_ms(when.hi),
        )
        return _corrected(site, view, doing, correction)

    command: dict[str, Plain] = {
        "command": "journal correct",
        "entry": named,
        "changes": dict(changes),
        "occurred": None if occurred is None else [to_ms(occurred.lo), to_ms(occurred.hi)],
    }
    return act(site, doing, command, decide, kind=Kind.CORRECTION)


def changed_event(event: Event, changes: Mapping[str, str]) -> Event:
    """
    Return the event with other values.

    Raises:
        RecordError: There is no such field, or the value does not fit it.
    """
    changed = _converted(event, changes)
    refuse_unfit(changed, changes)
    return changed


def _converted(event: Event, changes: Mapping[str, str]) -> Event:
    values = asdict(event)
    for name, text in changes.items():
        if name not in values:
            raise RecordError(
                f"{type(event).__name__} has no {name!r}", advice=f"it has {', '.join(values)}"
            )
        values[name] = _value(text, listed=isinstance(values[name], tuple))
    try:
        return msgspec.convert(values, type(event), strict=False)
    except ValidationError as error:
        raise RecordError(
            f"a value does not fit: {error}", advice="give another value"
        ) from error


def _value(text: str, *, listed: bool) -> str | list[str] | None:
    if text == _NONE:
        return None
    return [part.strip() for part in text.split(",")] if listed else text


def _needs_why(doing: Doing) -> None:
    if not doing.why.strip():
        raise UnsaidError("a correction needs a reason", advice="add --why")


def _may_be_undone(view: View, wrong: Entry) -> None:
    if isinstance(wrong.event, _NEVER_UNDONE):
        advice = "thawline person amend" if isinstance(wrong.event, PersonAmended) else ""
        raise _refused("never-undone", f"entry {wrong.seq} cannot be undone", advice)
    now = counts_as(view, wrong)
    if now is None:
        raise _refused("undone", f"entry {wrong.seq} was undone by {wrong.corrected_by}", "")
    later = list(islice(_on_account_of(view, wrong, _spoken_of(view, wrong)), _NAMED_AT_MOST))
    if later:
        named = ", ".join(f"{each.seq} ({type(each.event).__name__})" for each in later)
        raise _refused(
            "later-entries",
            f"entry {wrong.seq} cannot be undone: later entries build on it: {named}",
            f"thawline journal correct {wrong.seq} --set FIELD=VALUE --why REASON",
        )


def _may_be_corrected(view: View, wrong: Entry) -> Entry:
    if isinstance(wrong.event, (*_NEVER_UNDONE, Corrected)):
        raise _refused(
            "never-corrected",
            f"entry {wrong.seq} is {type(wrong.event).__name__} and is never corrected",
            "thawline journal undo, where it can be",
        )
    now = counts_as(view, wrong)
    if now is None:
        says = f"entry {wrong.seq} was undone by {wrong.corrected_by}"
        raise _refused("undone", says, f"thawline journal undo {wrong.corrected_by}")
    return now


def _spoken_of(view: View, wrong: Entry) -> frozenset[str]:
    """Return what an entry speaks of; a correction speaks of what the wrong entry does."""
    if not isinstance(wrong.event, Corrected):
        now = counts_as(view, wrong)
        return things(wrong.event) | (things(now.event) if now else frozenset())
    target = view.entry(UUID(wrong.event.target))
    instead = replacement(wrong.event)
    spoken = frozenset() if target is None else _spoken_of(view, target)
    return spoken | (things(instead) if instead else frozenset())


def _on_account_of(view: View, wrong: Entry, spoken: frozenset[str]) -> Iterator[Entry]:
    for later in view.entries(since=wrong.seq):
        now = counts_as(view, later)
        if (
            now is not None
            and not isinstance(now.event, Refused)
            and spoken & things(now.event)
        ):
            yield later


def _corrected(site: Site, view: View, doing: Doing, correction: Corrected) -> Decision:
    if not _buys_time(site, view, doing, correction):
        named = doing.second.name if doing.second else None
        return Decision(replace(correction, second=named))
    second = needs_second(doing, "a correction that buys a vial time")
    says = f"this correction buys a vial time; {second.name} is the second person"
    finding = Finding(Level.CHECK, "buys-time", says)
    return Decision(replace(correction, second=second.name), (finding,))


def _buys_time(site: Site, view: View, doing: Doing, correction: Corrected) -> bool:
    supposed = supposing(view, correction, VIAL)
    pairs = supposed.changed.values()
    if any(lifts_a_hold(_event(now), _event(then)) for now, then in pairs):
        return True
    known = [
        code
        for code in sorted(supposed.keys)
        if view.one(VIAL, code) is not None and supposed.view.one(VIAL, code) is not None
    ]
    at = doing.recorded_at
    try:
        rules = in_force(site, view, at)
    except RuleError:
        return bool(known)  # without rules nobody can say that it buys no time
    return any(
        lengthens(
            stood(view, rules, code, at).reckoning,
            stood(supposed.view, rules, code, at).reckoning,
        )
        for code in known
    )


def _event(entry: Entry | None) -> Event | None:
    return None if entry is None else entry.event


def _refused(code: str, says: str, advice: str) -> RefusedError:
    return RefusedError([Finding(Level.STOP, code, says)], advice=advice)
