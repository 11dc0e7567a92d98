"""Thaw plan: how many vials, when at the latest, how sure; signed by both leads."""

from dataclasses import dataclass
from datetime import date
from typing import Any

from django.http import HttpRequest, HttpResponse

from thawline.app.acts import Doing, Outcome
from thawline.app.plan_signing import LookedAt, sign_plan
from thawline.app.plans import Ask, Planned, plan_for_site
from thawline.app.ports import Site
from thawline.base.errors import NotFoundError, RecordError
from thawline.base.instants import Instant, read_date
from thawline.plan.moves import cost_in_words
from thawline.plan.no_show import by_hand
from thawline.thaw.signed import SIGNED_PLAN, changed_since
from thawline.web.acts import Form, PageAct
from thawline.web.around import Around, around
from thawline.web.pages import page
from thawline.web.screens import Screen
from thawline.web.slabs import slab

_SERVICE, _PERCENT = 95, 100


class SignPlan(Form, frozen=True):
    """The plan that two people looked at; a share of 100 that stays away, empty: learned."""

    day: str
    vials: int
    booked: int
    service: int = _SERVICE
    no_show: str = ""


@dataclass(frozen=True, slots=True)
class Move:
    """Vials that have to be somewhere, and the latest moment for it."""

    vials: int
    to: str
    by: Instant
    late: bool


def show(request: HttpRequest) -> HttpResponse:
    """Return the plan of a day: of the next with bookings, where none is named."""
    asked = {name: request.GET.get(name, "") for name in ("on", "no_show", "service")}
    with around(request) as round_:
        told: dict[str, Any] = {"asked": asked, "planned": None, "why_none": ""}
        try:
            day = read_date(asked["on"]) if asked["on"] else None
            ask = _ask(round_.at, day, asked["no_show"], asked["service"] or _SERVICE)
            told |= _told(round_, plan_for_site(round_.site, ask))
        except (RecordError, NotFoundError) as error:
            told["why_none"] = error.says
        return page(request, round_, "thaw-plan", told)


def _ask(now: Instant, day: date | None, no_show: str, service: str | int) -> Ask:
    share = None if not no_show else by_hand(_share("no-show", no_show))
    return Ask(now, day, _share("service", service), share)


def _share(name: str, typed: str | int) -> float:
    """Return a share that was typed as so many of 100."""
    try:
        return float(str(typed).replace(",", ".").removesuffix("%")) / _PERCENT
    except ValueError:
        raise RecordError(
            f"{name}: {typed!r} is not so many of 100", advice="write it as in 8 or 7.5"
        ) from None


def _told(round_: Around, planned: Planned) -> dict[str, object]:
    plan = planned.plan
    signed = round_.view.one(SIGNED_PLAN, planned.day.day.isoformat())
    changed = changed_since(signed, plan.booked, plan.planned_vials) if signed else ()
    return {
        "planned": planned,
        "findings": [slab(each) for each in (*changed, *planned.findings)],
        "moves": _moves(planned, round_.at),
        "signed": signed,
        "one_vial": list(zip(_NAMES[-len(plan.one_vial) :], plan.one_vial, strict=True)),
        "costs": cost_in_words(planned.keeps),
        "service": f"{_PERCENT * plan.service:g}",
    }


_NAMES = ("one vial fewer", "as planned", "one vial more")


def _moves(planned: Planned, now: Instant) -> list[Move]:
    """Return what has to be moved, by its latest safe moment."""
    found = [
        *((need.to_fridge, "to the fridge", need.fridge_by) for need in planned.plan.needs),
        *((need.to_table, "to the table", need.table_by) for need in planned.plan.needs),
    ]
    moves = [Move(vials, to, by, by <= now) for vials, to, by in found if vials]
    return sorted(moves, key=lambda each: (each.by, each.to))


def _sign(site: Site, doing: Doing, form: SignPlan) -> Outcome:
    ask = _ask(doing.at, read_date(form.day), form.no_show, form.service)
    return sign_plan(site, doing, ask, LookedAt(form.vials, form.booked))


ACTS = (
    PageAct(
        "sign-plan",
        "plan",
        SignPlan,
        _sign,
        lambda form, _: f"plan of {form.day} signed by two people: {form.vials} vials",
        undone=False,
    ),
)
SCREENS = (Screen("thaw-plan", "Thaw plan", "plan", show),)
