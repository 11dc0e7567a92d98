"""`thawline reaction note | report`: what happened after a dose, and a report's draft."""

import re
from dataclasses import replace
from typing import Annotated, Any
from zoneinfo import ZoneInfo

from cyclopts import Parameter

from thawline.adapters.reaction_tables import reaction_named, recipients_of
from thawline.adapters.sites import folder_of
from thawline.app import reactions as use
from thawline.base.errors import UnsaidError
from thawline.base.findings import Finding, Level
from thawline.base.instants import (
    Instant,
    Occurred,
    exactly,
    from_ms,
    local_date,
    midnight_after,
    midnight_before,
    written,
)
from thawline.cli.acting import doing, recorded
from thawline.cli.answers import Answer
from thawline.cli.asking import moment, site_named
from thawline.cli.options import Acting
from thawline.cli.reaction_drafts import ROW_HEAD, draft, row_of, within
from thawline.cli.surroundings import home
from thawline.cli.text import table
from thawline.report.reactions import (
    CRITERIA,
    ERROR,
    Classified,
    Recipient,
    classified,
    criteria_of,
    recipient_of,
    told_of,
)

NOBODY = Acting()
_DAY = re.compile(r"\d{4}-\d{2}-\d{2}", re.ASCII)
_SHORT = 13  # of a note's code: the time and one more group, enough within a site


def note(
    person: str,
    what: str,
    *,
    serious: Annotated[tuple[str, ...], Parameter(negative="")] = (),
    began: str | None = None,
    acting: Acting = NOBODY,
) -> Answer:
    """
    Note a reaction after a dose: expected or not, serious or not, to whom it is reported.

    thawline reaction note DEMO-004217 fever --began 2026-02-04 --by "Sorrel Kettlewick"
    thawline reaction note DEMO-004217 anaphylaxis --began 14:02 --by "Sorrel Kettlewick"

    Help the person first. Serious is said by the six criteria of 21 CFR 312.32 alone. No rule
    refuses a note, and the Journal corrects it. It goes to nobody by itself.

    Parameters
    ----------
    person
        The person's code.
    what
        pain, redness, swelling, armpit, fatigue, headache, muscles, joints, chills, nausea,
        fever, faint, anaphylaxis, heart, inflammation, disease or other.
    serious
        death, life-threatening, hospital, disability, birth-defect or important; may be
        repeated.
    began
        When it began: 14:02 today, a full time, or a date if only the day is known; not known
        if left out.
    """
    found = classified(reaction_named(what), criteria_of(serious))
    site = site_named(acting.site)
    act = doing(site, acting)
    start = None if began is None else _began(began, act.at, site.zone)
    recipient = recipient_of(found, recipients_of(folder_of(home(), acting.site)))
    outcome = use.note_reaction(site, act, person.strip(), found, start)
    to = None if recipient is None else recipient.to
    data: dict[str, Any] = {
        "note": str(act.id),
        "what": what,
        "serious": found.is_serious,
        "criteria": list(found.criteria),
        "expected": found.expected,
        "reported": found.is_reported,
        "reasons": list(found.reasons),
        "to": to,
        "within_h": None if recipient is None else recipient.within_h,
    }
    says = f"{found.reaction.says}, {person.strip()}: {_kind(found)}"
    answer = recorded(outcome, site, says, data)
    return replace(
        answer,
        alerts=(*answer.alerts, *_report_alert(found, act.id, recipient)),
        not_known=[key for key in ("expected", "to", "within_h") if data[key] is None],
    )


def _began(text: str, now: Instant, zone: ZoneInfo) -> Occurred:
    """Return when it began; of a date nobody knows the hour, so all of that day."""
    at = moment(text, now, zone)
    if not _DAY.fullmatch(text):
        return exactly(at)
    day = local_date(at, zone)
    return Occurred(midnight_before(day, zone), midnight_after(day, zone))


def _kind(found: Classified) -> str:
    expected = {None: "not a known one", True: "expected", False: "not expected"}
    serious = "; ".join(CRITERIA[each] for each in found.criteria)
    kind = f"serious ({serious})" if serious else "not serious by what was said"
    return f"{expected[found.expected]}, {kind}"


def _report_alert(
    found: Classified, note: object, recipient: Recipient | None
) -> tuple[Finding, ...]:
    if not found.is_reported:
        return ()
    whom = "whoever your health unit names: site.toml has no [[reports]] for it"
    if recipient is not None:
        whom = f"{recipient.to}, {within(recipient)}"
    says = (
        f"Report it ({'; '.join(found.reasons)}) to {whom}. The draft: thawline reaction "
        f"report {str(note)[:_SHORT]}"
    )
    return (Finding(Level.ACT, "reaction-to-report", says),)


def report(
    note: str | None = None,
    *,
    told: str = "",
    named: Annotated[bool, Parameter(negative="")] = False,
    acting: Acting = NOBODY,
) -> Answer:
    """
    Draft the report of a note, or list the notes with what was reported; sends nothing.

    thawline reaction report
    thawline reaction report 019c2a4e --told "Upper Velleny Health Unit" --by "Rowan Thistle"

    The draft has the person's code and no name unless --named is given. A clinician decides and
    signs. --csv gives it as a table.

    Parameters
    ----------
    note
        The note's code or how it begins; all notes if left out.
    told
        Who was told: records that the report was made.
    named
        Put the person's name and birth date on the draft.
    """
    site = site_named(acting.site)
    recipients = recipients_of(folder_of(home(), acting.site))
    if note is None:
        return _list(site, use.notes(site))
    found = use.note_of(site, note.strip())
    if told:
        act = doing(site, acting)
        return recorded(use.note_told(site, act, found.code, told), site, f"{told} was told")
    if acting.by:
        raise UnsaidError("a draft is nobody's act", advice="--told WHO records one")
    person = site.people.get(found.note.person) if named else None
    kind = None if found.note.is_error else _classified(found)
    recipient = recipient_of(kind, recipients) if kind else told_of(ERROR, recipients)
    rows = draft(found, site, recipient, person, kind)
    return Answer(
        data={"note": found.code, "draft": {key: value for key, value in rows if key}},
        text="\n".join(f"{key}: {value}" if key else value for key, value in rows),
        not_known=[key for key, value in rows if value.startswith("?")],
        csv=[("field", "value"), *rows],
    )


def _classified(found: use.Written) -> Classified:
    return classified(reaction_named(found.note.what), criteria_of(found.note.serious))


def _list(site: Any, found: list[use.Written]) -> Answer:
    rows = [row_of(each, site.zone, _SHORT) for each in found]
    text = table(ROW_HEAD, rows) if rows else "Nothing was noted."
    return Answer(
        data={
            "notes": [
                {
                    "note": each.code,
                    "person": each.note.person,
                    "what": each.note.what,
                    "error": each.note.is_error,
                    "serious": list(each.note.serious),
                    "at": written(from_ms(each.note.at_ms), site.zone),
                    "told": [told.to for told in each.note.told],
                }
                for each in found
            ]
        },
        text=text,
        csv=[ROW_HEAD, *rows],
    )
