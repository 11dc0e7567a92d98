"""The draft of a report on paper: what is known, what is not, and that a clinician decides."""

from zoneinfo import ZoneInfo

from thawline.app.ports import Name, Site
from thawline.app.reactions import Written
from thawline.base.instants import from_ms, written
from thawline.observe.reaction_fold import Note
from thawline.report.reactions import CRITERIA, Classified, Criterion, Recipient

ROW_HEAD = ("note", "noted", "person", "what", "serious", "reported to")
_UNKNOWN = "? (not known)"


def row_of(found: Written, zone: ZoneInfo, short: int) -> tuple[str, ...]:
    """Return a note as a row of the list."""
    note = found.note
    what = f"error: {note.what}" if note.is_error else note.what
    serious = ", ".join(note.serious) or ("-" if note.is_error else "no")
    told = ", ".join(each.to for each in note.told) or "nobody yet"
    at = written(from_ms(note.at_ms), zone)[:16].replace("T", " ")
    return (found.code[:short], at, note.person, what, serious, told)


def draft(
    found: Written,
    site: Site,
    recipient: Recipient | None,
    person: Name | None,
    kind: Classified | None,
) -> list[tuple[str, str]]:
    """Return the draft as fields; a value that begins with ? is not known."""
    return [
        ("", "REPORT - DRAFT, not sent to anybody. A clinician decides and signs."),
        ("to", _to(recipient)),
        ("site", f"{site.name}{' (DEMO, all invented)' if site.demo else ''}"),
        *_who(found, person),
        *(_error(found) if kind is None else _reaction(found, site.zone, kind)),
        *_dose(found, site.zone),
        ("noted", f"{written(from_ms(found.note.at_ms), site.zone)} by {found.note.by}"),
        ("told already", ", ".join(each.to for each in found.note.told) or "nobody"),
        ("how it went on", "____________"),
        ("signed", "____________"),
    ]


def _to(recipient: Recipient | None) -> str:
    if recipient is None:
        return "? (site.toml has no [[reports]] for this: ask the health unit)"
    return f"{recipient.to}; {within(recipient)}"


def within(recipient: Recipient) -> str:
    """Return by when a site wants it told; its own hours, or that it says none."""
    if recipient.within_h is None:
        return "no time is set here"
    return f"within {recipient.within_h} h, set by this site"


def _who(found: Written, person: Name | None) -> list[tuple[str, str]]:
    rows = [("person", found.note.person)]
    if person is not None:
        rows += [("name", person.called or _UNKNOWN), ("born", str(person.born or _UNKNOWN))]
    return rows


def _reaction(found: Written, zone: ZoneInfo, kind: Classified) -> list[tuple[str, str]]:
    met = kind.criteria
    expected = {None: _UNKNOWN, True: "yes, listed", False: "no"}[kind.expected]
    criteria = " ".join(CRITERIA[Criterion(each)] for each in met) or "none was said"
    return [
        ("what", kind.reaction.says),
        ("began", _began(found.note, zone)),
        ("after the dose", _after(found)),
        ("serious", f"{'yes' if met else 'no'}: {criteria}"),
        ("expected", expected),
        ("reported because", "; ".join(kind.reasons) or "not required; may be reported"),
    ]


def _began(note: Note, zone: ZoneInfo) -> str:
    """Return when it began; where only a day was said, from when until when."""
    if note.began_ms is None:
        return _UNKNOWN
    first = written(from_ms(note.began_ms), zone)
    if note.began_by_ms in {None, note.began_ms}:
        return first
    return f"between {first} and {written(from_ms(note.began_by_ms or 0), zone)}"


def _after(found: Written) -> str:
    """Return the time from the dose to the beginning, as a range where it is one."""
    began_ms, by_ms = found.note.began_ms, found.note.began_by_ms
    if began_ms is None or found.dose is None:
        return _UNKNOWN
    longest = ((began_ms if by_ms is None else by_ms) - found.dose.lo_ms) // 60_000
    shortest = max((began_ms - found.dose.hi_ms) // 60_000, 0)
    if longest == shortest:
        return f"{longest} min"
    return f"at least {shortest} min, at most {longest} min"


def _error(found: Written) -> list[tuple[str, str]]:
    return [
        ("what", f"administration error: {found.note.what}"),
        ("day of the dose", found.note.given_on or _UNKNOWN),
        ("repeat", found.note.repeat or "? (the table does not say: ask the clinical lead)"),
        ("item", found.note.item or _UNKNOWN),
        ("harm seen", "____________"),
    ]


def _dose(found: Written, zone: ZoneInfo) -> list[tuple[str, str]]:
    dose = found.dose
    if dose is None:
        return [("dose", _UNKNOWN), ("lot", _UNKNOWN)]
    return [
        ("dose", f"{dose.dose_number}, given {written(from_ms(dose.hi_ms), zone)}"),
        ("lot", dose.lot or _UNKNOWN),
        ("vial", dose.vial or _UNKNOWN),
        ("arm", dose.arm or _UNKNOWN),
    ]
