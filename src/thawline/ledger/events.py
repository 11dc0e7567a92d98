"""
Everything that can happen at a site, in the past tense; one act is one event.

Bodies hold strings, whole numbers, booleans and None only, so that their bytes can be hashed
for ever: doses are integers, volumes microlitres (`_ul`), temperatures thousandths of a degree
(`_mc`), instants milliseconds of UTC (`_ms`). People are codes; names live in `identity.db`.
Who, when and under which protocol stand in the entry around the event, not in its body.
"""

from msgspec import Struct


class Event(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """One thing that happened."""


# --- the site and its rules -------------------------------------------------------------


class ProtocolAdopted(Event, frozen=True, kw_only=True):
    """A protocol file was taken into use; its bytes are kept under its sha256."""

    protocol_id: str
    version: int
    sha256: str
    effective_from_ms: int
    second: str | None = None
    second_by_own_entry: bool = False


class EpochBegan(Event, frozen=True, kw_only=True):
    """The ledger goes on from a backup; `parent_*` is the last entry that the backup held."""

    parent_epoch: int
    parent_seq: int
    parent_hash: str
    why: str


# --- vaccine ----------------------------------------------------------------------------


class ShipmentArrived(Event, frozen=True, kw_only=True):
    """Sealed frozen cartons of one lot came into a storage unit; no vial has a code yet."""

    lot: str
    expiry: str  # as printed: a date, or year and month
    unit: str
    vials: int
    doses_per_vial: int
    listed_vials: int | None = None  # on the packing list
    temperature_mc: int | None = None
    dry_ice: bool = False
    damage: str = ""
    soft: bool = False
    supplier_ref: str = ""


class VialsArrived(Event, frozen=True, kw_only=True):
    """Thawed vials came with their history; anything missing in it holds them."""

    vials: tuple[str, ...]
    lot: str
    expiry: str
    doses: int  # in each
    from_site: str | None = None
    thawed_lo_ms: int | None = None
    thawed_hi_ms: int | None = None
    room_used_min: int | None = None
    transport_used_min: int | None = None
    trips_used: int | None = None
    held: str = ""  # why they are held on arrival, besides a gap in the history
    unit: str = ""  # the refrigerator they went into; empty: not said


class SyringesArrived(Event, frozen=True, kw_only=True):
    """Syringes came ready drawn; lot, puncture time, who drew and use-by must be known."""

    syringes: tuple[str, ...]
    lot: str
    expiry: str | None = None
    punctured_ms: int | None = None
    drawn_by: str | None = None
    use_by_ms: int | None = None


class VialMoved(Event, frozen=True, kw_only=True):
    """Vials went `to` the fridge, the table or the freezer; out of a carton they get codes."""

    vials: tuple[str, ...]
    to: str
    lot: str
    expiry: str
    from_unit: str | None = None  # the storage unit whose carton was opened; None: coded before
    doses: int = 0  # in each, when they come out of a carton
    room_mc: int | None = None
    unit: str = ""  # where they went: the refrigerator or the table; empty: not said
    held: str = ""  # why their sealed carton was held; they stay held
    soft_since_ms: int | None = None  # by when the carton had begun to thaw


class UnitWarmed(Event, frozen=True, kw_only=True):
    """A frozen unit was out of its band; `occurred` starts at the last reading in band."""

    unit: str
    vials: tuple[str, ...] = ()  # those that were inside then and have codes
    lots: tuple[str, ...] = ()  # of the sealed cartons that were inside


class VialFlagged(Event, frozen=True, kw_only=True):
    """New flags were stuck on and scanned: the vials are marked under this version."""

    vials: tuple[str, ...]


class VialPunctured(Event, frozen=True, kw_only=True):
    """A vial was opened."""

    vial: str


class DoseDrawn(Event, frozen=True, kw_only=True):
    """Doses were drawn, one a syringe; `extra` of them were more than the book held."""

    vial: str
    lot: str
    syringes: tuple[str, ...]
    extra: int = 0


class DoseWasted(Event, frozen=True, kw_only=True):
    """Doses left the account of a vial or syringe for a cause of waste."""

    place: str  # account, as vial:HK47M or syringe:HK47M-07
    lot: str
    doses: int
    cause: str
    why: str = ""


class VialDiscarded(Event, frozen=True, kw_only=True):
    """A vial's life ended with this many doses left in it by the book."""

    vial: str
    lot: str
    doses: int
    cause: str
    why: str = ""


class VialHeld(Event, frozen=True, kw_only=True):
    """Vials, and every syringe drawn from them, are not to be used until released."""

    vials: tuple[str, ...]
    why: str
    syringes: tuple[str, ...] = ()
    cartons: tuple[str, ...] = ()  # sealed ones, as freezer-1|ZZ-1041
    unit: str = ""  # the storage unit whose excursion it is for
    from_ms: int | None = None  # of that excursion: the last time it was known to be in
    until_ms: int | None = None  # the first time after it; None: it had not ended
    coldest_mc: int | None = None  # of that excursion, where it went to 0 °C or below
    refrozen: tuple[str, ...] = ()  # the thawed vials that may have been at that


class VialReleased(Event, frozen=True, kw_only=True):
    """A hold on vials ended; two people, a reason, who was called and what they said."""

    vials: tuple[str, ...]
    why: str
    second: str
    called: str = ""
    answer: str = ""
    case: str = ""
    syringes: tuple[str, ...] = ()
    cartons: tuple[str, ...] = ()


class LotHeld(Event, frozen=True, kw_only=True):
    """A whole lot is not to be used, wherever it stands."""

    lot: str
    why: str
    notice: str = ""


class LotReleased(Event, frozen=True, kw_only=True):
    """The hold on a lot ended."""

    lot: str
    why: str
    second: str
    notice: str = ""


class VialSent(Event, frozen=True, kw_only=True):
    """Vials left for another site with their history."""

    vials: tuple[str, ...]
    lot: str
    doses: tuple[int, ...]  # in each
    to_site: str
    by_mode: str


class CountTaken(Event, frozen=True, kw_only=True):
    """Somebody counted what is there: doses in an account, compared with the book."""

    place: str
    lot: str
    doses: int
    book: int


class DoseNotFound(Event, frozen=True, kw_only=True):
    """Doses that the book holds are nowhere; two people looked."""

    place: str
    lot: str
    doses: int
    why: str
    second: str


# --- the cold store ---------------------------------------------------------------------


class ReadingTaken(Event, frozen=True, kw_only=True):
    """
    Somebody read a display or a thermometer: now, and the least and most since the last reset.

    At a table out of its range the reading names what was there, and holds it.
    """

    unit: str
    temp_mc: int
    min_mc: int | None = None
    max_mc: int | None = None
    reset: bool = False  # the display's least and most begin anew from here
    vials: tuple[str, ...] = ()
    syringes: tuple[str, ...] = ()


class LoggerFileRead(Event, frozen=True, kw_only=True):
    """
    A logger's file was read into a unit's record; its readings and bytes lie beside the ledger.

    `readings_sha256` vouches for the readings and `sha256` for the file, byte for byte.
    """

    unit: str
    probe: str
    name: str
    sha256: str
    readings_sha256: str
    readings: int
    new: int  # of these, those that the record did not hold
    first_ms: int
    last_ms: int
    lowest_mc: int
    highest_mc: int
    read_as: str  # order of the date, unit, zone, interval, in words


class ExcursionCalled(Event, frozen=True, kw_only=True):
    """Somebody was called about a unit's excursion; what they said, and their case number."""

    unit: str
    called: str
    answer: str = ""  # empty: not answered yet
    case: str = ""


# --- people -----------------------------------------------------------------------------


class PersonBooked(Event, frozen=True, kw_only=True):
    """A person has a place at a time for a first or second dose."""

    person: str
    slot_ms: int
    dose_number: int
    row: str = ""  # fingerprint of the imported row
    language: str = ""
    needs: str = ""
    group: str = ""  # as the booking list names it; no-shows are counted by group


class EarlierDoseTold(Event, frozen=True, kw_only=True):
    """A first dose given elsewhere, typed from the person's card."""

    person: str
    given_on: str
    product: str = ""
    lot: str = ""


class DoseChecked(Event, frozen=True, kw_only=True):
    """Before the needle: what the rules answered for this person and syringe."""

    person: str
    syringe: str | None
    vial: str | None
    may: bool
    codes: tuple[str, ...] = ()
    screened_by: str | None = None
    screening: str | None = None


class DoseGiven(Event, frozen=True, kw_only=True):
    """A dose went into a person; always recorded, whatever rule it breaks."""

    person: str
    dose_number: int
    lot: str | None
    syringe: str | None = None
    vial: str | None = None
    doses_from: str | None = None  # the account it leaves; None: it was not in the book
    arm: str | None = None
    route: str = "IM"
    volume_ul: int | None = None
    screened_by: str | None = None
    screening: str | None = None
    given_by: str = ""
    codes: tuple[str, ...] = ()


class DoseNotGiven(Event, frozen=True, kw_only=True):
    """A person who was checked left without a dose."""

    person: str
    why: str


# --- the day and the record -------------------------------------------------------------


class DayClosed(Event, frozen=True, kw_only=True):
    """The day was closed by two people on these figures."""

    day: str
    second: str
    received: int
    given: int
    wasted: int
    missing: int
    left: int
    head: str


class Corrected(Event, frozen=True, kw_only=True):
    """
    An earlier entry was wrong: it counts as `replacement`, or not at all.

    The wrong entry stays in the ledger; folds read the replacement in its place.
    """

    target: str  # the id of the wrong entry
    why: str
    replacement_type: str | None = None
    replacement_body: str | None = None  # canonical JSON
    occurred_lo_ms: int | None = None  # when it happened, where that was wrong
    occurred_hi_ms: int | None = None
    second: str | None = None
    undo: bool = False


class Refused(Event, frozen=True, kw_only=True):
    """A command that the rules refused, kept so that asking again gets the same answer."""

    command: str
    codes: tuple[str, ...]
    says: tuple[str, ...]
    levels: tuple[str, ...]
    items: tuple[str | None, ...]
    error: str = "refused"
    advice: str = ""


class Noted(Event, frozen=True, kw_only=True):
    """A remark for the journal."""

    says: str
