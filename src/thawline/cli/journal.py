"""`thawline journal`: everything recorded; list, show, undo, correct, verify."""

from typing import Annotated
from zoneinfo import ZoneInfo

from cyclopts import App, Parameter

from thawline.adapters import sites
from thawline.app import journal, mending
from thawline.base.errors import RecordError, UnsaidError
from thawline.base.instants import Instant, Occurred, exactly, to_ms
from thawline.cli.acting import doing, moment, recorded, site_named
from thawline.cli.answers import Answer
from thawline.cli.journal_pages import COLUMNS, entry_data, listed, page, rows
from thawline.cli.options import Acting
from thawline.cli.surroundings import home
from thawline.cli.text import NONE, counted
from thawline.ledger.entries import Kind
from thawline.ledger.heads import short

app = App(name="journal", help="Everything recorded: list, show, undo, correct, verify.")
NOBODY = Acting()
_MOST = 50


@app.command(name="list")
def list_entries(
    *,
    since: str | None = None,
    kind: Kind | None = None,
    vial: str | None = None,
    person: str | None = None,
    most: int = _MOST,
    site: str | None = None,
) -> Answer:
    """
    List what was recorded, the newest entries, oldest of them first.

    thawline journal list --since 13:00 --vial HK47M
    thawline journal list --kind refusal --most 200 --json

    Parameters
    ----------
    since
        Only what was recorded from then on: 13:00 today, a date, or a full time.
    kind
        fact, command, refusal, note or correction.
    vial
        Only what touches this vial or a syringe drawn from it.
    person
        Only what touches this person.
    most
        At most so many.
    site
        The site's name; not needed where there is only one.
    """
    here = site_named(site)
    now = here.now()
    start = None if since is None else moment(since, now, here.zone)
    wanted = journal.Wanted(most=most, since=start, kind=kind, vial=vial, person=person)
    entries = journal.listed(here, wanted)
    return Answer(
        data={"site": here.name, "entries": [entry_data(each, here.zone) for each in entries]},
        text=listed(entries, here.zone, now),
        csv=[COLUMNS, *rows(entries, here.zone, now)],
    )


@app.command
def show(entry: str, *, site: str | None = None) -> Answer:
    """
    Show one entry: as it was written, and what it counts as now.

    thawline journal show 42
    thawline journal show 019c2a41-7c1e-7d3a-9a55-0c2f5d1a7b10 --json

    Parameters
    ----------
    entry
        The entry's number or id.
    site
        The site's name; not needed where there is only one.
    """
    here = site_named(site)
    found = journal.shown(here, entry)
    now = found.counts_as
    data = {
        "site": here.name,
        "entry": entry_data(found.entry, here.zone),
        "counts": now is not None,
        "counts_as": None if now is None else entry_data(now, here.zone),
        "correction": found.correction and entry_data(found.correction, here.zone),
    }
    return Answer(data, page(found, here.zone), protocol=found.entry.protocol)


@app.command
def undo(entry: str, *, acting: Acting = NOBODY) -> Answer:
    """
    Let an entry count as not having happened; it stays in the journal.

    thawline journal undo 42 --by "Hazel Rainmoor" --why "wrong vial scanned"
    thawline journal undo 42 --by Hazel --why "wrong lot" --countersign Bryony --pin 284651

    Only while nothing later was recorded on its account; after that, correct it. What buys a
    vial time needs a second person by their own PIN.

    Parameters
    ----------
    entry
        The entry's number or id.
    """
    site = site_named(acting.site)
    outcome = mending.undo(site, doing(site, acting), entry)
    return recorded(outcome, site, f"entry {entry} is undone", {"entry": entry})


@app.command
def correct(
    entry: str,
    *,
    set_: Annotated[list[str] | None, Parameter(name="--set")] = None,
    acting: Acting = NOBODY,
) -> Answer:
    """
    Let an entry count as one with other values, or at another time; it stays as written too.

    thawline journal correct 42 --set vial=RA93P --by "Hazel Rainmoor" --why "read wrongly"
    thawline journal correct 42 --set at=10:04 --by Hazel --why "clock was wrong"

    --set at=… and --set until=… say when it happened; a "-" means none, commas part a list.
    What buys a vial time needs a second person by their own PIN.

    Parameters
    ----------
    entry
        The entry's number or id.
    set_
        A field and its right value, as vial=RA93P; may be given several times.
    """
    site = site_named(acting.site)
    now = site.now()
    changes = dict(_pair(text) for text in set_ or [])
    occurred = _occurred(changes, now, site.zone)
    values = {name: _value(name, text, now, site.zone) for name, text in changes.items()}
    outcome = mending.correct(site, doing(site, acting), entry, values, occurred)
    return recorded(outcome, site, f"entry {entry} is corrected", {"entry": entry})


@app.command
def verify(*, site: str | None = None) -> Answer:
    """
    Look at everything: each entry's bytes and link, receipts, signed heads, all states.

    thawline journal verify
    thawline journal verify --site harrowmint --json

    Parameters
    ----------
    site
        The site's name; not needed where there is only one.
    """
    from thawline.adapters.upkeep import record_of  # noqa: PLC0415  opens keys

    record = record_of(sites.folder_of(home(), site))
    found = record.ledger.verify(record.is_signed)
    in_order = not found.findings
    says = (
        f"{counted(found.entries, 'entry', 'entries')}, all as they were written.\n"
        f"Head {found.head.seq} of epoch {found.head.epoch}: {short(found.head.hash)}\n"
        f"Signed up to entry {found.signed_upto}."
        if in_order
        else "The ledger is damaged. Write nothing; keep the folder as it is."
    )
    return Answer(
        data={
            "site": record.folder.name,
            "in_order": in_order,
            "entries": found.entries,
            "epoch": found.head.epoch if in_order else None,
            "seq": found.head.seq if in_order else None,
            "head": found.head.hash.hex() if in_order else None,
            "short": short(found.head.hash) if in_order else None,
            "signed_heads": found.signed_heads,
            "signed_upto_seq": found.signed_upto,
        },
        text=says,
        alerts=found.findings,
        not_known=[] if in_order else ["epoch", "seq", "head", "short"],
    )


def _pair(text: str) -> tuple[str, str]:
    name, sign, value = text.partition("=")
    if not sign or not name.strip():
        raise RecordError(
            f"not a field and its value: {text!r}", advice="as in --set vial=RA93P"
        )
    return name.strip(), value.strip()


def _occurred(changes: dict[str, str], now: Instant, zone: ZoneInfo) -> Occurred | None:
    """Take when it happened out of the changes; None if nothing was said about it."""
    at, until = changes.pop("at", None), changes.pop("until", None)
    if at is None:
        if until is not None:
            raise UnsaidError("until when, but from when?", advice="add --set at=TIME")
        return None
    start = moment(at, now, zone)
    return exactly(start) if until is None else Occurred(start, moment(until, now, zone))


def _value(name: str, text: str, now: Instant, zone: ZoneInfo) -> str:
    """Return the value as the event holds it: a time typed as people do, in milliseconds."""
    is_typed_time = name.endswith("_ms") and text != NONE and not text.isdecimal()
    return str(to_ms(moment(text, now, zone))) if is_typed_time else text
