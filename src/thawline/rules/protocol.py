"""
The types of a protocol file, format 1: one Struct a table, one field a key.

Reading refuses unknown keys and missing items; what a figure means is said here, what it is
stands in the file. `docs/reference/protocol-format.md` shows the same as a table.
"""

from datetime import date, datetime
from decimal import Decimal
from enum import StrEnum

from msgspec import Struct, field

from thawline.base.durations import Allowance
from thawline.rules.chair import Anaphylaxis, Deviation, Instruction
from thawline.rules.cold import Alarm, DeviceAlarm, Kinetic, Logging, Reporting, Rounds
from thawline.rules.questions import Question
from thawline.rules.table import Table
from thawline.rules.wordings import Label, Lesson, Words


class Starts(StrEnum):
    """What starts a clock."""

    LEAVES_FROZEN = "leaves-frozen"  # first of to-fridge, to-table, unit out of band
    TO_TABLE = "to-table"
    OPEN = "open"


class Stops(StrEnum):
    """What pauses a clock; what it has used stays used."""

    TO_FRIDGE = "to-fridge"


class AfterOpening(StrEnum):
    """Whether time at room temperature runs on once the vial is open; absent means it does."""

    RUNS = "runs"
    STOPS = "stops"


class Heading(Table, frozen=True, kw_only=True):
    """[protocol]: which file this is and from when it counts."""

    id: str
    title: str
    version: int
    effective_from: datetime
    compared_with: str | None = None  # published edition; absent: the one of that time


class Figure(Table, frozen=True, kw_only=True):
    """One number with its item and source; the unit stands in the key that holds it."""

    item: str
    value: Decimal
    source: str


class Doses(Table, frozen=True, kw_only=True):
    """Doses counted on in a vial, and the most that may ever be drawn from one."""

    item: str
    value: int
    source: str
    most: int | None = None


class Product(Table, frozen=True, kw_only=True):
    """[product]: what is in a vial. Volumes in millilitres."""

    doses_per_vial: Doses
    dose_volume_ml: Figure
    fill_volume_ml: Figure | None = None
    dead_space_ml: Figure | None = None


class Band(Table, frozen=True, kw_only=True):
    """[bands.*]: a temperature band, both ends inside it, in both units."""

    item: str
    low_c: Decimal
    high_c: Decimal
    low_f: Decimal
    high_f: Decimal
    source: str
    named_gap_above: str | None = None  # why the degrees up to the next band are nobody's


class Clock(Table, frozen=True, kw_only=True):
    """[clocks.*]: a limit on how long; usable strictly before its end."""

    item: str
    starts_on: Starts
    allows: Allowance
    source: str
    stops_on: Stops | None = None
    after_open: AfterOpening = AfterOpening.RUNS


class Cap(Table, frozen=True, kw_only=True):
    """[caps.*]: a joint limit; time during which any of the clocks counts is counted once."""

    item: str
    counts: tuple[str, ...]
    allows: Allowance
    source: str


class RefrigeratorThaw(Table, frozen=True, kw_only=True):
    """[thaw.refrigerator]: time in the refrigerator, then on the table before opening."""

    item: str
    takes: Allowance
    then_room: Allowance
    source: str


class RoomThaw(Table, frozen=True, kw_only=True):
    """[thaw.room]: time on the table for a vial that did not finish in the refrigerator."""

    item: str
    takes: Allowance
    source: str


class Thaw(Table, frozen=True, kw_only=True):
    """[thaw.*]: how a vial gets from frozen to ready."""

    refrigerator: RefrigeratorThaw
    room: RoomThaw


class Mode(Table, frozen=True, kw_only=True):
    """[transport.by.*]: a way to carry thawed vials; without `allows` it is not allowed."""

    item: str
    source: str
    allows: Allowance | None = None


class Count(Table, frozen=True, kw_only=True):
    """A number of times something may happen."""

    item: str
    most: int
    source: str


class Permission(Table, frozen=True, kw_only=True):
    """Something the protocol allows or not; absent always means not."""

    item: str
    may: bool
    source: str


class Limit(Table, frozen=True, kw_only=True):
    """A length of time with its item and source."""

    item: str
    allows: Allowance
    source: str


class Transport(Table, frozen=True, kw_only=True):
    """[transport]: carrying vials that have left the freezer."""

    total: Limit | None = None
    trips: Count | None = None
    punctured: Permission | None = None
    by: dict[str, Mode] = field(default_factory=dict)


