"""
The registry of screens: one entry a page, with the row of the table of rights that it needs.

A role opens on its own screen and has at most six entries in its menu, always in one order.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache

from django.http import HttpResponse

from thawline.base.roles import Role
from thawline.web.registry import registered
from thawline.web.rights import Way, way
from thawline.web.who import Who

STATIONS = (
    "today",
    "vials",
    "vial_page",
    "lot_page",
    "draw_table",
    "scanner_test",
    "command_cards",
    "team",
    "set_up",
    "who_looked",
    "glass_screen",
    "cold_store",
    "close_out",
    "carries",
    "thaw_plan",
    "last_vial",
    "replay",
    "call_sheets",
    "chair",
    "emergency",
    "front_desk",
    "handover",
    "journal",
    "observation",
    "paper_pack",
    "protocol",
    "reactions",
    "screening",
    "second_doses",
    "standby",
)
"""The modules of `web.stations` that show a screen."""

_MENUS: Mapping[Role, tuple[str, ...]] = {
    Role.SITE_LEAD: ("today", "vials", "last-vial", "standby-list", "close-out", "journal"),
    Role.VACCINE_COORDINATOR: (
        *("vials", "cold-store", "thaw-plan", "draw-table", "close-out", "journal"),
    ),
    Role.PREPARER: ("draw-table", "vials", "carries", "journal"),
    Role.SCREENER: ("screening", "journal"),
    Role.REGISTRAR: (*("front-desk", "standby-list", "second-doses", "call-sheet", "journal"),),
    Role.VACCINATOR: ("chair", "screening", "vials", "journal"),
    Role.OBSERVER: ("observation-area", "reactions", "journal"),
    Role.RUNNER: ("carries", "vials", "journal"),
    Role.CLINICAL_LEAD: (
        *("today", "observation-area", "reactions", "vials", "close-out", "journal"),
    ),
    Role.TRAINER: ("team", "protocol"),
    Role.DATA_STEWARD: ("protocol",),
    Role.TECHNICAL_ADMIN: ("set-up", "journal", "protocol"),
    Role.AUDITOR: ("journal", "protocol", "vials"),
    Role.HEALTH_UNIT: ("today", "vials", "cold-store", "second-doses", "replay", "protocol"),
}


@dataclass(frozen=True, slots=True)
class Screen:
    """
    One screen.

    Args:
        path: In the address, small letters and hyphens.
        title: As it stands in the header and the menu.
        action: The row of the table of rights.
        show: The page; gets the request, and the rest of the address where `takes` names it.
        takes: What the rest of the address is called, for a page about one thing.
        asks: Whether it takes what was typed, as a name, that must not stand in an address.
        sums: Whether it adds up or lists all: for a tablet that asks by itself once a second.
    """

    path: str
    title: str
    action: str
    show: Callable[..., HttpResponse]
    takes: str = ""
    asks: bool = False
    sums: bool = False


@cache
def screens() -> Mapping[str, Screen]:
    """
    Return every screen by its path.

    Raises:
        ValueError: Two have one path.
    """
    return registered(STATIONS, "SCREENS", _path)


def _path(screen: Screen) -> str:
    return screen.path


@cache
def open_to_anybody() -> tuple[Screen, ...]:
    """Return the screens that a locked tablet shows too."""
    found = [each for each in screens().values() if not each.takes]
    return tuple(each for each in found if way(each.action, ()) is Way.ANYBODY)


def menu(who: Who) -> tuple[Screen, ...]:
    """Return somebody's menu, their own screen first; of several roles the first's."""
    for role, paths in _MENUS.items():
        if role in who.roles:
            return tuple(screens()[path] for path in paths if path in screens())
    return ()


def own_screen(who: Who) -> str:
    """Return the address of the screen on which somebody opens."""
    first = menu(who)
    return f"/{first[0].path}" if first else "/nothing-yet"
