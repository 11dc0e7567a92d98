"""How a protocol file, its check, its units and a comparison are shown: JSON keys and text."""

from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from textwrap import fill
from typing import Any

from thawline.app.protocols import Checked, Compared, MovedVial
from thawline.base.durations import Allowance
from thawline.base.instants import Instant, written
from thawline.cli.answers import Answer
from thawline.cli.text import NONE, UNKNOWN, WIDTH, clock_time, counted, table
from thawline.rules.both_units import Both
from thawline.rules.plain import question_sentences, sentences
from thawline.rules.protocol import ProtocolRef, Source
from thawline.rules.reading import RuleFile
from thawline.rules.rule_sets import Questions
from thawline.rules.sentence import Sentence
from thawline.rules.shape import Leaf
from thawline.rules.slips import Slip, iso

_HEADING = ("id", "version", "effective_from")


def shown_answer(file: RuleFile) -> Answer:
    """Return a protocol in sentences, its sources below."""
    heading = file.protocol.protocol
    top = (heading.title, heading.effective_from.isoformat(), file.ref)
    return _shown(top, sentences(file.protocol), file.protocol.sources)


def shown_rule_set(asked: Questions) -> Answer:
    """Return the questions of a rule set with what they lead to, its sources below."""
    start = "?" if asked.effective_from is None else asked.effective_from.isoformat()
    said = tuple(question_sentences(asked.asked))
    return _shown((asked.title, start, asked.ref), said, asked.sources)


def _shown(
    top: tuple[str, str, ProtocolRef],
    said: tuple[Sentence, ...],
    listed: Mapping[str, Source],
) -> Answer:
    title, start, ref = top
    sources = {name: _source(source) for name, source in listed.items()}
    head = f"{title}\n{ref.id} version {ref.version}, in force from {start}"
    width = max(len(each.item) for each in said)
    lines = [_wrapped(f"{e.item.ljust(width)}  {e.says} [{e.source}]", width + 2) for e in said]
    return Answer(
        data={
            "id": ref.id,
            "title": title,
            "version": ref.version,
            "effective_from": start,
            "sha256": ref.sha256,
            "rules": [{"item": e.item, "says": e.says, "source": e.source} for e in said],
            "sources": sources,
        },
        text="\n".join(
            [head, "", *lines, "", *_source_lines(sources), "", _wrapped(_CAUTION, 0)]
        ),
        protocol=ref,
        csv=[["item", "says", "source"], *([e.item, e.says, e.source] for e in said)],
    )


def _wrapped(text: str, indent: int) -> str:
    return fill(text, WIDTH, subsequent_indent=" " * indent)


_CAUTION = (
    "The current package insert, standing orders, state and local codes and licensed practice "
    "override this file."
)


def _source(source: Source) -> dict[str, Any]:
    return {
        "kind": source.kind,
        "author": source.author,
        "title": source.title,
        "year": source.year,
        "place": source.place,
        "read_on": None if source.read_on is None else source.read_on.isoformat(),
        "note": source.note,
    }


def _source_lines(sources: dict[str, dict[str, Any]]) -> list[str]:
    lines = []
    for name, source in sources.items():
        shown = "from memory, verify" if source["kind"] == "from memory" else source["kind"]
        parts = [source[key] for key in ("author", "title", "year", "place", "note")]
        read = f"read {source['read_on']}" if source["read_on"] else None
        says = ", ".join(str(part) for part in [*parts, read] if part is not None)
        lines.append(_wrapped(f"[{name}] {shown}" + (f": {says}" if says else ""), 2))
    return lines


