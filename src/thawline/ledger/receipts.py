"""
What an act is answered: the same receipt, or the same refusal, however often it is asked.

The fingerprint tells an act asked again from another act under a used id. Transport (device,
station, when it was typed) is no part of it.
"""

from dataclasses import replace
from datetime import timedelta
from hashlib import sha256

from msgspec import to_builtins
from msgspec.json import decode

from thawline.base.errors import RefusedError, ReusedIdError, SecondPersonError
from thawline.base.findings import Finding, Level
from thawline.base.instants import Instant, from_ms, to_ms, written
from thawline.ledger.canonical import canonical, composed
from thawline.ledger.chain import Row
from thawline.ledger.entries import Act, Decide, Decision, Kind, Plain, Receipt, View
from thawline.ledger.events import Event, Refused
from thawline.ledger.stored import Header

Answer = Receipt | RefusedError
_REFUSALS = {error.code: error for error in (RefusedError, SecondPersonError)}
WAITS_AT_MOST = timedelta(seconds=5)
"""How long an act may wait for its turn to write; a clock further behind than that is wrong."""


def fingerprint(act: Act) -> str:
    """Return what was asked, in 64 hexadecimal digits."""
    asked: dict[str, Plain] = {
        "by": act.by,
        "command": dict(act.command),
        "kind": act.kind.value,
        "occurred": [to_ms(act.occurred.lo), to_ms(act.occurred.hi)],
    }
    return sha256(canonical(composed(asked))).hexdigest()


def decided(act: Act, decide: Decide, view: View) -> tuple[Act, Decision]:
    """Return the act and what to write for it; a refusal is written as one."""
    try:
        return act, decide(view)
    except RefusedError as error:
        return replace(act, kind=Kind.REFUSAL), Decision(_refused(act, error))


def timed(act: Act, decision: Decision, last: Instant | None) -> tuple[Act, Decision]:
    """Return act and decision with a time of writing that is not before the last entry's."""
    if last is None or act.recorded_at >= last:
        return act, decision
    behind = last - act.recorded_at
    late = replace(act, recorded_at=from_ms(to_ms(last) + 1))
    if behind <= WAITS_AT_MOST:
        return late, decision
    finding = Finding(
        Level.ACT,
        "clock-behind",
        f"this machine's clock says {written(act.recorded_at)}, before the last entry of"
        f" {written(last)}: set the clock",
    )
    return late, replace(decision, findings=(*decision.findings, finding))


def receipt_bytes(row: Row, header: Header) -> bytes:
    """Return the receipt as it is kept and given."""
    return canonical(
        {
            "epoch": row.epoch,
            "findings": to_builtins(header.findings),
            "hash": row.hash.hex(),
            "id": str(header.id),
            "seq": row.seq,
        }
    )


def answer_of(kept: bytes, event: Event, *, again: bool) -> Answer:
    """Return the receipt from its bytes, or the refusal that the act was given."""
    if isinstance(event, Refused):
        return refusal_of(event)
    return replace(decode(kept, type=Receipt), event=event, again=again)


def given(answer: Answer) -> Receipt:
    """Return the receipt, or raise the refusal."""
    if isinstance(answer, RefusedError):
        raise answer
    return answer


def same_act(act: Act, asked: str) -> None:
    """
    Look whether an id that is in the ledger stands for this very act.

    Raises:
        ReusedIdError: It stands for another one.
    """
    if fingerprint(act) != asked:
        raise ReusedIdError(
            f"id {act.id} already stands for another act",
            advice=f"thawline journal show {act.id}, then give the new act an id of its own",
        )


def refusal_of(event: Refused) -> RefusedError:
    """Return the error that was raised when the act was asked first."""
    findings = [
        Finding(Level(level), code, says, item)
        for level, code, says, item in zip(
            event.levels, event.codes, event.says, event.items, strict=True
        )
    ]
    return _REFUSALS[event.error](findings, advice=event.advice)


def _refused(act: Act, error: RefusedError) -> Refused:
    return Refused(
        command=canonical(composed(dict(act.command))).decode(),
        codes=tuple(finding.code for finding in error.findings),
        says=tuple(finding.says for finding in error.findings),
        levels=tuple(finding.level.value for finding in error.findings),
        items=tuple(finding.item for finding in error.findings),
        error=error.code,
        advice=error.advice,
    )
