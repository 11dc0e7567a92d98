"""
The registry of everything that can be pressed: one entry an act, for pages, tablets and tests.

A form and a tablet send the same fields to the same act. What is not registered here cannot be
pressed; each act names the row of `rights.toml` that it needs.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from msgspec import Struct

from thawline.app.acts import Outcome
from thawline.app.ports import Site
from thawline.web.registry import registered
from thawline.web.who import Who

STATIONS = (
    "acts_at_table",
    "acts_on_vials",
    "acts_in_cold_store",
    "acts_at_close_out",
    "carries",
    "thaw_plan",
    "lot_page",
    "acts_of_everybody",
    "acts_on_people",
    "acts_on_tablets",
    "acts_on_the_site",
    "acts_of_observing",
    "acts_at_the_chair",
    "acts_at_the_desk",
    "acts_of_screening",
    "acts_on_reactions",
    "call_sheets",
    "handover",
    "journal",
    "second_doses",
    "standby",
)
"""The modules of `web.stations` that register acts."""


class Form(Struct, frozen=True, forbid_unknown_fields=True):
    """The fields of an act; every field is text, a whole number or yes and no."""


@dataclass(frozen=True, slots=True)
class PageAct:
    """
    One act.

    Args:
        name: In the address, small letters and hyphens.
        action: The row of the table of rights.
        form: Its fields.
        press: The use case; gets the site, who does what when, and the form.
        says: What the line of undo says of it, in a few words.
        own: Whether this is at the person's own station, or about their own record.
        undone: Whether the line offers to undo it.
        fact: It has happened when it is pressed: the rules can no longer refuse it.
        pinned: The use case itself looks at the PIN, and gets it after the form.
    """

    name: str
    action: str
    form: type[Form]
    press: Callable[..., Outcome]
    says: Callable[[Any, Outcome], str]
    own: Callable[[Site, Who, Any], bool] = lambda _site, _who, _form: True
    undone: bool = True
    fact: bool = False
    pinned: bool = False


@cache
def acts() -> Mapping[str, PageAct]:
    """
    Return every act by its name.

    Raises:
        ValueError: Two have one name.
    """
    return registered(STATIONS, "ACTS", _name)


def _name(act: PageAct) -> str:
    return act.name
