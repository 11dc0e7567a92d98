"""`thawline journal`: everything recorded; list, show, undo, correct, verify."""

from cyclopts import App

from thawline.adapters import sites
from thawline.app import journal
from thawline.cli.answers import Answer
from thawline.cli.asking import moment, site_named
from thawline.cli.journal_pages import COLUMNS, entry_data, listed, page, rows
from thawline.cli.options import Acting
from thawline.cli.surroundings import home
from thawline.cli.text import counted
from thawline.ledger.entries import Kind
from thawline.ledger.heads import short

app = App(name="journal", help="Everything recorded: list, show, undo, correct, verify.")
NOBODY = Acting()
app.command("thawline.cli.journal_acts:undo", name="undo")
app.command("thawline.cli.journal_acts:correct", name="correct")
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
    from thawline.adapters.whole_record import record_of  # noqa: PLC0415  reads keys

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
