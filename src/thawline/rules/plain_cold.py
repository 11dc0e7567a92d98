"""What a protocol says about watching temperatures, in plain sentences."""

from collections.abc import Iterator

from thawline.rules.cold import Alarm, DeviceAlarm, Reach
from thawline.rules.protocol import Protocol
from thawline.rules.sentence import Sentence, in_speech, title
from thawline.rules.slips import in_words, shown


def watching(protocol: Protocol) -> Iterator[Sentence]:
    """Yield who is called when, what is reported, and how temperatures are looked at."""
    for name, alarm in protocol.alarms.items():
        yield Sentence(alarm.item, _alarm(name, alarm), alarm.source)
    for name, local in protocol.reporting.items():
        within = f" within {in_words(local.within)}" if local.within else " in one go"
        says = f"Report {name}: {in_words(local.lasts)} {local.side} {local.band}{within}."
        yield Sentence(local.item, says, local.source)
    for name, device in protocol.device_alarms.items():
        yield Sentence(device.item, _device(name, device), device.source)
    yield from _logging(protocol)
    yield from _rounds(protocol)


def _alarm(name: str, alarm: Alarm) -> str:
    after = f" for {in_words(alarm.clears_after)}" if alarm.clears_after else ""
    unanswered = (
        f"; nobody answers: the next is due after {in_words(alarm.calls_next_after)}"
        if alarm.calls_next_after
        else ""
    )
    return (
        f"Alarm {name}: {in_words(alarm.delay)} outside {alarm.band}; "
        f"quiet again {shown(alarm.dead_band_c)} °C inside{after}{unanswered}."
    )


def _device(name: str, device: DeviceAlarm) -> str:
    beyond = "at or " if device.at_c_counts else ""
    longer = "" if device.lasts_counts else "more than "
    adds_up = "in all" if device.reach is Reach.CUMULATIVE else "in one go"
    return (
        f"{title(name)}: a {device.device} sounds after {longer}{in_words(device.lasts)} "
        f"{adds_up} {beyond}{device.side} {in_speech(device.at_c)} °C. "
        "An excursion is one before."
    )


def _logging(protocol: Protocol) -> Iterator[Sentence]:
    logging, kinetic = protocol.logging, protocol.kinetic
    if logging:
        says = (
            f"A logger reads at least every {in_words(logging.interval_most)} and may be off "
            f"by {shown(logging.accuracy_c)} °C; that never excuses a reading."
        )
        yield Sentence(logging.item, says, logging.source)
    if kinetic:
        energy = shown(kinetic.activation_energy_kj_per_mol)
        says = f"Mean kinetic temperature with {energy} kJ/mol describes, and clears nothing."
        yield Sentence(kinetic.item, says, kinetic.source)


def _rounds(protocol: Protocol) -> Iterator[Sentence]:
    table, display = protocol.rounds.table, protocol.rounds.display
    if table:
        says = f"The temperature at each table is read every {in_words(table.every)}."
        yield Sentence(table.item, says, table.source)
    if display:
        times = "once" if display.times_a_day == 1 else f"{display.times_a_day} times"
        says = f"Each unit's display is read {times} a day: now, lowest, highest; then reset."
        yield Sentence(display.item, says, display.source)
