"""Observation area: who may leave and who stays, who is down, and is the kit there."""

from dataclasses import dataclass

from django.http import HttpRequest, HttpResponse

from thawline.app.observing import RESUME_REASONS, left_early, waiting
from thawline.app.ports import Name
from thawline.base.findings import Level
from thawline.base.instants import Instant
from thawline.observe.kit_fold import KEY, KIT, KitState, good_doses, paused_since
from thawline.observe.leaving import Leave
from thawline.web.around import Around, around
from thawline.web.pages import page
from thawline.web.screens import Screen
from thawline.web.seen import name_of
from thawline.web.slabs import slab
from thawline.web.stations.faints import faints_of

MOST = 60
"""Rows of one list on a page; more are counted in words."""
NEWEST = 20
"""Of those who may leave: whose time ended last, for they are still there."""


@dataclass(frozen=True, slots=True)
class Seat:
    """One person in the area, as the list shows them."""

    leave: Leave
    name: Name | None
    down: bool


def show(request: HttpRequest) -> HttpResponse:
    """Return who is in the observation area."""
    with around(request) as round_:
        seats = [_seat(round_, each) for each in waiting(round_.site, round_.at)]
        may = [each for each in seats if each.leave.may(round_.at)]
        stay = [each for each in seats if not each.leave.may(round_.at)]
        findings = [
            finding
            for each in seats
            for finding in each.leave.findings
            if finding.level is Level.STOP
        ]
        told = {
            "may": _still_here(may),
            "may_before": len(may) - len(_still_here(may)),
            "may_count": len(may),
            "stay": stay[:MOST],
            "stay_count": len(stay),
            "most": MOST,
            "slabs": [slab(each) for each in findings],
            "early": left_early(round_.site, round_.at),
            "faints": faints_of(round_.site),
            **_kit(round_),
        }
        return page(request, round_, "observation-area", told)


def _seat(round_: Around, leave: Leave) -> Seat:
    return Seat(leave, name_of(round_, leave.person), leave.down)


def _still_here(may: list[Seat]) -> list[Seat]:
    """Return whose time ended last, after everybody who is down."""
    older, newest = may[:-NEWEST], may[-NEWEST:]
    return [*(each for each in older if each.down), *newest]


def _kit(round_: Around) -> dict[str, object]:
    """Return the kit as it was last looked at, and since when vaccinating is paused."""
    kit = round_.view.one(KIT, KEY)
    rule = round_.rules.protocol.anaphylaxis
    return {
        "kit": kit,
        "kit_rule": None if rule is None else rule.kit,
        "good": None if kit is None else good_doses(kit, round_.today),
        "paused": _paused(kit, round_.at),
        "resume_reasons": RESUME_REASONS,
    }


def _paused(kit: KitState | None, at: Instant) -> Instant | None:
    return None if kit is None else paused_since(kit, at)


SCREENS = (Screen("observation-area", "Observation area", "observe", show),)
