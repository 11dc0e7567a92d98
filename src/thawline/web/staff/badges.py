"""Whose badge a scanned text is."""

from thawline.web.staff.models import Staff


def bears_badge(text: str) -> bool:
    """Say whether somebody who may log in here has a badge of that text."""
    return Staff.objects.filter(badge=text, is_active=True).exists()
