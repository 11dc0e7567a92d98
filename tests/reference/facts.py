"""The facts of a story up to an instant, and what follows from their order alone."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any, NamedTuple
from zoneinfo import ZoneInfo

from tests.reference.wall_clock import MINUTE, read

OPENS = ("open", "draw")
_LEAVE_FROZEN = {"to-fridge", "to-table", "warmed", "open", "draw"}
_PLACES = {"to-freezer": "freezer", "to-fridge": "fridge", "to-table": "table"}
_HISTORY = ("thawed_at", "room_used_min", "transport_used_min", "trips_used")
_LASTING = 2**62
_MILDER = {"release", "flag"}  # these count once they have certainly happened


class Fact(NamedTuple):
    """One line of a story: when at the earliest, at the latest, and in which row it stood."""

    lo: int
    hi: int
    row: int
    what: str
    more: dict[str, Any]

    def certainly_after(self, other: "Fact") -> bool:
        """`B.lo > A.hi`, or `B.lo = A.hi` and B was written down after A."""
        return self.lo > other.hi or (self.lo == other.hi and self.row > other.row)

    @property
    def is_chilled_arrival(self) -> bool:
        """Whether the vial came thawed from somewhere else."""
        return self.what == "arrive" and self.more["as"] == "chilled"

    @property
    def arrived_thawed(self) -> bool:
        """Whether it is a chilled arrival that says when its thaw began."""
        return self.is_chilled_arrival and self.more.get("thawed_at") is not None

    @property
    def leaves_frozen(self) -> bool:
        """Whether a vial certainly is not frozen any more after it."""
        return self.what in _LEAVE_FROZEN or self.is_chilled_arrival

    @property
    def place(self) -> str | None:
        """Where the vial is from here on; None where the fact moves nothing."""
        if self.what == "arrive":
            return "fridge" if self.is_chilled_arrival else "freezer"
        return _PLACES.get(self.what)

    @property
    def lacks_history(self) -> bool:
        """Whether any of what a chilled arrival must bring is missing."""
        return any(self.more.get(key) is None for key in _HISTORY)


@dataclass(frozen=True)
class Handling:
    """What happened to one vial until `at`."""

    expiry: str
    zone: ZoneInfo
    at: int
    facts: Sequence[Fact]  # in order, up to and with a discard
    after_discard: Sequence[Fact]

    def all_of(self, what: str) -> list[Fact]:
        """Return the facts of one kind, in order."""
        return [fact for fact in self.facts if fact.what == what]

    def released(self, fact: Fact) -> bool:
        """Say whether a release came certainly after the fact, and was written after it."""
        knowing = (one for one in self.all_of("release") if one.row > fact.row)
        return any(release.certainly_after(fact) for release in knowing)

    def certainly_left_after(self, fact: Fact) -> bool:
        """Say whether every leaving is certainly after the fact."""
        return all(_left_after(leaving, fact) for leaving in self.leavings)

    def surely_open(self, instant: int) -> bool:
        """Say whether the first open has certainly happened by then."""
        return self.opened_hi is not None and self.opened_hi <= instant

    @cached_property
    def discarded(self) -> bool:
        """Whether the vial's story has ended."""
        return bool(self.all_of("discard"))

    @cached_property
    def chilled_arrivals(self) -> list[Fact]:
        """Arrivals as chilled, in order."""
        return [fact for fact in self.facts if fact.is_chilled_arrival]

    @cached_property
    def leavings(self) -> list[Fact]:
        """Every fact by which the vial has left frozen."""
        return [fact for fact in self.facts if fact.leaves_frozen]

    @cached_property
    def use_by_unknown(self) -> bool:
        """Whether a chilled arrival came without its thaw start or its minutes at room."""
        needed = ("thawed_at", "room_used_min")
        return any(a.more.get(key) is None for a in self.chilled_arrivals for key in needed)

    @cached_property
    def left(self) -> int | None:
        """The earlier bound of leaving frozen; of a thaw start not known, the arrival's."""
        return min((lo for lo, _ in self.left_spans), default=None)

    @cached_property
    def left_spans(self) -> list[tuple[int, int]]:
        """When each leaving happened; of a thaw start not known, when the vial arrived."""
        return [_leaving(fact) for fact in self.leavings]

    @cached_property
    def opened_spans(self) -> list[tuple[int, int]]:
        """When each open, or draw, happened."""
        return [(fact.lo, fact.hi) for fact in self.facts if fact.what in OPENS]

    @cached_property
    def thaw_start_unknown(self) -> bool:
        """Whether a chilled arrival did not say when its thaw began; then every trip counts."""
        return any(not arrival.arrived_thawed for arrival in self.chilled_arrivals)

    @cached_property
    def first_open(self) -> Fact | None:
        """The first open in order; a draw with no open before it is one."""
        return next((fact for fact in self.facts if fact.what in OPENS), None)

    @cached_property
    def moves(self) -> list[Fact]:
        """Moves to the fridge, the table or the freezer, arrivals among them, in order."""
        return [fact for fact in self.facts if fact.place is not None]

    @property
    def where(self) -> str:
        """Where the vial is: by its last move in order."""
        return self.moves[-1].place if self.moves else "freezer"

    @cached_property
    def opened(self) -> int | None:
        """The smallest `lo` of open and draw facts."""
        return min((fact.lo for fact in self.facts if fact.what in OPENS), default=None)

    @cached_property
    def opened_hi(self) -> int | None:
        """The smallest `hi` of the opens and draws that have certainly happened by `at`."""
        ends = [fact.hi for fact in self.facts if fact.what in OPENS]
        return min((hi for hi in ends if hi <= self.at), default=None)

    @cached_property
    def stays(self) -> list[tuple[int, int]]:
        """Each to-table's `lo` to the smallest `hi` of the to-fridges certainly after it."""
        backs = [back for back in self.all_of("to-fridge") if back.hi <= self.at]
        return [
            (
                table.lo,
                min((b.hi for b in backs if b.certainly_after(table)), default=_LASTING),
            )
            for table in self.all_of("to-table")
        ]

    @cached_property
    def room_used(self) -> int:
        """Time on tables elsewhere, as the arrivals say."""
        minutes = [arrival.more.get("room_used_min") or 0 for arrival in self.chilled_arrivals]
        return sum(minutes) * MINUTE

    @cached_property
    def refrozen(self) -> bool:
        """Into the freezer, and a leaving not certainly after it; or a table at 0 or below."""
        freezers = [move for move in self.moves if move.place == "freezer"]
        if any(not self.certainly_left_after(freezer) for freezer in freezers):
            return True
        rooms = [table.more.get("room_c") for table in self.all_of("to-table")]
        return any(room_c is not None and room_c <= 0 for room_c in rooms)


