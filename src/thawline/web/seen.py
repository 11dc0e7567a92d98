"""
Where a page shows who somebody is: only to those who may see it, and one place to audit.

Codes stand everywhere else. Whoever has to type a PIN to see names sees none on a page.
"""

from thawline.app.ports import Name
from thawline.web.around import Around
from thawline.web.rights import Way

_ACTION = "see-identity"


def may_see_names(round_: Around) -> bool:
    """Say whether whoever is at the screen sees names on it."""
    return round_.who.way(_ACTION) >= Way.OWN


def name_of(round_: Around, person: str) -> Name | None:
    """Return who a person is, to be shown; None where it may not be, or is not kept."""
    if not may_see_names(round_):
        return None
    name = round_.site.people.get(person)
    if name is not None:
        saw_identity(round_, person)
    return name


def saw_identity(round_: Around, person: str) -> None:
    """Note that somebody saw who a person is; the audit of reads will stand here."""
