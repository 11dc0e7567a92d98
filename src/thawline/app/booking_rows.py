"""
Who each row of a booking file is, and whether they may have the place: decided row by row.

A row is a known person only by a code, or by name, birth date and phone together. Whoever is
merely alike is shown, never merged; for a second dose, where a mistake would hide the date of
the first, such a row is not booked at all.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

import msgspec

from thawline.app.ports import Name
from thawline.base.errors import RecordError
from thawline.base.instants import Instant, local_date, to_ms, zone_named
from thawline.exchange.bookings import BookingRow
from thawline.person.away import Away
from thawline.person.bookings import (
    FIRST,
    SECOND,
    Wanted,
    booked_already,
    dose_number_at,
    first_dose_booked,
    refusal,
    refusal_elsewhere,
)
from thawline.person.fold import Booking, PersonState
from thawline.person.likeness import (
    Alike,
    Identity,
    Likeness,
    Register,
    name_key,
    swapped,
)
from thawline.person.names import names_alike
from thawline.rebook.ages import age_findings
from thawline.rebook.due import booking_findings
from thawline.rebook.series import RuleOn, awaited, dose_days, has_undated_dose, on_day
from thawline.rules.questions import Question

MINTED = "P-"
_CERTAIN = (Likeness.SAME, Likeness.AS_TOLD)
_ASK = "give their code in an id column"


@dataclass(frozen=True, slots=True)
class Placed:
    """A row that is booked: whose place it is, which, and the name to keep if it is new."""

    row: BookingRow
    person: str
    wanted: Wanted
    name: Name | None


@dataclass(frozen=True, slots=True)
class There:
    """A row whose booking is in the ledger already, or stands earlier in the same file."""

    row: BookingRow
    person: str


@dataclass(frozen=True, slots=True)
class Moment:
    """When it is asked, where, which rules for second doses count when, and for ages."""

    now: Instant
    zone: str
    rule_on: RuleOn
    questions: tuple[Question, ...] = ()
    elsewhere: Mapping[str, Away] = field(default_factory=dict)  # places at other sites


@dataclass
class Desk:
    """Everybody known, with their places; grows as rows are taken in."""

    moment: Moment
    states: dict[str, PersonState]
    names: dict[str, Name]
    register: Register = field(default_factory=Register)
    remarks: list[tuple[int, str]] = field(default_factory=list)
    last_minted: int = 0

    @classmethod
    def of(
        cls, moment: Moment, states: Mapping[str, PersonState], names: Mapping[str, Name]
    ) -> "Desk":
        """Return a desk that knows these people; names may be known before any booking is."""
        desk = cls(moment, dict(states), dict(names))
        for person, name in names.items():
            desk.register.add(person, identity_of(name))
        desk.last_minted = max(map(minted_number, (*states, *names)), default=0)
        return desk

    def take(self, row: BookingRow) -> Placed | There:
        """
        Take one row in.

        Raises:
            RecordError: It cannot be booked; says why.
        """
        person, is_new = self._who(row)
        state = self.states.get(person, PersonState())
        number = row.dose_number or dose_number_at(state, row.slot)
        day = local_date(row.slot, zone_named(self.moment.zone))
        wanted = Wanted(row.slot, day, number)
        if there := booked_already(state, wanted):
            self._compare(row, there)
            return There(row, person)
        reason = (
            against(state, wanted, self.moment)
            or refusal_elsewhere(self.moment.elsewhere.get(person), wanted)
            or self._age(row, person, day)
        )
        if reason:
            raise RecordError(reason)
        self._remark_first_dose(row, state, wanted)
        if is_new:
            self._remark_doubles(row)
        name = self._keep(row, person)
        self._book(row, person, wanted)
        return Placed(row, person, wanted, name)

    def _who(self, row: BookingRow) -> tuple[str, bool]:
        """Return the person of a row, and whether they are new here."""
        if row.person is not None:
            return self._by_code(row, row.person)
        alike = list(self.register.alike(identity(row)))
        for each in alike:
            if each.likeness in _CERTAIN and self._is_at(each.person, row):
                return each.person, False
        same = [each.person for each in alike if each.likeness is Likeness.SAME]
        if len(same) > 1 or (row.dose_number == SECOND and alike and not same):
            raise RecordError(f"may be {_list(alike)}: {_ASK}")
        return (same[0], False) if same else (self._mint(), True)

    def _by_code(self, row: BookingRow, code: str) -> tuple[str, bool]:
        is_new = code not in self.states
        if is_new and code.startswith(MINTED):
            raise RecordError(f"no person {code} here")
        known = self.names.get(code)
        if known is None or not row.name:
            return code, is_new
        if names_alike(known.called, row.name) is None:
            raise RecordError(f"{code} stands for another name here")
        if name_key(known.called) != name_key(row.name):
            self._remark(row, f"the name is spelled otherwise than that of {code}")
        born = identity_of(known).born
        if row.born and born and row.born != born:
            if swapped(row.born) != born:
                raise RecordError(f"{code} stands for another birth date here")
            self._remark(row, f"day and month of the birth date swapped against {code}")
        return code, is_new

    def _age(self, row: BookingRow, person: str, day: date) -> str | None:
        """Return why somebody of that age has no place that day; None where it may be."""
        known = self.names.get(person)
        born = row.born or (identity_of(known).born if known else None)
        return age_against(born, day, self.moment)

    def _is_at(self, person: str, row: BookingRow) -> bool:
        """Say whether the person has the row's place already."""
        number = row.dose_number
        return any(
            booking.slot_ms == to_ms(row.slot) and number in (None, booking.dose_number)
            for booking in self.states.get(person, PersonState()).bookings
        )

    def _mint(self) -> str:
        self.last_minted += 1
        return f"{MINTED}{self.last_minted:06d}"

    def _keep(self, row: BookingRow, person: str) -> Name | None:
        """Return the name to keep for somebody whose name is not known here."""
        if not row.name or person in self.names:
            return None
        born = row.born.isoformat() if row.born else None
        name = Name(row.name, born, row.phone, row.mail, row.language)
        self.names[person] = name
        self.register.add(person, identity(row))
        return name

    def _book(self, row: BookingRow, person: str, wanted: Wanted) -> None:
        state = self.states.get(person, PersonState())
        booking = Booking(
            slot_ms=to_ms(wanted.slot),
            dose_number=wanted.dose_number,
            zone=self.moment.zone,
            language=row.language,
            needs=row.needs,
            row="",
            entry="",
            group=row.group,
        )
        booked = (*state.bookings, booking)
        self.states[person] = msgspec.structs.replace(state, bookings=booked)

    def _compare(self, row: BookingRow, there: Booking) -> None:
        said = (row.language, row.needs, row.group)
        if said != (there.language, there.needs, there.group):
            self._remark(
                row, "booked already with another language, help or group: not changed"
            )

    def _remark_doubles(self, row: BookingRow) -> None:
        alike = list(self.register.alike(identity(row)))
        if alike:
            self._remark(row, f"may be {_list(alike)}: not merged, look at both")

    def _remark_first_dose(self, row: BookingRow, state: PersonState, wanted: Wanted) -> None:
        if wanted.dose_number == SECOND and _nothing_to_count_from(state, self.moment):
            self._remark(row, "dose 2, and no first dose is known here: its day is not checked")

    def _remark(self, row: BookingRow, says: str) -> None:
        self.remarks.append((row.line, says))


