"""Reactions: notes, reports that are due, and what was seen beside what was expected."""

from dataclasses import dataclass
from fractions import Fraction

from django.http import HttpRequest, HttpResponse

from thawline.adapters.reaction_tables import recipients_of, shipped
from thawline.app.calculators import after_error
from thawline.app.front_desk import at_desk
from thawline.app.in_force import in_force
from thawline.app.reactions import Written, doses_and_seen, notes
from thawline.app.seen_pictures import seen_picture
from thawline.base.instants import last_moment
from thawline.draw.seen_expected import forest_svg
from thawline.report.reactions import (
    CRITERIA,
    ERROR,
    Criterion,
    Recipient,
    classified,
    recipient_of,
    told_of,
)
from thawline.report.seen import rows_of
from thawline.rules.chair import What
from thawline.web.around import Around, around
from thawline.web.here import folder, title
from thawline.web.pages import page
from thawline.web.screens import Screen
from thawline.web.stations.acts_on_reactions import slip_of

_FIELDS = {
    Criterion.DEATH: "death",
    Criterion.LIFE: "life",
    Criterion.HOSPITAL: "hospital",
    Criterion.DISABILITY: "disability",
    Criterion.BIRTH: "birth",
    Criterion.IMPORTANT: "important",
}
CRITERIA_ROWS = [(_FIELDS[each], says) for each, says in CRITERIA.items()]


@dataclass(frozen=True, slots=True)
class Row:
    """One note: what it is, whether a report is due, to whom, and who was told."""

    written: Written
    says: str
    serious: str
    due: bool
    recipient: Recipient | None


def show(request: HttpRequest) -> HttpResponse:
    """Return the notes, and a count where a rate is chosen."""
    with around(request) as round_:
        rows = [_row(each) for each in reversed(notes(round_.site))]
        told = {
            "rows": rows,
            "due": sum(each.due and not each.written.note.told for each in rows),
            "reactions": shipped().reactions.values(),
            "criteria": CRITERIA_ROWS,
            "rates": shipped().rates,
            "chosen": request.GET.get("rate", ""),
            **_count(round_, request.GET.get("rate", ""), request.GET.get("by", "lot")),
        }
        return page(request, round_, "reactions", told)


def _row(found: Written) -> Row:
    note, known = found.note, shipped().reactions
    recipients = recipients_of(folder())
    if note.is_error or note.what not in known:
        says = f"error: {note.what.replace('-', ' ')}" if note.is_error else note.what
        return Row(found, says, "", note.is_error, told_of(ERROR, recipients))
    kind = classified(known[note.what], [Criterion(each) for each in note.serious])
    serious = ", ".join(kind.criteria)
    recipient = recipient_of(kind, recipients)
    return Row(found, kind.reaction.says, serious, kind.is_reported, recipient)


def _count(round_: Around, chosen: str, by: str) -> dict[str, object]:
    """Return the picture of a count; nothing where no rate is chosen."""
    what, _, name = chosen.partition(":")
    rate = next((r for r in shipped().rates if (r.code, r.name) == (what, name)), None)
    if rate is None:
        return {}
    found = list(doses_and_seen([round_.site], what))
    if not found:
        return {"counted": True, "picture": ""}
    kind = by if by in {"lot", "dose"} else "lot"
    rows = rows_of(found, kind, Fraction(rate.cases, rate.doses))
    source = shipped().titles.get(rate.source, rate.source)
    says = f"{shipped().reactions[what].says}, {title()}"
    picture = seen_picture(says, rows, rate, source, demo=round_.site.demo)
    sentences = [f"{mark.name}: {mark.says}." for mark in picture.marks]
    return {"counted": True, "picture": forest_svg(picture), "sentences": sentences, "by": by}


def error(request: HttpRequest, person: str) -> HttpResponse:
    """Return what the rules of the day say to an error, before it is noted."""
    with around(request) as round_:
        code = at_desk(round_.site, round_.view, person.upper(), round_.at).person
        told = {
            "person": code,
            "errors": [each.value for each in What if each is not What.EVERY],
            "today": round_.today,
            "sent": request.POST if request.method == "POST" else None,
            "guidance": None,
        }
        if request.method == "POST":
            sent = request.POST
            slip = slip_of(
                sent.get("what", ""),
                sent.get("given_on", ""),
                sent.get("first_on", ""),
                sent.get("volume_ml", ""),
            )
            then = last_moment(slip.given_on, round_.zone)
            rules = in_force(round_.site, round_.view, min(then, round_.at))
            told["guidance"] = after_error(slip, rules.protocol)
        return page(request, round_, "dose-error", told)


SCREENS = (
    Screen("reactions", "Reactions", "open-reaction", show),
    Screen("dose-error", "After an error", "open-reaction", error, takes="person", asks=True),
)
