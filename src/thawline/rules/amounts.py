"""
Whether each amount in a rule file can exist at all, whatever the product.

Zero time, hours where only days count, a fraction of a microlitre, a longest that is shorter
than the shortest: nothing could be decided by them.
"""

from collections.abc import Iterator, Mapping
from datetime import timedelta
from decimal import Decimal

from thawline.base.durations import Allowance
from thawline.base.errors import RecordError
from thawline.base.quantities import microlitres
from thawline.rules.faults import Fault
from thawline.rules.shape import Leaf

Leaves = Mapping[str, Leaf]

_MAY_BE_ZERO = frozenset({"grace_for_judging", "then_room", "delay"})
_HOURS_ONLY = (
    *("caps.", "transport.", "thaw.", "observation."),
    *("alarms.", "device_alarms.", "logging.", "rounds.", "anaphylaxis."),
)
_IN_ORDER = (
    ("value", "most"),
    ("shortest_in", "longest_in"),
    ("least_s", "most_s"),
    ("earliest", "late_after"),
    ("grace_for_judging", "earliest"),
    ("not_before", "not_after"),
)
_COUNTS = frozenset(
    {"most", "most_vials", "most_doses", "least_s", "shortest_in", "dead_band_c"}
    | {"times_a_day", "activation_energy_kj_per_mol", "accuracy_c"}
    | {"mg", "mg_per_ml", "mg_per_kg", "most_mg", "least_doses"}
)


def impossible_amounts(leaves: Leaves) -> Iterator[Fault]:
    """Yield each amount of a file that cannot be one."""
    for key, leaf in leaves.items():
        if isinstance(leaf, Allowance):
            yield from _length(leaves, key, leaf)
        elif isinstance(leaf, int | Decimal):
            yield from _number(key, Decimal(leaf))
    yield from _disordered(leaves)
    yield from _repeats(leaves)


def _length(leaves: Leaves, key: str, length: Allowance) -> Iterator[Fault]:
    table, _, last = key.rpartition(".")
    if length.longest() <= timedelta(0) and last not in _MAY_BE_ZERO:
        says = f"{key} allows no time at all"
        yield Fault("wrong-value", key, says, "write a length above zero")
    if length.days and (_adds_up(leaves, table) or key.startswith(_HOURS_ONLY)):
        says = f"{key} counts in days; it adds up or runs by the hour"
        yield Fault("ambiguous-duration", key, says, "write it in hours, as in PT24H")
    if length.elapsed and key.startswith("schedule."):
        says = f"{key} counts in hours; dates are whole days"
        yield Fault("ambiguous-duration", key, says, "write whole days, as in P28D")


def _adds_up(leaves: Leaves, table: str) -> bool:
    return leaves.get(f"{table}.starts_on") == "to-table"


def _number(key: str, number: Decimal) -> Iterator[Fault]:
    if key.startswith("product.") and number <= 0 and key != "product.dead_space_ml.value":
        says = f"{key} = {number} is no amount"
        yield Fault("wrong-value", key, says, "write a number above zero")
    elif number < 0 and key.rpartition(".")[2] in {*_COUNTS, "value"}:
        yield Fault("wrong-value", key, f"{key} = {number} is below zero", "write 0 or more")
    if key.endswith("_ml.value"):
        yield from _volume(key, number)


def _volume(key: str, volume_ml: Decimal) -> Iterator[Fault]:
    try:
        microlitres(volume_ml)
    except RecordError as error:
        yield Fault("wrong-value", key, f"{key}: {error.says}", error.advice)


def _disordered(leaves: Leaves) -> Iterator[Fault]:
    for key, leaf in leaves.items():
        table, _, last = key.rpartition(".")
        for less, more in _IN_ORDER:
            other = leaves.get(f"{table}.{more}")
            if last == less and other is not None and _size(leaf) > _size(other):
                says = f"{table}.{less} is more than {table}.{more}"
                yield Fault("reversed", key, says, "correct one of the two")


def _size(leaf: Leaf) -> Decimal:
    if isinstance(leaf, Allowance):
        return Decimal(leaf.longest() // timedelta(seconds=1))
    return Decimal(leaf) if isinstance(leaf, int | Decimal) else Decimal(0)


def _repeats(leaves: Leaves) -> Iterator[Fault]:
    table = "schedule.dose_2"
    if leaves.get(f"{table}.repeat_when_too_early") is True and (
        f"{table}.repeat_after" not in leaves
    ):
        key = f"{table}.repeat_after"
        says = f"missing: {key}, the days from a dose that came too early to its repeat"
        yield Fault("missing-item", key, says, "add repeat_after to the table")