class Handling(Table, frozen=True, kw_only=True):
    """[handling]: what may be done besides; every one absent means no."""

    return_from_table: Permission | None = None  # an unopened vial, back to the refrigerator
    dry_ice: Permission | None = None  # shipping and keeping frozen vials on dry ice


class Override(Table, frozen=True, kw_only=True):
    """[overrides.*]: a refusal, by code, that a named person may set aside with a reason."""

    item: str
    second_person: bool
    source: str


class SecondDose(Table, frozen=True, kw_only=True):
    """[schedule.dose_2]: days counted as calendar days from the first dose, which is day 0."""

    item: str
    earliest: Allowance
    grace_for_judging: Allowance
    late_after: Allowance
    source: str
    repeat_when_too_early: bool = False
    repeat_after: Allowance | None = None  # counted from the dose that came too early


class Predrawn(Table, frozen=True, kw_only=True):
    """[predrawn]: syringes that may lie drawn at once: so many vials or doses, the greater."""

    item: str
    most_vials: int
    most_doses: int
    source: str


class Schedule(Table, frozen=True, kw_only=True):
    """[schedule.*]: when to come back."""

    dose_2: SecondDose


class Sex(StrEnum):
    """What a needle table of the adult deltoid tells apart."""

    FEMALE = "F"
    MALE = "M"


class Needle(Table, frozen=True, kw_only=True):
    """
    [[needles]]: one row of the needle table, lightest first; the first row that fits counts.

    A row fits weights up to and including `most_*`, or strictly under `below_*`; with neither
    it fits any weight. Both units are given, and each is read on its own. Lengths in inches.
    """

    item: str
    shortest_in: Decimal
    longest_in: Decimal
    source: str
    sex: Sex | None = None  # absent: anybody
    below_lb: Decimal | None = None
    below_kg: Decimal | None = None
    most_lb: Decimal | None = None
    most_kg: Decimal | None = None
    condition: str | None = None


class Stay(Table, frozen=True, kw_only=True):
    """[observation.*]: how long somebody stays after a dose."""

    item: str
    stays: Allowance
    source: str


class Station(Table, frozen=True, kw_only=True):
    """[stations.*]: a table of the site; how long one person takes there, least and most."""

    item: str
    title: Words
    roles: tuple[str, ...]
    least_s: int
    most_s: int
    source: str


class Source(Table, frozen=True, kw_only=True):
    """[sources.*]: who says so. `kind` decides which other keys must be there."""

    kind: str
    author: str | None = None
    title: str | None = None
    year: int | None = None
    place: str | None = None
    read_on: date | None = None
    note: str | None = None


class Protocol(Table, frozen=True, kw_only=True):
    """A whole protocol file, format 1."""

    format: int
    protocol: Heading
    product: Product
    bands: dict[str, Band]
    clocks: dict[str, Clock]
    thaw: Thaw
    schedule: Schedule
    sources: dict[str, Source]
    caps: dict[str, Cap] = field(default_factory=dict)
    transport: Transport = field(default_factory=Transport)
    punctures: Count | None = None
    handling: Handling = field(default_factory=Handling)
    overrides: dict[str, Override] = field(default_factory=dict)
    needles: tuple[Needle, ...] = ()
    observation: dict[str, Stay] = field(default_factory=dict)
    alarms: dict[str, Alarm] = field(default_factory=dict)
    reporting: dict[str, Reporting] = field(default_factory=dict)
    device_alarms: dict[str, DeviceAlarm] = field(default_factory=dict)
    logging: Logging | None = None
    kinetic: Kinetic | None = None
    rounds: Rounds = field(default_factory=Rounds)
    stations: dict[str, Station] = field(default_factory=dict)
    labels: dict[str, Label] = field(default_factory=dict)
    lesson: tuple[Lesson, ...] = ()
    screening: tuple[Question, ...] = ()
    predrawn: Predrawn | None = None
    anaphylaxis: Anaphylaxis | None = None
    technique: dict[str, Instruction] = field(default_factory=dict)
    deviations: tuple[Deviation, ...] = ()


class RuleSet(Table, frozen=True, kw_only=True):
    """A rule set: the screening questions by themselves; `protocol` is its heading."""

    format: int
    screening: tuple[Question, ...]
    sources: dict[str, Source]
    protocol: Heading | None = None


class ProtocolRef(Struct, frozen=True):
    """Which file an answer or an entry was decided under; `sha256` is over its exact bytes."""

    id: str
    version: int
    sha256: str
