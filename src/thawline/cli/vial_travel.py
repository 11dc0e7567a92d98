"""Acts of `thawline vial` that hold and release, and that carry vials between sites."""

from dataclasses import replace
from datetime import timedelta
from typing import Any
from uuid import uuid5

from thawline.adapters.notes import check_free, write_note
from thawline.app import holds, receiving, sending
from thawline.app.acts import Doing
from thawline.app.ports import Site
from thawline.base.durations import spoken
from thawline.base.errors import RecordError, ThawlineError
from thawline.base.findings import Finding, Level
from thawline.base.instants import read_instant, written
from thawline.cli.acting import doing, recorded
from thawline.cli.answers import Answer
from thawline.cli.asking import site_named
from thawline.cli.options import Acting
from thawline.cli.reading import read_json
from thawline.cli.text import counted, table
from thawline.vial.folds import carton_key

NOBODY = Acting()


def hold(*vial: str, acting: Acting = NOBODY) -> Answer:
    """
    Hold vials and every syringe drawn from them: not used, not discarded.

    thawline vial hold HK47M --why "shaken" --by "Hazel Rainmoor"
    thawline vial hold HK47M CM62T --why "particles seen" --at 13:31 --by "Hazel Rainmoor"

    Parameters
    ----------
    vial
        The codes on their flags; the code of a syringe holds that one alone.
    """
    site = site_named(acting.site)
    codes = [code.upper() for code in vial]
    outcome, out = holds.hold(site, doing(site, acting), codes)
    return recorded(outcome, site, out_text(", ".join(codes), out), out_data(out))


def out_text(what: str, out: list[holds.Out]) -> str:
    """Return where the syringes are that a hold must reach."""
    if not out:
        return f"{what} held; no drawn syringe is out"
    rows = [[each.syringe, each.station or "?"] for each in out]
    shown = table(["syringe", "last seen at"], rows)
    return f"{what} held; {counted(len(out), 'syringe')} to stop\n{shown}"


def out_data(out: list[holds.Out]) -> dict[str, Any]:
    """Return the JSON form of the syringes that a hold must reach."""
    return {
        "syringes_out": [
            {"syringe": each.syringe, "station": each.station or None} for each in out
        ]
    }


def release(
    *vial: str,
    carton: tuple[str, ...] = (),
    called: str = "",
    answer: str = "",
    case: str = "",
    acting: Acting = NOBODY,
) -> Answer:
    """
    End a hold: a reason, who was called, their answer, and a second person's own PIN.

    thawline vial release HK47M --why "health unit: use" --called "Health Unit" --by Rowan \
--countersign Bryony --pin 284651
    thawline vial release HK47M CM62T --why "logger was wrong" --case UV-17 --by Rowan

    Parameters
    ----------
    vial
        The codes on their flags, or of single syringes.
    carton
        The sealed vials of a lot in a freezer, as freezer-1:ZZ-1041.
    called
        Who was called.
    answer
        What they said.
    case
        Their case number.
    """
    site = site_named(acting.site)
    codes = [code.upper() for code in vial]
    asked = holds.Asked(called, answer, case)
    keys = [_carton_key(each) for each in carton]
    outcome = holds.release(site, doing(site, acting), codes, asked, keys)
    return recorded(outcome, site, f"{', '.join([*codes, *carton])} released")


def _carton_key(typed: str) -> str:
    unit, between, lot = typed.partition(":")
    if not between or not lot:
        raise RecordError(
            f"not a carton: {typed!r}", advice="write freezer and lot, as freezer-1:ZZ-1041"
        )
    return carton_key(unit, lot)


def send(
    to: str, *vial: str, mode: str, note: str | None = None, acting: Acting = NOBODY
) -> Answer:
    """
    Send thawed vials to another site with their history.

    thawline vial send quillbeck HK47M CM62T --mode vehicle --note for-quillbeck.json --by Rowan
    thawline vial send quillbeck HK47M --mode cart --by Rowan

    Parameters
    ----------
    to
        The site they go to.
    vial
        The codes on their flags.
    mode
        How they are carried, as the protocol names it.
    note
        Write the history to this file, for `thawline vial arrive` at the other site.
    """
    site = site_named(acting.site)
    if note and not acting.id:
        check_free(note)
    asked = doing(site, acting)
    outcome, notes = sending.send(site, asked, tuple(v.upper() for v in vial), to, mode)
    values = {
        "from_site": site.name,
        "to_site": to,
        "mode": mode,
        "sent_at": written(asked.occurred.lo, site.zone),
        "vials": [_note(each, site.zone) for each in notes],
    }
    if note and outcome.receipt:
        write_note(note, values, asked.id)
    says = f"{counted(len(notes), 'vial')} sent to {to} by {mode}"
    return recorded(outcome, site, says, {"note": values})


def _note(each: sending.Note, zone: Any) -> dict[str, Any]:
    return {
        "vial": each.vial,
        "lot": each.lot,
        "expiry": each.expiry,
        "doses": each.doses,
        "thawed_at": None if each.thawed_at is None else written(each.thawed_at, zone),
        "room_used_min": each.room_used_min,
        "transport_used_min": each.transport_used_min,
        "trips_used": each.trips_used,
        "held": each.held,
    }


