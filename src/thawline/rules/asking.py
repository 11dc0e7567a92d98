"""
Whether the screening questions of a rule file can be asked and decided at all.

Only what would make an answer unsafe or undecidable; whether an outcome is the published one
is asked in `rules.compared_screening`.
"""

from collections.abc import Iterator

from thawline.base.durations import Allowance
from thawline.rules.faults import Fault
from thawline.rules.questions import Known, Outcome
from thawline.rules.shape import Leaf
from thawline.rules.slips import Leaves, shown

TABLE = "screening"
_LETTER = "Q"
_DOSES = (1, 2)
_STRICTEST_FIRST = list(Outcome)
SECOND_DOSE = "schedule.dose_2.earliest"


def question_tables(leaves: Leaves) -> list[str]:
    """Return the dotted name of each question, as in screening.0, in the order of the file."""
    found = {".".join(key.split(".")[:2]) for key in leaves if key.startswith(f"{TABLE}.")}
    return sorted(found, key=lambda table: int(table.rpartition(".")[2]))


def unaskable(leaves: Leaves) -> Iterator[Fault]:
    """Yield what is wrong with the questions of a file."""
    for table in question_tables(leaves):
        yield from _item(leaves, table)
        yield from _lengths(leaves, table)
        yield from _not_sure(leaves, table)
        yield from _asked_of(leaves, table)
        yield from _derived(leaves, table)


def _item(leaves: Leaves, table: str) -> Iterator[Fault]:
    item = leaves.get(f"{table}.item")
    if isinstance(item, str) and not item.startswith(_LETTER):
        says = f"{table}.item = {item!r}; questions have the letter {_LETTER}"
        yield Fault("missing-item", f"{table}.item", says, "write it as in Q1")


def _lengths(leaves: Leaves, table: str) -> Iterator[Fault]:
    wait = leaves.get(f"{table}.wait")
    if wait is None:
        return
    key = f"{table}.wait"
    if isinstance(wait, Allowance) and wait.elapsed:
        says = f"{key} counts in hours; dates are whole days"
        yield Fault("ambiguous-duration", key, says, "write whole days, as in P28D")
    if leaves.get(f"{table}.yes", Outcome.NOT_TODAY) != Outcome.NOT_TODAY:
        says = f"{key}: only an answer that leads to not-today can wait"
        yield Fault("wrong-value", key, says, 'write yes = "not-today", or take wait out')


def _not_sure(leaves: Leaves, table: str) -> Iterator[Fault]:
    """Yield an answer "not sure" that would lead to less than a yes does, or to no asking."""
    yes, unsure = (leaves.get(f"{table}.{name}") for name in ("yes", "not_sure"))
    if yes not in _STRICTEST_FIRST or unsure not in _STRICTEST_FIRST:
        return
    least = max(_rank(yes), _rank(Outcome.REFER))
    if _rank(unsure) > least:
        says = f"{table}.not_sure = {shown(unsure)!r} is milder than {table}.yes"
        advice = 'write the outcome of yes, or "refer"'
        yield Fault("wrong-value", f"{table}.not_sure", says, advice)


def _rank(outcome: Leaf | None) -> int:
    return _STRICTEST_FIRST.index(Outcome(str(outcome)))


def _asked_of(leaves: Leaves, table: str) -> Iterator[Fault]:
    dose = leaves.get(f"{table}.ask_if.dose")
    if dose is not None and dose not in _DOSES:
        key = f"{table}.ask_if.dose"
        yield Fault("wrong-value", key, f"{key} = {shown(dose)}", "write 1 or 2")
    ages = [leaves.get(f"{table}.ask_if.{name}") for name in ("age_from", "age_below")]
    lowest, below = (age if isinstance(age, int) else None for age in ages)
    if lowest is not None and lowest < 0:
        key = f"{table}.ask_if.age_from"
        yield Fault("wrong-value", key, f"{key} = {lowest}", "write whole years")
    if below is not None and below <= (lowest or 0):
        key = f"{table}.ask_if.age_below"
        yield Fault("wrong-value", key, f"{key} = {below}; nobody is that young", "write years")


def _derived(leaves: Leaves, table: str) -> Iterator[Fault]:
    known = leaves.get(f"{table}.derived_from")
    if known == Known.BIRTH_DATE and not _has_age(leaves, table):
        key = f"{table}.ask_if"
        says = f"missing: {key}, the ages for which a birth date means yes"
        yield Fault("missing-item", key, says, "write ask_if = { age_below = … }")
    if known == Known.DOSES_HAD:
        yield from _interval(leaves, table)


def _has_age(leaves: Leaves, table: str) -> bool:
    return any(f"{table}.ask_if.{name}" in leaves for name in ("age_from", "age_below"))


def _interval(leaves: Leaves, table: str) -> Iterator[Fault]:
    wait, earliest = leaves.get(f"{table}.wait"), leaves.get(SECOND_DOSE)
    key = f"{table}.wait"
    if wait is None:
        says = f"missing: {key}, the days from the first dose"
        yield Fault("missing-item", key, says, "write wait, as in P28D")
    elif isinstance(wait, Allowance) and isinstance(earliest, Allowance) and wait != earliest:
        says = f"{key} is {shown(wait)}, and {SECOND_DOSE} is {shown(earliest)}"
        yield Fault("wrong-value", key, says, "write the same days in both")
