"""`thawline stock`: what is where by the book, physical counts, and what is not found."""

from typing import Any

from cyclopts import App

from thawline.account.balance import sheet
from thawline.account.fold import parts_of
from thawline.app import closing
from thawline.cli.acting import doing, recorded
from thawline.cli.answers import Answer
from thawline.cli.asking import site_named
from thawline.cli.closeout import sheet_data
from thawline.cli.options import Acting
from thawline.cli.text import counted, table

app = App(name="stock", help="What is where by the book; physical counts; what is not found.")
NOBODY = Acting()


@app.command
def show(*, lot: str | None = None, site: str | None = None) -> Answer:
    """
    Show how many doses are where, by the book.

    thawline stock show --site harrowmint
    thawline stock show --lot ZZ-1041 --json

    Parameters
    ----------
    lot
        Only this lot.
    site
        The site's name; not needed where there is only one.
    """
    place = site_named(site)
    balances = closing.balances_of(place)
    held = [
        (*parts_of(key), balance.doses)
        for key, balance in sorted(balances.items())
        if balance.doses and lot in (None, parts_of(key)[1])
    ]
    rows = [[account, of_lot, f"{doses:,}"] for account, of_lot, doses in held]
    data: list[dict[str, Any]] = [
        {"place": account, "lot": of_lot, "doses": doses} for account, of_lot, doses in held
    ]
    whole = sheet(balances, lot)
    shown = table(["place", "lot", "doses"], rows, right=[2])
    return Answer(
        data={"places": data, "sheet": sheet_data(whole), "balances": whole.balances},
        text=f"{shown}\n{counted(whole.left, 'dose')} left by the book",
        csv=[["place", "lot", "doses"], *held],
    )


@app.command
def count(place: str, doses: int, *, lot: str, acting: Acting = NOBODY) -> Answer:
    """
    Record a physical count of doses; it is compared with the book.

    thawline stock count stock:freezer-1 880 --lot ZZ-1041 --by "Rowan Thistle"
    thawline stock count vial:HK47M 3 --lot ZZ-1041 --by "Rowan Thistle"

    Parameters
    ----------
    place
        The account, as `thawline stock show` names it.
    doses
        How many are there: vials times doses for sealed cartons.
    lot
        The lot that was counted.
    """
    site = site_named(acting.site)
    place = _as_written(place)
    outcome = closing.count(site, doing(site, acting), place, lot, doses)
    return recorded(outcome, site, f"{counted(doses, 'dose')} of lot {lot} counted in {place}")


@app.command
def missing(place: str, doses: int, *, lot: str, acting: Acting = NOBODY) -> Answer:
    """
    Record doses as not found, after two people have looked.

    thawline stock missing syringe:HK47M-07 1 --lot ZZ-1041 --why "looked everywhere" \
--by Rowan --countersign Bryony --pin 284651
    thawline stock missing stock:freezer-1 10 --lot ZZ-1041 --why "one vial short" --by Rowan

    Parameters
    ----------
    place
        The account that holds them by the book.
    doses
        How many are not there.
    lot
        Their lot.
    """
    site = site_named(acting.site)
    place = _as_written(place)
    outcome = closing.not_found(site, doing(site, acting), place, lot, doses)
    return recorded(outcome, site, f"{counted(doses, 'dose')} of {place} recorded as missing")


def _as_written(place: str) -> str:
    """Return the account with the code of a vial or syringe as it is written on its label."""
    kind, sign, code = place.strip().partition(":")
    return f"{kind}{sign}{code.upper()}" if kind in {"vial", "syringe"} else place.strip()