def arrive(note: str, *, unit: str = "", acting: Acting = NOBODY) -> Answer:
    """
    Record vials that came from another site, by the note that came with them.

    thawline vial arrive for-quillbeck.json --site quillbeck --by "Sorrel Kettlewick"
    thawline vial arrive for-quillbeck.json --at 15:58 --site quillbeck --by Sorrel

    Parameters
    ----------
    note
        The file that `thawline vial send --note` wrote. What is null in it is not known,
        and holds the vials.
    unit
        The refrigerator they went into; the only one there is if left out.
    """
    site = site_named(acting.site)
    told = read_json(note)
    asked = doing(site, acting)
    vials = _listed(told, note)
    first = vials[0]
    sent = read_instant(_text(told, "sent_at", note))
    carried = asked.occurred.hi - sent
    if carried < timedelta():
        raise RecordError(f"{note}: sent {written(sent, site.zone)}, after it arrived")
    minutes = -(-carried // timedelta(minutes=1))
    before = _count(first, "transport_used_min", note)
    thawed = first.get("thawed_at")
    thawed_at = None if thawed is None else read_instant(_text(first, "thawed_at", note))
    came = receiving.Thawed(
        doses=_count(first, "doses", note),
        thawed_lo=thawed_at,
        thawed_hi=thawed_at,
        room_used_min=_count(first, "room_used_min", note),
        transport_used_min=None if before is None else before + minutes,
        trips_used=_count(first, "trips_used", note),
        from_site=_text(told, "from_site", note),
        by_mode=_text(told, "mode", note),
        carried_min=minutes,
        held=_text({"held": "", **first}, "held", note),
        unit=unit,
    )
    label = receiving.Label(_text(first, "lot", note), _text(first, "expiry", note))
    codes = tuple(_text(each, "vial", note) for each in vials)
    outcome = receiving.receive_thawed(site, asked, label, codes, came)
    says = f"{counted(len(codes), 'vial')} from {came.from_site}, {spoken(carried)} on the way"
    answer = recorded(outcome, site, says)
    told_there = () if asked.dry_run else _tell_sender(asked, came.from_site or "", codes, site)
    return replace(answer, alerts=(*answer.alerts, *told_there))


def _tell_sender(
    asked: Doing, sender: str, codes: tuple[str, ...], site: Site
) -> tuple[Finding, ...]:
    """Record at the sending site of the same home that the trip is over, else say who must."""
    try:
        there = site_named(sender)
        own = replace(asked, id=uuid5(asked.id, "trip ended"), second=None)
        if waiting := sending.on_their_way(there, codes, site.name):
            sending.end_trip(there, own, waiting, site.name)
    except ThawlineError as error:
        by_hand = f"thawline vial reached {site.name} {' '.join(codes)} --site {sender}"
        says = f"at {sender} the trip is not over yet ({error}): tell them, {by_hand}"
        return (Finding(Level.CHECK, "trip-not-ended", says),)
    return ()


def reached(to: str, *vial: str, acting: Acting = NOBODY) -> Answer:
    """
    Record at the site that sent vials that they reached the other site: their trip is over.

    thawline vial reached quillbeck HK47M CM62T --at 08:45 --site harrowmint --by Rowan
    thawline vial reached quillbeck HK47M --site harrowmint --by "Rowan Thistle"

    Where both sites are on this machine, thawline vial arrive records it.

    Parameters
    ----------
    to
        The site they were sent to.
    vial
        The codes on their flags.
    """
    site = site_named(acting.site)
    codes = tuple(code.upper() for code in vial)
    outcome = sending.end_trip(site, doing(site, acting), codes, to)
    return recorded(outcome, site, f"{counted(len(codes), 'vial')} reached {to}")


_SAME = (
    *("lot", "expiry", "doses", "thawed_at", "room_used_min", "transport_used_min"),
    *("trips_used", "held"),
)


def _listed(told: dict[str, Any], note: str) -> list[dict[str, Any]]:
    """Return the vials of a note that share one history."""
    vials = told.get("vials")
    if not isinstance(vials, list) or not vials or not all(isinstance(v, dict) for v in vials):
        raise RecordError(f"{note}: no vials in it", advice="use the note that was sent along")
    differing = [key for key in _SAME if len({str(each.get(key)) for each in vials}) > 1]
    if differing:
        raise RecordError(
            f"{note}: the vials differ in {', '.join(differing)}",
            advice="send vials with one history together, the others with a note of their own",
        )
    return vials


def _text(values: dict[str, Any], key: str, note: str) -> str:
    value = values.get(key)
    if not isinstance(value, str):
        raise RecordError(f"{note}: {key} is not text: {value!r}")
    return value


def _count(values: dict[str, Any], key: str, note: str) -> int | None:
    value = values.get(key)
    if value is not None and (isinstance(value, bool) or not isinstance(value, int)):
        raise RecordError(f"{note}: {key} is not a whole number: {value!r}")
    return value
