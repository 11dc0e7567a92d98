"""Who typed their PIN on which tablet this shift: from then on their badge is enough there."""

from datetime import timedelta

from thawline.web.staff.clock import wall
from thawline.web.staff.models import OnShift, Staff, Tablet

LASTS = timedelta(hours=12)


def begin(staff: Staff, tablet: Tablet) -> None:
    """Let somebody's badge be enough on a tablet until the shift ends."""
    OnShift.objects.update_or_create(
        staff=staff, tablet=tablet, defaults={"ends_at": wall() + LASTS}
    )


def is_on(staff: Staff, tablet: Tablet) -> bool:
    """Say whether somebody's badge is enough on a tablet now."""
    return OnShift.objects.filter(staff=staff, tablet=tablet, ends_at__gt=wall()).exists()


def end_all(staff: Staff) -> None:
    """Let somebody type their PIN again everywhere."""
    OnShift.objects.filter(staff=staff).delete()
