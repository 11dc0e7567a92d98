"""
A protocol in plain sentences, each with its item and its source, in the order of a dose's way.

For people who will work by it and will not read TOML. No figure stands here: the sentences
are filled from the file.
"""

from collections.abc import Callable, Iterable, Iterator
from decimal import Decimal

from thawline.base.durations import Allowance
from thawline.rules.plain_chair import at_the_chair
from thawline.rules.plain_cold import watching
from thawline.rules.protocol import (
    AfterOpening,
    Band,
    Clock,
    Needle,
    Protocol,
    SecondDose,
    Starts,
)
from thawline.rules.questions import Question, told
from thawline.rules.sentence import Sentence, in_speech, title
from thawline.rules.slips import in_words, shown

_STARTS = {
    Starts.LEAVES_FROZEN: "from leaving the freezer; nothing stops it",
    Starts.TO_TABLE: "on the table, all stays together; the refrigerator stops it, "
    "nothing resets it",
    Starts.OPEN: "from opening; nothing stops it",
}
_AFTER_OPENING = {
    AfterOpening.RUNS: "it runs on after opening",
    AfterOpening.STOPS: "it counts until the vial is opened",
}


def sentences(protocol: Protocol) -> tuple[Sentence, ...]:
    """Return the whole protocol in sentences."""
    return tuple(sentence for part in _PARTS for sentence in part(protocol))


def _product(protocol: Protocol) -> Iterator[Sentence]:
    product = protocol.product
    doses = product.doses_per_vial
    most = f"; never more than {doses.most} are drawn" if doses.most else ""
    yield Sentence(doses.item, f"A vial holds {doses.value} doses{most}.", doses.source)
    for figure, says in (
        (product.dose_volume_ml, "A dose is {} mL."),
        (product.fill_volume_ml, "A vial is filled with {} mL."),
        (product.dead_space_ml, "{} mL stays in needle and syringe with each dose."),
    ):
        if figure is not None:
            yield Sentence(figure.item, says.format(shown(figure.value)), figure.source)


def _bands(protocol: Protocol) -> Iterator[Sentence]:
    for name, band in protocol.bands.items():
        yield Sentence(band.item, f"{name.capitalize()}: {degrees(band)}.", band.source)


def degrees(band: Band) -> str:
    """Return a band in both units: "2 to 8 °C (36 to 46 °F)"; below zero "minus 15"."""
    in_c = f"{in_speech(band.low_c)} to {in_speech(band.high_c)} °C"
    return f"{in_c} ({in_speech(band.low_f)} to {in_speech(band.high_f)} °F)"


def _clocks(protocol: Protocol) -> Iterator[Sentence]:
    for name, clock in protocol.clocks.items():
        says = f"{name.capitalize()}: {in_words(clock.allows)} {_runs(clock)}."
        yield Sentence(clock.item, says, clock.source)
    for name, cap in protocol.caps.items():
        clocks = " and ".join(cap.counts)
        says = f"{title(name)}: {clocks} together at most {in_words(cap.allows)}."
        yield Sentence(cap.item, says, cap.source)


def _runs(clock: Clock) -> str:
    says = _STARTS[clock.starts_on]
    if clock.starts_on is Starts.TO_TABLE:
        return f"{says}; {_AFTER_OPENING[clock.after_open]}"
    return says


def _thaw(protocol: Protocol) -> Iterator[Sentence]:
    fridge, room = protocol.thaw.refrigerator, protocol.thaw.room
    stand = f"then {in_words(fridge.then_room)} on the table"
    says = f"Thawing in the refrigerator takes {in_words(fridge.takes)}, {stand}."
    yield Sentence(fridge.item, says, fridge.source)
    says = f"Thawing on the table takes {in_words(room.takes)}."
    yield Sentence(room.item, says, room.source)


def _carrying(protocol: Protocol) -> Iterator[Sentence]:
    carried = protocol.transport
    if carried.total:
        says = f"Thawed vials are carried {in_words(carried.total.allows)} in all at most."
        yield Sentence(carried.total.item, says, carried.total.source)
    if carried.trips:
        says = f"Thawed vials are carried at most {_times(carried.trips.most)}."
        yield Sentence(carried.trips.item, says, carried.trips.source)
    if carried.punctured:
        says = f"Open vials {'may be' if carried.punctured.may else 'are not'} carried."
        yield Sentence(carried.punctured.item, says, carried.punctured.source)
    for name, mode in carried.by.items():
        says = f"By {name}: {_at_most(mode.allows)}."
        yield Sentence(mode.item, says, mode.source)


