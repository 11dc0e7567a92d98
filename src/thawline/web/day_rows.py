"""The rows behind each number of the Today screen; people by their codes."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from thawline.account.fold import ACCOUNT, parts_of
from thawline.app import observing
from thawline.app.alerts_now import CHECKED_LONG_AGO
from thawline.base.instants import Instant, from_ms, local_date
from thawline.person.desk import DESK
from thawline.person.fold import PERSON
from thawline.web.around import Around

_LATEST = 200


@dataclass(frozen=True, slots=True)
class DayRow:
    """One row: what or whom, since when or when, and the rest of it in words."""

    what: str
    at: Instant | None
    says: str


@dataclass(frozen=True, slots=True)
class Rows:
    """The rows of one number; the newest of a long list, and how many there are in all."""

    title: str
    rows: tuple[DayRow, ...]
    count: int


def rows_of(round_: Around, name: str) -> Rows | None:
    """Return the rows behind a number; None where there is no such number."""
    if name not in _ROWS:
        return None
    title, find = _ROWS[name]
    found = sorted(
        find(round_), key=lambda row: (row.at is None, row.at or round_.at, row.what)
    )
    shown = found[-_LATEST:] if name == "given" else found[:_LATEST]
    return Rows(title, tuple(shown), len(found))


def not_accounted(round_: Around) -> Iterator[DayRow]:
    """Yield doses that nobody can place: checks without an answer, counts too short."""
    for each in round_.unrecorded:
        if each.at <= round_.at - CHECKED_LONG_AGO:
            says = f"checked at {each.station or 'no station'}, nothing is recorded after it"
            yield DayRow(each.person, each.at, says)
    for key, balance in round_.view.all(ACCOUNT):
        if balance.count is not None and balance.count.off < 0:
            place, lot = parts_of(key)
            off = -balance.count.off
            says = f"lot {lot}: counted {balance.count.doses}, {off} fewer than the book"
            for _ in range(off):
                yield DayRow(place, from_ms(balance.count.at_ms), says)


def _given(round_: Around) -> Iterator[DayRow]:
    for code, person in round_.view.all(PERSON):
        for dose in person.doses:
            at = from_ms(dose.hi_ms)
            if local_date(at, round_.zone) == round_.today:
                lot = dose.lot or "not known"
                yield DayRow(code, at, f"dose {dose.dose_number}, lot {lot}")


def _waiting(round_: Around) -> Iterator[DayRow]:
    people = dict(round_.view.all(PERSON))
    for code, desk in round_.view.all(DESK):
        came = [from_ms(met.hi_ms) for met in desk.met if _today(round_, met.hi_ms)]
        if not came or any(_today(round_, left) for left in desk.left_ms):
            continue
        state = people.get(code)
        if state is None or not any(_today(round_, dose.hi_ms) for dose in state.doses):
            yield DayRow(code, came[0], "came, and has no dose yet")


def _observed(round_: Around) -> Iterator[DayRow]:
    for each in observing.waiting_in(round_.site, round_.view, round_.at):
        if each.may_leave is None:
            yield DayRow(each.person, None, "from when they may leave is not known")
        else:
            may = each.may(round_.at)
            says = "may leave; not recorded as gone" if may else "stays until then"
            yield DayRow(each.person, each.may_leave, says)


def _today(round_: Around, at_ms: int) -> bool:
    return local_date(from_ms(at_ms), round_.zone) == round_.today


_ROWS: Mapping[str, tuple[str, Callable[[Around], Iterator[DayRow]]]] = {
    "given": ("Doses given today", _given),
    "waiting": ("People who came and wait", _waiting),
    "observed": ("In the observation area, by the record", _observed),
    "not-accounted": ("Doses not accounted for", not_accounted),
}
