"""May this dose go into this person now, and with which needle."""

from thawline.give.checks import dose_findings, given_findings
from thawline.give.facts import Became, ChairFacts, DoseFacts, PersonFacts, ToCome, Unanswered
from thawline.give.look_alike import apart, looks_like
from thawline.give.needle import Unit, Weight, needle_for
from thawline.give.overrides import (
    NEVER,
    SetAside,
    lacks_second_person,
    may_be_set_aside,
    standing_stops,
)

__all__ = [
    "NEVER",
    "Became",
    "ChairFacts",
    "DoseFacts",
    "PersonFacts",
    "SetAside",
    "ToCome",
    "Unanswered",
    "Unit",
    "Weight",
    "apart",
    "dose_findings",
    "given_findings",
    "lacks_second_person",
    "looks_like",
    "may_be_set_aside",
    "needle_for",
    "standing_stops",
]
