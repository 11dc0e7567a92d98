"""Protocol: the rules in plain words with their items, their audit, and another version."""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

from django.http import HttpRequest, HttpResponse

from thawline.adapters import rule_files
from thawline.adapters.kept_rules import KeptRules
from thawline.adapters.sites import PROTOCOLS
from thawline.app.protocols import both_units, check_file, compare
from thawline.app.rules_to_come import vials_moving
from thawline.base.findings import Finding, Level
from thawline.base.instants import instant
from thawline.ledger.site import KEY, SITE
from thawline.rules.both_units import Both
from thawline.rules.plain import sentences
from thawline.rules.protocol import ProtocolRef
from thawline.rules.reading import RuleFile
from thawline.rules.sentence import Sentence
from thawline.web.around import Around, around
from thawline.web.here import folder
from thawline.web.pages import page
from thawline.web.screens import Screen
from thawline.web.slabs import Slab, slab

_SHOWN = 12


@dataclass(frozen=True, slots=True)
class Group:
    """The rules of one letter of items, under a heading."""

    heading: str
    rules: tuple[Sentence, ...]


_HEADINGS = {
    "A": "Alarms and readings",
    "B": "Booking",
    "C": "Clocks",
    "D": "Dose",
    "E": "Emergency",
    "K": "Alarms and readings",
    "L": "Alarms and readings",
    "R": "Alarms and readings",
    "W": "Service times",
    "J": "At the chair",
    "N": "Needles",
    "O": "Observation and refusals",
    "Q": "Screening",
    "S": "Bands",
    "T": "Thaw and transport",
    "V": "After an error",
}


def show(request: HttpRequest) -> HttpResponse:
    """Return the rules in force, or what another version would change."""
    chosen = request.GET.get("with", "")
    with around(request) as round_:
        told = {
            "rules": round_.rules,
            "groups": grouped(sentences(round_.rules.protocol)),
            "sources": sorted(round_.rules.protocol.sources.items()),
            "others": _others(round_),
            "chosen": chosen,
            "adopted": _adopted(round_),
            "units": _units(round_.rules.ref) if "units" in request.GET else (),
            "audit": _audit(round_.rules.ref),
        }
        if chosen in rule_files.names():
            return page(
                request,
                round_,
                "protocol",
                told | _compared(round_, chosen),
                "protocol-change.html",
            )
        return page(request, round_, "protocol", told)


def grouped(rules: Iterable[Sentence]) -> list[Group]:
    """Return the rules under the headings of their items' letters, in the file's order."""
    found: dict[str, list[Sentence]] = {}
    for each in rules:
        found.setdefault(_HEADINGS.get(each.item[:1], "Other rules"), []).append(each)
    return [Group(heading, tuple(group)) for heading, group in found.items()]


def _others(round_: Around) -> list[str]:
    ref = round_.rules.ref
    return [
        name
        for name in rule_files.names()
        if name.startswith(f"{ref.id}-") and rule_files.load(name).ref.sha256 != ref.sha256
    ]


def _adopted(round_: Around) -> list[tuple[str, int]]:
    state = round_.view.one(SITE, KEY)
    found = () if state is None else state.adopted
    return [(each.ref.id, each.ref.version) for each in found]


def _file(ref: ProtocolRef) -> RuleFile:
    """Return the adopted file itself, as the site keeps it."""
    return KeptRules(folder() / PROTOCOLS).file(ref)


def _audit(ref: ProtocolRef) -> list[Slab]:
    return [slab(each) for each in _checked(_file(ref).raw)]


@lru_cache(maxsize=8)
def _checked(raw: bytes) -> tuple[Finding, ...]:
    """Return the findings on a file's bytes, looked for once."""
    return check_file(raw, rule_files.references()).findings


def _units(ref: ProtocolRef) -> tuple[Both, ...]:
    return both_units(_file(ref), rule_files.references())


def _compared(round_: Around, name: str) -> dict[str, object]:
    new = rule_files.load(name)
    findings = _checked(new.raw)
    moving = vials_moving(
        round_.view, round_.stands, round_.rules.protocol, new.protocol, round_.at
    )
    return {
        "new": new,
        "starts": instant(new.protocol.protocol.effective_from),
        "change": compare(_file(round_.rules.ref), new),
        "slabs": [slab(each) for each in findings],
        "stopped": any(each.level is Level.STOP for each in findings),
        "moving": moving[:_SHOWN],
        "more": max(0, len(moving) - _SHOWN),
        "later": sum(each.later is True for each in moving),
        "earlier": sum(each.later is False for each in moving),
        "unknown": sum(each.later is None for each in moving),
        "held": sum(each.held for each in moving),
    }


SCREENS = (Screen("protocol", "Protocol", "see-rules", show),)
