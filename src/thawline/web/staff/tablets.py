"""Tablets of the site: enrolled by a code, known by a cookie, revoked at once."""

from datetime import timedelta

from django.db import IntegrityError, transaction
from django.http import HttpRequest, HttpResponse

from thawline.base.errors import NotFoundError, RecordError
from thawline.base.instants import instant
from thawline.web.staff.clock import wall
from thawline.web.staff.codes import Opened
from thawline.web.staff.kept_secretly import kept, tablet_secret
from thawline.web.staff.models import Tablet

COOKIE = "__Host-tablet"
HEARD_EVERY = timedelta(seconds=60)
_YEAR_S = 365 * 24 * 3600


def enrol(opened: Opened) -> str:
    """
    Make the tablet a site's own; return the secret for its cookie.

    Raises:
        RecordError: Another tablet that is not revoked has that name.
    """
    secret, now = tablet_secret(), wall()
    with transaction.atomic():
        Tablet.objects.filter(name=opened.about, is_revoked=True).delete()
        try:
            Tablet.objects.create(
                name=opened.about,
                station=opened.station,
                secret_hash=kept(secret),
                enrolled_at=now,
                enrolled_by=opened.by,
                heard_at=now,
            )
        except IntegrityError as error:
            raise RecordError(
                f"there is a tablet {opened.about} already", advice="revoke it first"
            ) from error
    return secret


def enrolled(name: str) -> Tablet:
    """Return the tablet of that name; NotFoundError for none, or one that was revoked."""
    found = Tablet.objects.filter(name=name, is_revoked=False).first()
    if found is None:
        raise NotFoundError(f"no tablet {name!r} is enrolled", advice="Set-up lists them")
    return found


def revoke(name: str) -> None:
    """Let a tablet be nobody's: what it sends from now on is a stranger's."""
    tablet = enrolled(name)
    tablet.is_revoked = True
    tablet.save(update_fields=["is_revoked"])


def place(name: str, station: str) -> None:
    """Say at which station a tablet stands."""
    tablet = enrolled(name)
    tablet.station = station
    tablet.save(update_fields=["station"])


def give_cookie(response: HttpResponse, secret: str) -> None:
    """Let the tablet keep its secret."""
    response.set_cookie(
        COOKIE, secret, max_age=_YEAR_S, secure=True, httponly=True, samesite="Strict"
    )


def tablet_of(request: HttpRequest) -> Tablet | None:
    """Return the tablet that asks, and note that it was heard; None: it is not enrolled."""
    secret = request.COOKIES.get(COOKIE)
    if not secret:
        return None
    found = Tablet.objects.filter(secret_hash=kept(secret), is_revoked=False).first()
    now = wall()
    if found is not None and now - instant(found.heard_at) >= HEARD_EVERY:
        Tablet.objects.filter(pk=found.pk).update(heard_at=now)
    return found
