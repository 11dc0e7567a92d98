"""What a form must ask for besides its fields: the PIN again, or a second person."""

from django import template

from thawline.web.acts import acts
from thawline.web.rights import Way
from thawline.web.who import Who

register = template.Library()


@register.filter
def asks(who: Who, act: str) -> str:
    """Return "pin" or "two" where an act asks this person for more, "no" where it is denied."""
    asked = who.way(acts()[act].action)
    return {Way.PIN: "pin", Way.TWO: "two", Way.DENIED: "no"}.get(asked, "")


@register.filter
def sees(who: Who, action: str) -> bool:
    """Say whether a row of the table of rights lets somebody, in any way."""
    return who.may(action)