def checked_answer(checked: Checked) -> Answer:
    """Return what a check found; the findings are its alerts too."""
    start = checked.effective_from
    heading = {
        "id": checked.id,
        "version": checked.version,
        "effective_from": None if start is None else start.isoformat(),
    }
    findings = [_finding(slip) for slip in checked.slips]
    name = f"{checked.id or UNKNOWN} version {checked.version or UNKNOWN}"
    verdict = "nothing to correct" if not findings else counted(len(findings), "finding")
    return Answer(
        data={
            **heading,
            "sha256": checked.sha256,
            "figures": checked.figures,
            "findings": findings,
        },
        text=f"{name}: {counted(checked.figures, 'figure')} checked, {verdict}.",
        alerts=checked.findings,
        not_known=[key for key in _HEADING if heading[key] is None],
        protocol=checked.ref,
        found=checked.must_be_answered,
    )


def _finding(slip: Slip) -> dict[str, Any]:
    return {
        "code": slip.code,
        "item": slip.item,
        "level": slip.level.value,
        "says": slip.with_line,
        "value": _plain(slip.value),
        "unit": slip.unit,
    }


def _plain(leaf: Leaf | None) -> str | int | float | bool | None:
    if isinstance(leaf, Allowance):
        return iso(leaf)
    if isinstance(leaf, Decimal):
        return int(leaf) if leaf == leaf.to_integral_value() else float(leaf)
    return leaf.isoformat() if isinstance(leaf, date) else leaf


def units_answer(rows: tuple[Both, ...], ref: ProtocolRef) -> Answer:
    """Return every figure in both units, as a table."""
    header = ["item", "figure", "the same", "published", "edition", "key"]
    cells = [
        [b.item, b.figure, b.other or NONE, b.published or NONE, b.edition or NONE, b.key]
        for b in rows
    ]
    data = [
        {
            "item": b.item,
            "key": b.key,
            "figure": b.figure,
            "other_unit": b.other,
            "published": b.published,
            "edition": b.edition,
            "source": b.source,
        }
        for b in rows
    ]
    return Answer(
        data={"figures": data},
        text=table(header, cells, right=[1, 2, 3]),
        protocol=ref,
        csv=[header, *cells],
    )


def compared_answer(compared: Compared, ref: ProtocolRef) -> Answer:
    """Return what a new version changes: items, vials under way, people to brief again."""
    changed = [
        {"item": c.item, "before": c.before, "after": c.after, "kind": c.kind.value}
        for c in compared.changed
    ]
    brief = [
        {"role": each.role.value, "items": list(each.items)} for each in compared.brief_again
    ]
    unknown = any(vial.moved.use_by_after is None for vial in compared.vials)
    return Answer(
        data={
            "changed": changed,
            "vials": [_vial(vial) for vial in compared.vials],
            "brief_again": brief,
        },
        text=_compared_text(compared),
        not_known=["use_by_after"] if unknown else [],
        protocol=ref,
    )


def _vial(vial: MovedVial) -> dict[str, Any]:
    moved = vial.moved
    return {
        "vial": vial.vial,
        "use_by_before": _iso(moved.use_by_before, vial),
        "use_by_after": _iso(moved.use_by_after, vial),
        "usable_now": moved.usable_now,
        "reason": moved.reason,
    }


def _iso(at: Instant | None, vial: MovedVial) -> str | None:
    return None if at is None else written(at, vial.zone)


def _compared_text(compared: Compared) -> str:
    parts = []
    rows = [
        [c.item or NONE, c.kind.value, c.before or NONE, c.after or NONE]
        for c in compared.changed
    ]
    parts.append(table(["item", "kind", "before", "after"], rows) if rows else "No change.")
    if compared.vials:
        parts.append("\n".join(_vial_line(vial) for vial in compared.vials))
    if compared.brief_again:
        brief = "; ".join(f"{e.role} ({', '.join(e.items)})" for e in compared.brief_again)
        parts.append(_wrapped(f"Brief again: {brief}", 2))
    return "\n\n".join(parts)


def _vial_line(vial: MovedVial) -> str:
    moved = vial.moved
    before, after = (
        UNKNOWN if at is None else clock_time(at, vial.zone)
        for at in (moved.use_by_before, moved.use_by_after)
    )
    usable = "may be used" if moved.usable_now else "not usable"
    return _wrapped(f"{vial.vial}: use by {after} (was {before}), {usable}: {moved.reason}", 2)
