"""
How each step of the script is done: through the use case that a person would use.

The clock is moved to the step's time, the act gets the next id, and the codes that the ledger
gave to vials and syringes are remembered for the steps that come later.
"""

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import timedelta
from typing import Any

from thawline.app import doses, holds, meeting, observing, screenings, standby, vials
from thawline.app.acts import Doing
from thawline.app.bookings import load_bookings
from thawline.app.in_force import in_force
from thawline.app.in_hand import Needle
from thawline.app.ports import Name, Site
from thawline.app.standings import Stood, all_stood
from thawline.base.errors import RefusedError
from thawline.base.instants import Instant, exactly
from thawline.demo import script
from thawline.demo.clock import MovedClock
from thawline.demo.script import Step, Syringe
from thawline.exchange.bookings import BookingRow, ReadBookings
from thawline.ledger.events import DoseDrawn, VialMoved
from thawline.person.desk import Compared
from thawline.person.likeness import Identity
from thawline.vial.reckon import State

FREEZER = "freezer-1"


class NotAsPlannedError(AssertionError):
    """The rules answered a step of the script otherwise than the script has it."""


@dataclass(frozen=True, slots=True)
class RefusedCheck:
    """A dose that the rules refused before the needle."""

    at: Instant
    station: str
    person: str
    syringe: str
    error: RefusedError


@dataclass(frozen=True, slots=True)
class HeldVial:
    """A hold, and the drawn syringes that it had to reach."""

    at: Instant
    vial: str
    why: str
    out: tuple[holds.Out, ...]


@dataclass(frozen=True, slots=True)
class LookedAt:
    """The vials that were opened and held doses, as they stood at a moment."""

    at: Instant
    vials: tuple[Stood, ...]


@dataclass(slots=True)
class Seen:
    """What the use cases answered on the day, kept for the tour."""

    refused: list[RefusedCheck] = field(default_factory=list)
    held: list[HeldVial] = field(default_factory=list)
    looked: list[LookedAt] = field(default_factory=list)
    met: list[meeting.Meeting] = field(default_factory=list)


