"""`thawline doctor`: is this machine and this site in order."""

from cyclopts import App

from thawline.adapters import sites
from thawline.adapters.checkup import Look, look_at_machine, look_at_site
from thawline.adapters.time import now
from thawline.cli.answers import Answer
from thawline.cli.surroundings import home
from thawline.cli.text import table

app = App(name="doctor", help="Is this machine and this site in order?")


@app.default
def doctor(*, site: str | None = None) -> Answer:
    """
    Look at clock, zone, disk, SQLite, keys, protocol signatures and the whole ledger.

    thawline doctor
    thawline doctor --site harrowmint --json

    Parameters
    ----------
    site
        The site's name; every site here if left out.
    """
    at = now()
    looks: list[tuple[str, Look]] = [("-", look) for look in look_at_machine(home(), at)]
    for name in [site] if site else sites.names(home()):
        looks += [(name, look) for look in look_at_site(home(), name, at)]
    rows = [[where, look.what, look.seen, _state(look)] for where, look in looks]
    return Answer(
        data={
            "looks": [
                {
                    "site": None if where == "-" else where,
                    "what": look.what,
                    "seen": look.seen,
                    "findings": [finding.code for finding in look.findings],
                }
                for where, look in looks
            ]
        },
        text=table(["site", "what", "seen", ""], rows),
        alerts=[finding for _, look in looks for finding in look.findings],
    )


def _state(look: Look) -> str:
    return look.findings[0].level.capitalize() if look.findings else "in order"
