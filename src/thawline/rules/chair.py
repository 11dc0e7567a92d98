"""
The tables of a protocol for the chair and the observation area: emergency, technique, errors.

What each key means is said here; what it is stands in the file, with its source.
"""

from decimal import Decimal
from enum import StrEnum

from msgspec import field

from thawline.base.durations import Allowance
from thawline.rules.table import Table
from thawline.rules.wordings import Words


class Instruction(Table, frozen=True, kw_only=True):
    """One thing to do, in words, with its item and source."""

    item: str
    says: Words
    source: str


class Drug(Table, frozen=True, kw_only=True):
    """[anaphylaxis.drug]: what the kit holds; milligrams in a millilitre."""

    item: str
    says: Words
    mg_per_ml: Decimal
    source: str


class AdultDose(Table, frozen=True, kw_only=True):
    """[anaphylaxis.adult]: the dose of the kit in hand, which needs no weight."""

    item: str
    mg: Decimal
    source: str


class ByWeight(Table, frozen=True, kw_only=True):
    """[anaphylaxis.by_weight]: milligrams for each kilogram, and the most in one dose."""

    item: str
    mg_per_kg: Decimal
    most_mg: Decimal
    source: str


class Again(Table, frozen=True, kw_only=True):
    """[anaphylaxis.again]: the window of the next dose, counted from the one before."""

    item: str
    not_before: Allowance
    not_after: Allowance
    source: str


class Kit(Table, frozen=True, kw_only=True):
    """[anaphylaxis.kit]: doses that are present and unexpired at all times."""

    item: str
    least_doses: int
    source: str


class Anaphylaxis(Table, frozen=True, kw_only=True):
    """[anaphylaxis.*]: the emergency card and the kit behind it."""

    drug: Drug
    adult: AdultDose
    by_weight: ByWeight
    again: Again
    kit: Kit
    steps: dict[str, Instruction] = field(default_factory=dict)  # in the order of the file


class What(StrEnum):
    """What was not as it should be with a dose that was given."""

    EVERY = "every"  # not an error: what is asked for with each of them
    WRONG_SITE = "wrong-site"
    WRONG_ROUTE = "wrong-route"
    TOO_MUCH = "too-much"
    TOO_LITTLE = "too-little"
    MORE_THAN_HALF = "too-little-more-than-half"
    LESS_THAN_HALF = "too-little-less-than-half"
    TOO_YOUNG = "too-young"
    OTHER_PRODUCT = "other-product"
    PAST_LIMIT = "past-limit"
    AFTER_EXPIRY = "after-expiry"
    TOO_EARLY = "too-early"
    LATE = "late"


class Repeat(StrEnum):
    """Whether the dose is given again."""

    NO = "no"
    AT_ONCE = "at-once"
    WHEN_ELIGIBLE = "when-eligible"
    BY_SCHEDULE = "by-schedule"  # as [schedule.dose_2] says of a dose that came too early


class Deviation(Table, frozen=True, kw_only=True):
    """[[deviations]]: what to do after one kind of error; no row means that it is not said."""

    item: str
    what: What
    says: Words
    source: str
    repeat: Repeat | None = None