def against(state: PersonState, wanted: Wanted, moment: Moment) -> str | None:
    """Return why this person may not have this place; None when nothing is against it."""
    repeats = _is_repeat(state, wanted, moment)
    reason = refusal(state, wanted, moment.now, repeats=repeats)
    if reason or wanted.dose_number == FIRST:
        return reason
    doses = dose_days(state)
    booked = first_dose_booked(state, moment.now)
    if not doses and booked is not None:
        doses = (on_day(booked),)
    found = booking_findings(doses, wanted.day, moment.rule_on)
    if not found:
        return None
    return f"{found[0].says} First dose {doses[0].latest.isoformat()}, item {found[0].item}."


def _is_repeat(state: PersonState, wanted: Wanted, moment: Moment) -> bool:
    """Say whether the place is for the second dose again, as the one had came too early."""
    if wanted.dose_number == FIRST:
        return False
    to_come = awaited(dose_days(state), on_day(wanted.day), moment.rule_on)
    return to_come is not None and to_come.repeats


def age_against(born: date | None, day: date, moment: Moment) -> str | None:
    """Return why somebody born then has no place that day; None too where nobody knows when."""
    found = age_findings(born, day, moment.questions) if born else ()
    return f"{found[0].says} Item {found[0].item}." if found else None


def identity(row: BookingRow) -> Identity:
    """Return what a row says about who somebody is."""
    return Identity(row.name, row.born, row.phone)


def identity_of(name: Name) -> Identity:
    """Return what is kept about who somebody is."""
    return Identity(
        name.called, date.fromisoformat(name.born) if name.born else None, name.phone
    )


def _nothing_to_count_from(state: PersonState, moment: Moment) -> bool:
    counted = dose_days(state) and not has_undated_dose(state)
    return not counted and first_dose_booked(state, moment.now) is None


def minted_number(person: str) -> int:
    """Return the number in a code that was minted here; 0 for any other code."""
    number = person.removeprefix(MINTED)
    return int(number) if person.startswith(MINTED) and number.isdecimal() else 0


def _list(alike: list[Alike]) -> str:
    return ", ".join(f"{each.person} ({each.likeness})" for each in alike)
