"""
The registry of everything that can be pressed: one entry an act, for pages, tablets and tests.

A form and a tablet send the same fields to the same act. What is not registered here cannot be
pressed; each act names the row of `rights.toml` that it needs.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from importlib import import_module
from typing import Any

from msgspec import Struct

from thawline.app.acts import Doing, Outcome
from thawline.app.ports import Site
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
    """

    name: str
    action: str
    form: type[Form]
    press: Callable[[Site, Doing, Any], Outcome]
    says: Callable[[Any, Outcome], str]
    own: Callable[[Site, Who, Any], bool] = lambda _site, _who, _form: True
    undone: bool = True
    fact: bool = False


@cache
def acts() -> Mapping[str, PageAct]:
    """
    Return every act by its name.

    Raises:
        ValueError: Two have one name.
    """
    found: dict[str, PageAct] = {}
    for act in _registered():
        if act.name in found:
            raise ValueError(f"two acts are called {act.name}")
        found[act.name] = act
    return found


def _registered() -> Iterator[PageAct]:
    for name in STATIONS:
        yield from import_module(f"thawline.web.stations.{name}").ACTS
