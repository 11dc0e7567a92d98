"""`thawline serve`: a site's screens, for its laptop and its tablets."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

from cyclopts import App, Parameter

from thawline.adapters import addresses, sites
from thawline.adapters.time import now
from thawline.adapters.wiring import FOLDS, open_site
from thawline.app.ports import Site
from thawline.base.errors import RecordError, RefusedError
from thawline.base.findings import Finding, Level
from thawline.base.instants import local_date
from thawline.cli.answers import Answer, alert_lines
from thawline.cli.surroundings import home, note_demo
from thawline.cli.text import table
from thawline.ledger.site import KEY, SITE

if TYPE_CHECKING:
    from thawline.adapters.authority import Papers
    from thawline.web.serving import WaysIn

Yes = Annotated[bool, Parameter(negative="")]
app = App(name="serve", help="Serve a site's screens to its laptop and tablets.")
PORT = 8443
_PORTS = range(1, 65536)


@app.default
def serve(
    *,
    site: str | None = None,
    host: str = "localhost",
    port: int = PORT,
    new_authority: Yes = False,
) -> Answer:
    """
    Serve a site's screens until Ctrl-C; prints the address and opens nothing by itself.

    thawline serve --home build/rehearsal
    thawline serve --site harrowmint --host 0.0.0.0 --port 8443

    The first start makes the site's own authority, which tablets are told to trust. The whole
    record is looked through before anything is served.

    Parameters
    ----------
    site
        The site's name; not needed where there is only one.
    host
        This machine's address on the site's network, for tablets; 0.0.0.0 means all it has.
    port
        The port to listen at.
    new_authority
        Put the authority aside and make another; every tablet is enrolled again.
    """
    folder = sites.folder_of(home(), site)
    place = open_site(home(), folder.name)
    note_demo(is_demo=place.demo)
    names = addresses.names_for(host)
    _refuse_taken(names, host, port)
    found = _look_through(folder, place)
    papers = _papers(folder, names, anew=new_authority)

    from thawline.web import serving  # noqa: PLC0415  Django, only here

    serving.prepare(folder, ",".join(names))
    ways = serving.ways_in(folder, demo=place.demo)
    told = [f"https://{name}:{port}/" for name in names]
    _say(place, told, papers, ways, found)
    serving.serve(serving.Where(_listens(host), port, papers.certificate, papers.key))
    return Answer(
        data={"site": folder.name, "addresses": told, "fingerprint": papers.fingerprint},
        text="Stopped. Nothing that was answered is missing.",
        found=False,
    )


def _listens(host: str) -> str:
    return "127.0.0.1" if host.casefold() in addresses.OWN else host


def _refuse_taken(names: tuple[str, ...], host: str, port: int) -> None:
    """Raise where nothing can listen there."""
    if port not in _PORTS:
        raise RecordError(f"not a port: {port}", advice="as in --port 8443")
    try:
        free = addresses.is_free(_listens(host), port)
    except PermissionError as error:
        raise RecordError(
            f"this user may not listen at port {port}", advice="as in --port 8443"
        ) from error
    except OSError as error:
        raise RecordError(
            f"this machine has no address {host}: {error.strerror or error}",
            advice="--host 0.0.0.0 listens at all it has",
        ) from error
    if not free:
        raise RecordError(
            f"port {port} at {names[0]} is taken: another server runs there",
            advice=f"stop it, or add --port {port + 1}",
        )


def _look_through(folder: Path, place: Site) -> tuple[Finding, ...]:
    """
    Return what is to be said about the site, looked through as a whole.

    Raises:
        RecordError: No protocol is adopted, or the folder cannot be written.
        RefusedError: The record is not in order.
    """
    from thawline.adapters.db.gate import gate  # noqa: PLC0415  heavy, only here
    from thawline.adapters.keys import site_checker  # noqa: PLC0415  likewise

    _refuse_unwritable(folder)
    found = gate(folder, FOLDS, place.now(), site_checker(folder / sites.KEYS))
    if stops := [one for one in found if one.level is Level.STOP]:
        raise RefusedError(stops, advice="thawline doctor")
    with place.ledger.view() as view:
        state = view.one(SITE, KEY)
    if state is None or not state.adopted:
        raise RecordError(
            f"no protocol is adopted at {folder.name}, and without one nothing can be decided",
            advice=f"thawline protocol adopt FILE --site {folder.name} --by NAME",
        )
    return found


def _refuse_unwritable(folder: Path) -> None:
    tried = folder / sites.KEYS / ".written"
    try:
        tried.touch()
        tried.unlink()
    except OSError as error:
        raise RecordError(
            f"folder {folder.name} cannot be written: {error.strerror or error}",
            advice="serve as the user to whom it belongs",
        ) from error


def _papers(folder: Path, names: tuple[str, ...], *, anew: bool) -> "Papers":
    from thawline.adapters import authority  # noqa: PLC0415  cryptography, only here

    keys = folder / sites.KEYS
    if anew:
        authority.put_aside(keys)
    return authority.papers(keys, folder.name, names, now())


def _say(
    place: Site,
    told: list[str],
    papers: "Papers",
    ways: "WaysIn",
    found: tuple[Finding, ...],
) -> None:
    """Say, before the server runs, how it is reached and who comes in how."""
    ends = local_date(papers.authority_ends, place.zone)
    first = "DEMO. " if place.demo else ""
    lines = [
        f"{first}{place.name} is served at {told[0]} until Ctrl-C.",
        *(f"Also at {address}" for address in told[1:]),
        "",
        *_trust(told, papers, f"{ends:%Y-%m-%d}"),
        "",
        *_ways(told[0], ways),
        *alert_lines(found),
    ]
    sys.stdout.write("\n".join(lines).rstrip() + "\n")
    sys.stdout.flush()


def _trust(told: list[str], papers: "Papers", ends: str) -> list[str]:
    if told[0].startswith("https://localhost"):
        reach = (
            "Reached from this machine only. For tablets: --host with its address, or 0.0.0.0."
        )
    else:
        reach = f"Tablets: open {told[0]}enrol with a code from Set-up."
    return [
        reach,
        f"They trust the site's own authority, {papers.authority.name} in its folder for keys,",
        f"until {ends}. Its fingerprint (SHA-256):",
        papers.fingerprint[:47],
        papers.fingerprint[48:],
    ]


def _ways(address: str, ways: "WaysIn") -> list[str]:
    if ways.code:
        return [
            f"Nobody has a log-in yet. Open {address}begin within ten minutes and type",
            f"the code {ways.code}. Whoever does makes log-ins and enrols tablets.",
        ]
    if not ways.crew:
        return []
    rows = [[one.role, one.name, one.pin, one.badge] for one in ways.crew]
    return [
        f"DEMO log-ins, all invented; passphrase of each: {ways.passphrase}",
        table(["role", "name", "PIN", "badge"], rows),
        "",
    ]
