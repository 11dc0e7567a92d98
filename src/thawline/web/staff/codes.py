"""Codes that are good once and for ten minutes: for a new tablet, and for a person's start."""

from dataclasses import dataclass
from datetime import timedelta
from uuid import UUID

from django.db import transaction

from thawline.web.staff.clock import wall
from thawline.web.staff.kept_secretly import code_of, kept, typed
from thawline.web.staff.models import Code

LASTS = timedelta(minutes=10)
TABLET, PERSON, FIRST = "tablet", "person", "first"
"""What a code opens: enrolment, somebody's own PIN and passphrase, the first log-in of all."""


@dataclass(frozen=True, slots=True)
class Opened:
    """What a code that fitted opens, about which tablet or person, and who gave it out."""

    opens: str
    about: str
    station: str
    by: str


@dataclass(frozen=True, slots=True)
class Handed:
    """A code that is still good."""

    code: str
    opens: str
    about: str
    minutes_left: int


def hand_out(act_id: UUID, opened: Opened) -> str:
    """Return a code, good once and for ten minutes; older ones for the same end with it."""
    made = code_of(act_id)
    with transaction.atomic():
        if not Code.objects.filter(act_id=act_id).exists():
            Code.objects.filter(opens=opened.opens, about=opened.about).delete()
            Code.objects.create(
                code_hash=kept(made),
                act_id=act_id,
                opens=opened.opens,
                about=opened.about,
                station=opened.station,
                by=opened.by,
                ends_at=wall() + LASTS,
            )
    return made


def use_up(text: str, *opens: str) -> Opened | None:
    """Use a code up and return what it opens; None: it is none, or old, or used."""
    with transaction.atomic():
        found = Code.objects.filter(
            code_hash=kept(typed(text)), opens__in=opens, is_used=False, ends_at__gt=wall()
        ).first()
        if found is None:
            return None
        found.is_used = True
        found.save(update_fields=["is_used"])
    return Opened(found.opens, found.about, found.station, found.by)


def still_good(opens: str) -> list[Handed]:
    """Return the codes of a kind that nobody used yet, the oldest first."""
    now = wall()
    rows = Code.objects.filter(opens=opens, is_used=False, ends_at__gt=now).order_by("ends_at")
    return [
        Handed(
            code_of(row.act_id),
            row.opens,
            row.about,
            max(1, round((row.ends_at - now) / timedelta(minutes=1))),
        )
        for row in rows
    ]
