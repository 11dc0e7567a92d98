"""
Whose press it is, when it is sent later: a signed word that the page carries.

A press that waits on a tablet belongs to whoever was at the screen when the finger touched,
not to whoever is there when it is sent. The word holds a number, no name, and is good for a
day; another person's is taken only from the enrolled tablet on which it was given out.
"""

from django.core import signing
from django.http import HttpRequest

from thawline.web.denied import DeniedError
from thawline.web.staff.models import Staff
from thawline.web.staff.sign_offs import current_roles
from thawline.web.who import Who, who

_SALT = "thawline.presser"
_DAY_S = 24 * 3600


def presser_word(request: HttpRequest) -> str:
    """Return the word for the page that is shown; empty where nobody is logged in."""
    looks = who(request)
    if not isinstance(request.user, Staff) or not looks.name:
        return ""
    told = [request.user.pk, looks.device, looks.station]
    return signing.dumps(told, salt=_SALT, compress=False)


def presser(request: HttpRequest, word: str) -> Who:
    """
    Return who pressed.

    Raises:
        DeniedError: The word is another person's and not of this tablet, or is none of ours.
    """
    looks = who(request)
    if not word or not looks.name or looks.locked:
        return looks
    try:
        key, device, station = signing.loads(word, salt=_SALT, max_age=_DAY_S)
    except signing.BadSignature as error:
        raise DeniedError("person", "nobody knows who pressed this: press it again") from error
    if isinstance(request.user, Staff) and request.user.pk == key:
        return looks
    staff = Staff.objects.filter(pk=key, is_active=True).first()
    if staff is None or not device or device != looks.device:
        name = "whoever pressed it" if staff is None else staff.name
        raise DeniedError("person", f"this entry waits here until {name} logs in")
    return Who(staff.name, current_roles(staff), device, station)