class Player:
    """Does the steps of a script at a site, one after the other."""

    def __init__(self, site: Site, clock: MovedClock, midnight: Instant) -> None:
        self._site = site
        self._clock = clock
        self._midnight = midnight
        self._vials: list[str] = []
        self._syringes: dict[Syringe, str] = {}
        self._outcomes: dict[str, tuple[str, str]] = {}
        self.seen = Seen()
        self._ways: dict[type[Step], Callable[[Any, Doing], None]] = {
            script.TakeOut: self._take_out,
            script.BringToTable: self._bring,
            script.OpenVial: self._open,
            script.DrawDoses: self._draw,
            script.BookWalkUp: self._walk_up,
            script.AskQuestions: self._ask,
            script.MeetPerson: self._meet,
            script.LeaveEarly: self._leave_early,
            script.JoinStandby: self._join_standby,
            script.CheckDose: self._check,
            script.GiveDose: self._give,
            script.LeaveWithout: self._leave,
            script.WasteFromVial: self._waste_from_vial,
            script.WasteSyringe: self._waste_syringe,
            script.DiscardVial: self._discard,
            script.HoldVial: self._hold,
            script.LookAround: self._look,
        }

    def play(self, step: Step) -> None:
        """
        Do one step.

        Raises:
            NotAsPlannedError: The rules answered otherwise than the script has it.
        """
        at = Instant(self._midnight + timedelta(seconds=step.at_s))
        self._clock.move(at)
        try:
            self._ways[type(step)](step, self.doing(step.by, step.station))
        except RefusedError as error:
            raise NotAsPlannedError(f"{step}: {error.says}") from error

    def doing(self, by: str, station: str = "", why: str = "") -> Doing:
        """Return who does something now, with the next id."""
        at = self._clock.now()
        return Doing(
            by=by,
            occurred=exactly(at),
            recorded_at=at,
            id=self._site.mint(),
            why=why,
            station=station,
        )

    def _take_out(self, step: script.TakeOut, doing: Doing) -> None:
        done = vials.take_out(self._site, doing, step.lot, FREEZER, step.vials, "fridge")
        assert isinstance(done.event, VialMoved)  # noqa: S101  what `take_out` records
        self._vials += done.event.vials

    def _bring(self, step: script.BringToTable, doing: Doing) -> None:
        vials.move(self._site, doing, [self._vials[n] for n in step.vials], "table")

    def _open(self, step: script.OpenVial, doing: Doing) -> None:
        vials.open_vial(self._site, doing, self._vials[step.vial])

    def _draw(self, step: script.DrawDoses, doing: Doing) -> None:
        done = vials.draw(self._site, doing, self._vials[step.vial], step.doses)
        assert isinstance(done.event, DoseDrawn)  # noqa: S101  what `draw` records
        before = sum(each.vial == step.vial for each in self._syringes)
        for number, code in enumerate(done.event.syringes, before + 1):
            self._syringes[Syringe(step.vial, number)] = code

    def _walk_up(self, step: script.BookWalkUp, doing: Doing) -> None:
        person = step.person
        row = BookingRow(
            line=1,
            slot=doing.at,
            dose_number=1,
            person=person.code,
            name=person.called.whole,
            born=person.born,
            phone=person.phone,
            mail=person.mail,
            language=person.language,
            group=person.group,
            needs=person.needs,
        )
        load_bookings(self._site, doing, ReadBookings((row,), (), (), "typed in", ()))

    def _ask(self, step: script.AskQuestions, doing: Doing) -> None:
        typed = _ANSWERS[step.outcome]
        screenings.answer(self._site, doing, step.person, typed, others_no=True)

    def _meet(self, step: script.MeetPerson, doing: Doing) -> None:
        said = Identity(step.person.called.whole, step.person.born)
        found = meeting.meet(self._site, doing, said)
        if (found.person, found.compared) != (step.person.code, Compared.AGREES):
            raise NotAsPlannedError(f"{step} met {found.person}")
        self.seen.met.append(found)

    def _leave_early(self, step: script.LeaveEarly, doing: Doing) -> None:
        observing.went(self._site, doing, step.person)

    def _join_standby(self, step: script.JoinStandby, doing: Doing) -> None:
        person = step.person
        name = Name(person.called.whole, person.born.isoformat(), person.phone, person.mail)
        told = standby.Told(step.travel_min, name=name)
        standby.add(self._site, doing, person.code, told)

    def _check(self, step: script.CheckDose, doing: Doing) -> None:
        code = self._syringes[step.syringe]
        self._outcomes[step.person] = (step.screened_by, step.outcome)
        needle = Needle(
            person=step.person,
            syringe=code,
            screened_by=step.screened_by,
            screening=step.outcome,
            lots=step.lots,
        )
        try:
            doses.check(self._site, doing, needle)
        except RefusedError as error:
            if not step.refused:
                raise
            refused = RefusedCheck(doing.at, step.station, step.person, code, error)
            self.seen.refused.append(refused)
            return
        if step.refused:
            raise NotAsPlannedError(f"{step} was not refused")

    def _give(self, step: script.GiveDose, doing: Doing) -> None:
        code = self._syringes[step.syringe]
        doses.give(self._site, doing, self.needle(step.person, code, step.arm))

    def needle(self, person: str, syringe: str, arm: str | None) -> Needle:
        """Return the dose as it is recorded: with who asked the questions before it."""
        screened_by, outcome = self._outcomes[person]
        return Needle(
            person=person,
            syringe=syringe,
            screened_by=screened_by,
            screening=outcome,
            arm=arm,
        )

    def _leave(self, step: script.LeaveWithout, doing: Doing) -> None:
        doses.not_given(self._site, replace(doing, why=step.why), step.person)

    def _waste_from_vial(self, step: script.WasteFromVial, doing: Doing) -> None:
        place = f"vial:{self._vials[step.vial]}"
        because = replace(doing, why=step.why)
        vials.waste(self._site, because, place, step.doses, step.cause)

    def _waste_syringe(self, step: script.WasteSyringe, doing: Doing) -> None:
        place = f"syringe:{self._syringes[step.syringe]}"
        vials.waste(self._site, replace(doing, why=step.why), place, 1, step.cause)

    def _discard(self, step: script.DiscardVial, doing: Doing) -> None:
        because = replace(doing, why=step.why)
        vials.discard(self._site, because, self._vials[step.vial], step.cause)

    def _hold(self, step: script.HoldVial, doing: Doing) -> None:
        code = self._vials[step.vial]
        _, out = holds.hold(self._site, replace(doing, why=step.why), [code])
        self.seen.held.append(HeldVial(doing.at, code, step.why, tuple(out)))

    def _look(self, _step: script.LookAround, doing: Doing) -> None:
        with self._site.ledger.view() as view:
            rules = in_force(self._site, view, doing.at)
            now = [
                each
                for each in all_stood(view, rules, doing.at)
                if each.reckoning.state in _SHOWN and each.vial.left > 0
            ]
        self.seen.looked.append(LookedAt(doing.at, tuple(now)))


_ANSWERS = {"give-15": (), "give-30": ("Q7=yes",), "refer": ("Q4=yes",)}
"""What is answered with yes; that a milder allergy stays longer is said at the chair."""
_SHOWN = {State.OPEN, State.HELD}  # nothing else is held in the demo