def _leaving(fact: Fact) -> tuple[int, int]:
    """When a leaving happened: a chilled arrival's at its `thawed_at`, if it says so."""
    return interval(fact.more["thawed_at"]) if fact.arrived_thawed else (fact.lo, fact.hi)


def _left_after(leaving: Fact, freezer: Fact) -> bool:
    left = Fact(*_leaving(leaving), leaving.row, leaving.what, {})
    return left.certainly_after(freezer)


def interval(at: Any) -> tuple[int, int]:
    """Return the two ends of a time as a story writes it."""
    if isinstance(at, dict):
        return read(at["from"]), read(at["to"])
    instant = read(at)
    return instant, instant


def read_handling(story: dict[str, Any], at: int) -> Handling:
    """Return the facts that have happened by `at`, in order, cut after a discard."""
    facts = [
        Fact(*interval(event["at"]), row, event["what"], event)
        for row, event in enumerate(story["events"])
    ]
    happened = [fact for fact in facts if (fact.hi if fact.what in _MILDER else fact.lo) <= at]
    happened.sort(key=lambda fact: (fact.lo, fact.row))
    ends = [place for place, fact in enumerate(happened) if fact.what == "discard"]
    cut = ends[0] + 1 if ends else len(happened)
    zone = ZoneInfo(story["zone"])
    return Handling(story["expiry"], zone, at, happened[:cut], happened[cut:])
