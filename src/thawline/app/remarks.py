"""A remark for the journal: what was settled about the site's people, tablets and access."""

from thawline.app.acts import Doing, Outcome, act
from thawline.app.ports import Site
from thawline.base.errors import UnsaidError
from thawline.ledger.entries import Decision, Kind, View
from thawline.ledger.events import Noted


def remark(site: Site, doing: Doing, command: str, says: str) -> Outcome:
    """
    Write a remark; `command` is what was asked for, as in "sign-off".

    Raises:
        UnsaidError: It says nothing.
    """
    said = " ".join(says.split())
    if not said:
        raise UnsaidError("an empty remark", advice="say what happened")

    def decide(_view: View) -> Decision:
        return Decision(Noted(says=said))

    return act(site, doing, {"command": command, "says": said}, decide, kind=Kind.NOTE)
