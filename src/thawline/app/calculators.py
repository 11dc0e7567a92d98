"""Calculators: they ask the rules one question and record nothing."""

from dataclasses import dataclass
from datetime import UTC, date, datetime, time
from decimal import Decimal

from thawline.base.errors import RecordError, RuleError
from thawline.base.instants import Instant, instant
from thawline.base.quantities import Microlitres, microlitres
from thawline.give.deviations import Guidance, by_volume, guidance
from thawline.give.needle import Unit, Weight, needle_for
from thawline.prepare.by_volume import Draw, Drawable, doses_in_vial
from thawline.rebook.dates import OLDEST_YEARS
from thawline.rebook.interval import Judgement, SecondDates, Verdict, judged, second_dates
from thawline.rules.chair import What
from thawline.rules.protocol import Needle, Protocol, SecondDose, Sex
from thawline.screen.asking import Person


@dataclass(frozen=True, slots=True)
class SecondWhen:
    """The dates of a second dose, and what a given one counts as; None without one."""

    dates: SecondDates
    judgement: Judgement | None
    says: str


def second_when(
    first: date, given: date | None, on: date | None, rule: SecondDose
) -> SecondWhen:
    """
    Return when the second dose may come, and what one on a day counts as; records nothing.

    Raises:
        RecordError: The second dose is dated before the first, or beyond the calendar.
    """
    dates = second_dates(first, rule)
    if given is not None:
        judgement = judged(first, given, rule)
        return SecondWhen(dates, judgement, judgement.says)
    return SecondWhen(dates, None, _says(first, on, dates))


def asked_at(first: date, given: date | None, on: date | None) -> Instant:
    """Return the moment whose published version counts: --on, else --given, else --first."""
    day = on or given or first
    return instant(datetime.combine(day, time.max, tzinfo=UTC))


def needle_length(
    sex: str, weight_lb: Decimal | None, weight_kg: Decimal | None, rules: Protocol
) -> Needle:
    """
    Return the row of the protocol's needle table for a person, the weight in one unit.

    Raises:
        RecordError: The sex is not F or M, or the weight is given twice or not at all.
        RuleError: The protocol has no needle table, or none of its rows fits.
    """
    if sex not in set(Sex):
        raise RecordError(
            f"the needle table knows F and M, not {sex!r}", advice="give --sex F or --sex M"
        )
    if not rules.needles:
        heading = rules.protocol
        raise RuleError(
            f"protocol {heading.id} version {heading.version} has no needle table",
            key="needles",
            advice="name one that has, with --protocol",
        )
    return needle_for(Sex(sex), _weight(weight_lb, weight_kg), rules.needles)


@dataclass(frozen=True, slots=True)
class Slip:
    """An error somebody names: the day of the dose, and what else is told."""

    what: str
    given_on: date
    first_on: date | None = None
    volume: Microlitres | None = None


def after_error(slip: Slip, rules: Protocol) -> Guidance:
    """
    Return what the protocol's table says to an error; records nothing.

    Raises:
        RecordError: There is no such error, or what is told says that it is none.
    """
    if slip.what not in set(What) - {What.EVERY}:
        known = ", ".join(each for each in What if each is not What.EVERY)
        raise RecordError(f"no error {slip.what!r}", advice=f"one of {known}")
    what, rule = What(slip.what), rules.schedule.dose_2
    if what is What.TOO_LITTLE:
        what = by_volume(slip.volume, microlitres(rules.product.dose_volume_ml.value))
        if what is What.TOO_MUCH:
            raise RecordError(
                f"{slip.volume} microlitres is more than the dose", advice="say too-much"
            )
    if what is What.TOO_EARLY:
        _too_early(slip, rule)
    return guidance(what, slip.given_on, rules.deviations, rule)


def _too_early(slip: Slip, rule: SecondDose) -> None:
    """Raise unless the dose came before the grace days."""
    if slip.first_on is None:
        raise RecordError("the first dose has no date", advice="add --first DATE")
    if judged(slip.first_on, slip.given_on, rule).verdict is not Verdict.ERROR:
        days = (slip.given_on - slip.first_on).days
        raise RecordError(f"a second dose on day {days} is not too early", advice="it counts")


def vial_yield(fill_ul: int, dose_ul: int, dead_space_ul: int, most: int | None) -> Drawable:
    """
    Return the doses in a vial with a measured fill, and what is left in it.

    Raises:
        RecordError: A volume or a number cannot be.
    """
    draw = Draw(Microlitres(dose_ul), Microlitres(dead_space_ul), most)
    return doses_in_vial(Microlitres(fill_ul), draw)


def _weight(weight_lb: Decimal | None, weight_kg: Decimal | None) -> Weight:
    if weight_lb is not None and weight_kg is None:
        return Weight(weight_lb, Unit.POUNDS)
    if weight_kg is not None and weight_lb is None:
        return Weight(weight_kg, Unit.KILOGRAMS)
    raise RecordError(
        "the weight is wanted once, in pounds or in kilograms",
        advice="give either --weight-lb or --weight-kg",
    )


def _says(first: date, on: date | None, dates: SecondDates) -> str:
    late = (dates.late_after - first).days
    earliest = (dates.earliest_bookable - first).days
    window = (
        f"From {dates.earliest_bookable.isoformat()} (day {earliest}), and by "
        f"{dates.late_after.isoformat()} (day {late}) where it can be; later still counts."
    )
    if on is None or on < first:
        return window
    if on < dates.earliest_bookable:
        days = (dates.earliest_bookable - on).days
        return f"Day {(on - first).days}: not yet, {days} more. {window}"
    return f"Day {(on - first).days}: may be given. {window}"


_DOSES = (1, 2)


def person_of(dose: int | None, age: int | None) -> Person:
    """
    Return what is known of somebody before the first question.

    Raises:
        RecordError: There is no such dose, or nobody is that old.
    """
    if dose is not None and dose not in _DOSES:
        raise RecordError(f"dose must be 1 or 2: {dose}", advice="leave it out if unknown")
    if age is not None and not 0 <= age <= OLDEST_YEARS:
        raise RecordError(
            f"an age of {age} years", advice=f"0 to {OLDEST_YEARS}; look at the birth date"
        )
    return Person(dose, age)