def _at_most(allows: Allowance | None) -> str:
    return "not allowed" if allows is None else f"at most {in_words(allows)}"


def _times(count: int) -> str:
    return "once" if count == 1 else f"{count} times"


def _handling(protocol: Protocol) -> Iterator[Sentence]:
    for permission, what in (
        (protocol.handling.return_from_table, "An unopened vial {} back to the refrigerator."),
        (protocol.handling.dry_ice, "Vials {} on dry ice."),
    ):
        if permission is not None:
            says = what.format("may go" if permission.may else "must not go")
            yield Sentence(permission.item, says, permission.source)
    if protocol.punctures:
        count = protocol.punctures
        yield Sentence(count.item, f"At most {count.most} punctures of a vial.", count.source)
    if protocol.predrawn:
        ahead = protocol.predrawn
        vials = f"{ahead.most_vials} vial{'' if ahead.most_vials == 1 else 's'}"
        says = f"Drawn ahead: {vials} or {ahead.most_doses} doses, the greater."
        yield Sentence(ahead.item, says, ahead.source)
    for code, override in protocol.overrides.items():
        second = " and a second person" if override.second_person else ""
        says = f"The refusal {code} may be set aside with a reason{second}."
        yield Sentence(override.item, says, override.source)


def _people(protocol: Protocol) -> Iterator[Sentence]:
    dose = protocol.schedule.dose_2
    yield Sentence(dose.item, _second_dose(dose), dose.source)
    for name, stay in protocol.observation.items():
        says = f"Stay after a dose, {name}: {in_words(stay.stays)}."
        yield Sentence(stay.item, says, stay.source)
    for needle in protocol.needles:
        yield Sentence(needle.item, _needle(needle), needle.source)
    yield from question_sentences(protocol.screening)


def question_sentences(questions: Iterable[Question]) -> Iterator[Sentence]:
    """Yield each screening question with what its answers lead to."""
    for question in questions:
        wait = f" {in_words(question.wait)} from that day" if question.wait else ""
        yes, unsure = question.yes.value, question.not_sure.value
        says = f"{told(question, question.ask)} Yes: {yes}{wait}. Not sure: {unsure}."
        yield Sentence(question.item, says, question.source)


def _second_dose(dose: SecondDose) -> str:
    says = (
        f"Second dose {in_words(dose.earliest)} after the first or later; "
        f"{in_words(dose.grace_for_judging)} earlier counts when it has happened and is never "
        f"booked. Late after {in_words(dose.late_after)}. Earlier than that is an error"
    )
    if dose.repeat_when_too_early and dose.repeat_after:
        return f"{says} and is repeated {in_words(dose.repeat_after)} after it."
    return f"{says} and is not repeated."


def _needle(needle: Needle) -> str:
    who = {"F": "Women", "M": "Men"}.get(needle.sex or "", "Anybody")
    if below := _weight(needle.below_lb, needle.below_kg):
        who += f" under {below}"
    elif most := _weight(needle.most_lb, needle.most_kg):
        who += f" up to {most}"
    else:
        who += ", heavier"
    length = shown(needle.shortest_in)
    if needle.shortest_in != needle.longest_in:
        length += f" to {shown(needle.longest_in)}"
    condition = f". {title(needle.condition)}" if needle.condition else ""
    return f"{who}: needle of {length} inch{condition}."


def _weight(in_lb: Decimal | None, in_kg: Decimal | None) -> str:
    """Return a weight as the row has it, as in "130 lb (60 kg)"; empty where it has none."""
    if in_lb is None:
        return "" if in_kg is None else f"{shown(in_kg)} kg"
    return f"{shown(in_lb)} lb" if in_kg is None else f"{shown(in_lb)} lb ({shown(in_kg)} kg)"


def _stations(protocol: Protocol) -> Iterator[Sentence]:
    for station in protocol.stations.values():
        least, most = station.least_s, station.most_s
        takes = f"{least}" if least == most else f"{least} to {most}"
        says = f"{station.title.en}: {takes} s for one person."
        yield Sentence(station.item, says, station.source)


_PARTS: tuple[Callable[[Protocol], Iterator[Sentence]], ...] = (
    _product,
    _bands,
    _clocks,
    _thaw,
    _carrying,
    _handling,
    _people,
    at_the_chair,
    watching,
    _stations,
)
