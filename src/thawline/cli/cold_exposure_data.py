"""The stable JSON keys of a unit's excursions; what is not known is null."""

from typing import Any

from thawline.app.excursions import Found
from thawline.app.exposed import Affected, Becomes, Exposed
from thawline.app.ports import Site
from thawline.base.instants import from_ms, written

MINUTE_MS = 60_000
IN_RANGE, EXCURSION = "in-range", "excursion"


def verdict(found: Found) -> str | None:
    """Return excursion or in-range, None where it is not known; no more than was read."""
    if found.excursions:
        return EXCURSION
    return IN_RANGE if _is_known(found) else None


def _is_known(found: Found) -> bool:
    """Say whether loggers saw the whole time; what people read never covers a time."""
    unit = found.unit
    undecidable = any(each.exposure.undecidable for each in unit.records)
    return bool(unit.records) and not unit.unknown_ms and not undecidable


def exposure_data(site: Site, found: Found) -> dict[str, Any]:
    """Return the JSON form of a unit in a time, with its excursions."""
    unit = found.unit
    ends = unit.asked.from_ms, unit.asked.to_ms
    since, until = (written(from_ms(each), site.zone) for each in ends)
    return {
        "unit": unit.unit.name,
        "band": unit.unit.band,
        "low_c": unit.limits.low_mc / 1000,
        "high_c": unit.limits.high_mc / 1000,
        "accuracy_c": unit.accuracy_mc / 1000,
        "followed": unit.unit.followed.value,
        "since": since,
        "until": until,
        "verdict": verdict(found),
        "unknown_min": unit.unknown_ms / MINUTE_MS,
        "excursions": [_excursion(site, each) for each in found.excursions],
    }


def _excursion(site: Site, each: Affected) -> dict[str, Any]:
    out = each.out

    def at(ms: int | None) -> str | None:
        return None if ms is None else written(from_ms(ms), site.zone)

    return {
        "side": str(out.side),
        "known_in": at(out.known_in_ms),
        "from": at(out.first_out_ms),
        "to": at(out.last_out_ms),
        "in_again": at(out.in_again_ms),
        "extreme_c": out.extreme_mc / 1000,
        "readings": out.readings,
        "by_hand": out.record is None,
        "at_least_min": each.lasted.at_least_ms / MINUTE_MS,
        "at_most_min": each.lasted.at_most_ms / MINUTE_MS,
        "doses_given_since": each.given,
        "inside": [_thing(site, thing) for thing in each.things],
    }


def _thing(site: Site, thing: Exposed) -> dict[str, Any]:
    inside = thing.inside
    return {
        "kind": str(inside.thing),
        "code": inside.code,
        "lot": inside.lot,
        "vials": inside.vials,
        "doses": inside.doses,
        "at_least_min": thing.lasted.at_least_ms / MINUTE_MS,
        "at_most_min": thing.lasted.at_most_ms / MINUTE_MS,
        "held": thing.held,
        "released": thing.released,
        "ended": thing.ended or None,
        "best": _becomes(site, thing.best),
        "worst": _becomes(site, thing.worst),
    }


def _becomes(site: Site, becomes: Becomes | None) -> dict[str, Any] | None:
    if becomes is None:
        return None
    use_by = None if becomes.use_by is None else written(becomes.use_by, site.zone)
    return {"use_by": use_by, "set_by": becomes.set_by, "says": becomes.says}
