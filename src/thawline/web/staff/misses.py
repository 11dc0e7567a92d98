"""
Wrong PINs and passphrases: counted by name and place, so that one tablet locks nobody else out.

A try is counted before it is looked at, and the count ends when one fits. After five the
next waits a minute, then two, four and so on; after ten only the passphrase lets in.
Source: NIST SP 800-63B-4, 3.2.2 (a hundred at most), from memory.
"""

from datetime import timedelta
from math import ceil

from django.db import transaction

from thawline.base.instants import Instant
from thawline.web.staff.clock import wall
from thawline.web.staff.kept_secretly import kept
from thawline.web.staff.models import Missed

FREE = 5
PINS_AT_MOST = 10
AT_MOST = 100
_FIRST_WAIT = timedelta(seconds=60)
_LONGEST_WAIT = timedelta(hours=12)
_DOUBLED_AT_MOST = 10
_MINUTE_S = 60
PIN, PASSPHRASE, CODE = "pin", "passphrase", "code"


def refused_try(what: str, name: str, place: str) -> str:
    """Count a try and return ""; or say why there is none now, and until when."""
    now = wall()
    with transaction.atomic():
        row, _ = Missed.objects.get_or_create(
            what=what, name_hash=kept(_key(name)), place=place[:60]
        )
        if says := _refused(row, now):
            return says
        row.times += 1
        row.again_at = now + _wait(row.times)
        row.save()
    return ""


def fitted(what: str, name: str, place: str) -> None:
    """End the count: what was typed was right."""
    Missed.objects.filter(what=what, name_hash=kept(_key(name)), place=place[:60]).delete()


def forget(name: str) -> None:
    """End every count of a name, wherever it was: an admin lets them try again."""
    Missed.objects.filter(name_hash=kept(_key(name))).delete()


def _refused(row: Missed, now: Instant) -> str:
    if row.what == PIN and row.times >= PINS_AT_MOST:
        return "Ten wrong PINs. Come in with your passphrase, or ask who makes log-ins."
    if row.times >= AT_MOST:
        return "Too many wrong tries. Ask who makes log-ins."
    if row.times >= FREE and row.again_at is not None and now < row.again_at:
        minutes = ceil((row.again_at - now).total_seconds() / _MINUTE_S)
        return f"Too many wrong tries. Try again in {minutes} min."
    return ""


def _wait(times: int) -> timedelta:
    if times < FREE:
        return timedelta()
    return min(_LONGEST_WAIT, _FIRST_WAIT * (1 << min(times - FREE, _DOUBLED_AT_MOST)))


def _key(name: str) -> str:
    return " ".join(name.casefold().split())
