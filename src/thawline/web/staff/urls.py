"""The addresses of the door: anybody may ask for them, and what is asked says who goes on."""

from collections.abc import Callable

from django.http import HttpResponse

from thawline.web.staff import beginning, door

ADDRESSES: tuple[tuple[str, Callable[..., HttpResponse]], ...] = (
    ("door", door.door),
    ("lock", door.lock),
    ("touched", door.touched),
    ("leave", door.leave),
    ("enrol", beginning.enrol),
    ("begin", beginning.begin),
    ("authority.pem", beginning.authority),
)
