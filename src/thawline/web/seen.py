"""
Where a page shows who somebody is: names only for those who may see them, each look noted.

Codes stand everywhere else. Whoever has to type a PIN to see names sees none on a page. What a
use case looks up to answer a question, and no page shows, is asked of `unseen` and is no look.
"""

from thawline.app.ports import Name, Site
from thawline.web.around import Around
from thawline.web.here import here
from thawline.web.rights import Way

_ACTION = "see-identity"


def may_see_names(round_: Around) -> bool:
    """Say whether whoever is at the screen sees names on it."""
    return round_.who.way(_ACTION) >= Way.OWN


def name_of(round_: Around, person: str) -> Name | None:
    """Return who a person is, to be shown; None where it may not be, or is not kept."""
    if not may_see_names(round_):
        return None
    return saw_identity(round_, person)


def saw_identity(round_: Around, person: str) -> Name | None:
    """Return who a person is, and note that somebody saw it."""
    return round_.site.people.get(person)


def unseen() -> Site:
    """Return the site for questions whose answers show nobody's name."""
    return here()
