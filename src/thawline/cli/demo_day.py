"""The tour's day: the look-alike lot, the shaken vial, the open vials, doses against plan."""

from collections.abc import Iterator, Sequence

from thawline.app.in_force import in_force
from thawline.app.standings import Stood
from thawline.base.instants import Instant
from thawline.cli.demo_text import alerts, part
from thawline.cli.text import clock_time, counted, day_name
from thawline.demo.acts import HeldVial, LookedAt, RefusedCheck
from thawline.demo.building import Built
from thawline.demo.figures import day_figures, given_against_plan
from thawline.draw import against_plan, stays, threads
from thawline.vial.facts import story_of
from thawline.vial.folds import LOT, VIAL
from thawline.vial.leaving import HELD
from thawline.vial.opening import opened_at
from thawline.vial.reckon import State
from thawline.vial.story import What


def parts(built: Built) -> Iterator[list[str]]:
    """Yield the parts of the day, in the order of time."""
    for held in built.seen.held:
        before = [each for each in built.seen.refused if each.at < held.at]
        for refused in before:
            yield _look_alike(refused, built)
        after = [each for each in built.seen.refused if each.at >= held.at]
        yield _held(held, after, built)
    for looked in built.seen.looked:
        yield _threads(looked, built)
    yield _doses(built)


def _look_alike(refused: RefusedCheck, built: Built) -> list[str]:
    return part(
        f"3. {_at(refused.at, built)}, {refused.station}: {refused.syringe} is scanned for "
        f"{refused.person}",
        alerts(refused.error.findings),
        "Before the needle the rules may refuse (exit 4). The right syringe was scanned next.",
    )


def _held(held: HeldVial, after: Sequence[RefusedCheck], built: Built) -> list[str]:
    out = [f"{each.syringe}  at {each.station}" for each in held.out]
    stops = [
        f"{_at(each.at, built)} {each.station}: {each.syringe} scanned again: Stop, not given"
        for each in after
    ]
    return part(
        f"4. {_at(held.at, built)}: vial {held.vial} is {held.why}. {HELD}",
        f"The hold reaches the {counted(len(out), 'syringe')} drawn from it and still out:",
        [f"  {line}" for line in (*out, *stops)],
        "What happened to it:",
        [f"  {line}" for line in _stays(held.vial, built)],
    )


def _stays(vial: str, built: Built) -> Sequence[str]:
    with built.site.ledger.view() as view:
        state = view.one(VIAL, vial)
        assert state is not None  # noqa: S101  it was held
        story = story_of(state, view.one(LOT, state.lot))
        ends = [fact.when.lo for fact in story.facts if fact.what is What.DISCARD]
        versions = in_force(built.site, view, ends[-1]).versions
    return stays.stay_lines(stays.stays_of(story, versions, ends[-1]), built.site.zone)


def _threads(looked: LookedAt, built: Built) -> list[str]:
    drawn = [_thread(each) for each in looked.vials]
    usable = [each for each in looked.vials if each.reckoning.usable]
    held = sum(each.vial.left for each in looked.vials if not each.reckoning.usable)
    doses = sum(each.vial.left for each in usable)
    return part(
        f"5. {_at(looked.at, built)}: the vials that are open",
        threads.threads(drawn, looked.at, built.site.zone),
        [threads.KEY],
        f"{counted(doses, 'dose')} in {counted(len(usable), 'vial')} may be given; "
        f"{held} are held.",
    )


def _thread(stood: Stood) -> threads.Thread:
    opened = opened_at(story_of(stood.vial, None).facts)
    use_by = stood.reckoning.use_by
    assert opened is not None  # noqa: S101  only opened vials are looked at
    assert use_by is not None  # noqa: S101  their expiry is known
    held = stood.reckoning.state is State.HELD
    return threads.Thread(stood.code, stood.vial.left, opened, use_by, held)


def _doses(built: Built) -> list[str]:
    found = day_figures(built)
    first, last = _at(found.first, built), _at(found.last, built)
    return part(
        f"6. {day_name(built.day)}: doses against plan",
        against_plan.against_plan(given_against_plan(built)),
        f"{found.given:,} doses from {first} to {last}, {found.an_hour:.0f} an hour, from "
        f"{counted(built.closed.last.opened_today, 'vial')}: {found.booked_with_dose} of "
        f"{found.booked} booked and {found.walk_ups_with_dose} of "
        f"{counted(found.walk_ups, 'walk-up')} had one. Plan: people likely to have come by "
        "then, walk-ups not in it.",
        f"{counted(found.no_arm, 'dose')} without an arm on record: to be asked.",
    )


def _at(at: Instant, built: Built) -> str:
    return clock_time(at, built.site.zone, built.day)
