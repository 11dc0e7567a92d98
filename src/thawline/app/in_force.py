"""Which of a site's adopted protocol versions counts when."""

from bisect import bisect_right
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from functools import cache
from zoneinfo import ZoneInfo

from msgspec.structs import replace as changed

from thawline.app.ports import Site
from thawline.base.errors import RuleError
from thawline.base.instants import (
    Instant,
    Occurred,
    from_ms,
    last_moment,
    midnight_before,
    to_ms,
)
from thawline.ledger.entries import View
from thawline.ledger.site import KEY, SITE, Adopted
from thawline.rebook.series import DoseDay, RuleOn
from thawline.rebook.strictest import strictest
from thawline.rules.protocol import Protocol, ProtocolRef, SecondDose


@dataclass(frozen=True, slots=True)
class InForce:
    """
    The site's protocol at a moment: the version in force, and all versions adopted.

    `versions` start for vials when they were adopted, where that was after the file's date:
    a flag that was written before cannot have been written under them.
    """

    ref: ProtocolRef
    protocol: Protocol
    versions: tuple[Protocol, ...]


def in_force(site: Site, view: View, at: Instant) -> InForce:
    """
    Return the site's protocol in force at the moment; before the first version, the oldest.

    Raises:
        RuleError: The site has adopted no protocol.
    """
    adopted = all_adopted(site, view)
    ref = _in_force_by_file(adopted, Occurred(at, at))[0].ref
    here = _newest_of_each(adopted, lambda each: each.counts_from_ms)
    versions = tuple(_dated(site.rules.protocol(each.ref), each) for each in here)
    return InForce(ref, site.rules.protocol(ref), versions)


def in_force_between(site: Site, adopted: Iterable[Adopted], when: Occurred) -> list[Protocol]:
    """Return the adopted versions in force at some time from `lo` to `hi`, oldest first."""
    found = _in_force_by_file(adopted, when)
    return [site.rules.protocol(each.ref) for each in found]


def in_force_at(site: Site, adopted: Iterable[Adopted]) -> Callable[[Instant], Protocol]:
    """Return what says which version is in force at a moment, for many moments."""
    by_file = _newest_of_each(adopted, lambda each: each.effective_from_ms)
    starts = [each.effective_from_ms for each in by_file]
    protocols = [site.rules.protocol(each.ref) for each in by_file]

    def at(moment: Instant) -> Protocol:
        return protocols[max(0, bisect_right(starts, to_ms(moment)) - 1)]

    return at


def all_adopted(site: Site, view: View) -> Sequence[Adopted]:
    """
    Return every version the site has adopted, as they were adopted.

    Raises:
        RuleError: The site has adopted no protocol.
    """
    state = view.one(SITE, KEY)
    if state is None or not state.adopted:
        raise RuleError(
            f"no protocol is adopted at {site.name}", advice="thawline protocol adopt FILE"
        )
    return state.adopted


def _in_force_by_file(adopted: Iterable[Adopted], when: Occurred) -> list[Adopted]:
    by_file = _newest_of_each(adopted, lambda each: each.effective_from_ms)
    begun = [each for each in by_file if from_ms(each.effective_from_ms) <= when.lo]
    later = [each for each in by_file if when.lo < from_ms(each.effective_from_ms) <= when.hi]
    return [*(begun[-1:] or by_file[:1]), *later]


def _dated(protocol: Protocol, adopted: Adopted) -> Protocol:
    """Return the version as one that counts for vials from when it was adopted, or later."""
    heading = changed(protocol.protocol, effective_from=from_ms(adopted.counts_from_ms))
    return changed(protocol, protocol=heading)


def _newest_of_each(
    adopted: Iterable[Adopted], start: Callable[[Adopted], int]
) -> list[Adopted]:
    """Return the versions by when they count; of two that start together, the later adopted."""
    by_start = {start(each): each for each in adopted}
    return [by_start[each] for each in sorted(by_start)]


def rules_by_time(site: Site, view: View) -> RuleOn:
    """
    Return the site's second-dose rule by when a dose is given: of the version of its minute.

    Where only the day is known, or two times, it is as strict as each version in force then.
    """
    adopted = cache(lambda: all_adopted(site, view))

    def rule_on(dose: DoseDay) -> SecondDose:
        when = dose.when or _whole(dose, site.zone)
        versions = in_force_between(site, adopted(), when)
        return strictest([version.schedule.dose_2 for version in versions])

    return rule_on


def _whole(dose: DoseDay, zone: ZoneInfo) -> Occurred:
    """Return the local days of a dose as an interval; the midnight after is not in it."""
    return Occurred(midnight_before(dose.earliest, zone), last_moment(dose.latest, zone))
