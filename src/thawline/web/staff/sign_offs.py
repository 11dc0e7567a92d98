"""Who is signed off for which role, until which day; a role counts only while that lasts."""

from datetime import date, timedelta

from django.db import transaction

from thawline.base.errors import NotFoundError, RecordError
from thawline.base.instants import local_date
from thawline.base.roles import Role
from thawline.web.here import here
from thawline.web.staff.known import known
from thawline.web.staff.models import SignOff, Staff

LONGEST = timedelta(days=366)


def today() -> date:
    """Return the local date at the site."""
    site = here()
    return local_date(site.now(), site.zone)


def current_roles(staff: Staff) -> frozenset[Role]:
    """Return the roles somebody is signed off for today."""
    found, day = known(staff.pk), today()
    return (
        frozenset(Role(role) for role, until in found.sign_offs if until >= day)
        if found
        else frozenset()
    )


def roles_of(name: str) -> frozenset[Role]:
    """Return the current roles of somebody by name; none for whoever has no log-in now."""
    found = named(name)
    return current_roles(found) if found is not None and found.is_active else frozenset()


def named(text: str) -> Staff | None:
    """Return who has that name, in capitals or not, or that badge; None for nobody."""
    asked = " ".join(text.split())
    if not asked:
        return None
    by_badge = Staff.objects.filter(badge=asked).first()
    return by_badge or Staff.objects.filter(name__iexact=asked).first()


def employed(name: str) -> Staff:
    """Return who has that name; NotFoundError for nobody."""
    found = named(name)
    if found is None:
        raise NotFoundError(f"nobody here is called {name!r}", advice="Set-up lists log-ins")
    return found


def someone_is(*roles: Role) -> bool:
    """Say whether anybody who may come in is signed off for one of these roles today."""
    return SignOff.objects.filter(
        role__in=[role.value for role in roles], until__gte=today(), staff__is_active=True
    ).exists()


@transaction.atomic
def sign_off(staff: Staff, role: Role, until: date, by: str) -> None:
    """
    Sign somebody off for a role until a day, that day included.

    Raises:
        RecordError: They sign themselves off, or the day is past or too far away.
    """
    if staff.name.casefold().split() == by.casefold().split():
        raise RecordError("nobody signs themselves off", advice="ask another trainer or lead")
    if not today() <= until <= today() + LONGEST:
        raise RecordError(
            f"until {until.isoformat()}: a day from today on, within a year",
            advice="choose another day",
        )
    SignOff.objects.update_or_create(
        staff=staff, role=role.value, defaults={"until": until, "by": by}
    )


def end_sign_off(staff: Staff, role: Role) -> None:
    """End a sign-off now; NotFoundError where there is none."""
    gone, _ = SignOff.objects.filter(staff=staff, role=role.value).delete()
    if not gone:
        raise NotFoundError(f"{staff.name} is not signed off as {role.value}")
