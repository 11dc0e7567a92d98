"""Front desk: the right person on the right day, before anybody waits in a queue."""

from dataclasses import dataclass
from datetime import date

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect

from thawline.app.booking_rows import identity_of
from thawline.app.front_desk import AtDesk, at_desk, last_edition
from thawline.app.meeting import Facing, everybody_of
from thawline.app.ports import Name
from thawline.app.sent_on import ABOUT
from thawline.base.findings import Finding
from thawline.base.instants import read_date
from thawline.person.desk import BORN, NAME, PHONE, agreement
from thawline.person.fold import PERSON
from thawline.person.likeness import Identity
from thawline.rebook.ages import age_findings
from thawline.rebook.dates import age_on
from thawline.web.around import Around, around
from thawline.web.pages import page
from thawline.web.screens import Screen
from thawline.web.seen import may_see_names, name_of, saw_identity, unseen

LANGUAGES = (("en", "English"), ("es", "Spanish"))
NEEDS = ("wheelchair", "sight", "hearing", "language", "lying down")
_LEAST_LETTERS = 3
_MOST_ROWS = 20


@dataclass(frozen=True, slots=True)
class Beside:
    """Somebody of the name that was said: what is kept beside it, and how the two agree."""

    person: str
    kept: Identity
    agreed: tuple[str, ...]
    differed: tuple[str, ...]
    places: int
    doses: int

    @property
    def agrees(self) -> bool:
        """Say whether two identifiers agree and none differs."""
        return len(self.agreed) > 1 and not self.differed

    def says(self, field: str) -> str:
        """Return what the form of the arrival says of an identifier."""
        if field in self.agreed:
            return "agrees"
        return "differs" if field in self.differed else ""

    @property
    def name_says(self) -> str:
        """Return what is said of the name."""
        return self.says(NAME)

    @property
    def born_says(self) -> str:
        """Return what is said of the birth date."""
        return self.says(BORN)

    @property
    def phone_says(self) -> str:
        """Return what is said of the phone number."""
        return self.says(PHONE)


def show(request: HttpRequest) -> HttpResponse:
    """Return the desk, ready for the next person; or who may be meant by what was typed."""
    with around(request) as round_:
        if request.method != "POST":
            return page(request, round_, "front-desk", {})
        said = said_in(request)
        code = said.name.strip().upper()
        if round_.view.one(PERSON, code) is not None:
            return HttpResponseRedirect(f"/arrival/{code}")
        told = {"typed": said, "beside": beside(round_, said), "asked": True}
        if not told["beside"]:
            told["near"] = _near(round_, said.name)
        return page(request, round_, "front-desk", told)


def said_in(request: HttpRequest) -> Identity:
    """Return what was typed of who somebody is; RecordError names a date that is none."""
    born = request.POST.get("born", "").strip()
    name, phone = request.POST.get("name", ""), request.POST.get("phone", "")
    return Identity(" ".join(name.split()), read_date(born) if born else None, phone.strip())


def beside(round_: Around, said: Identity) -> list[Beside]:
    """Return everybody of that name, what is kept of each beside what was said."""
    if not said.name or not may_see_names(round_):
        return []
    found = everybody_of(unseen(), round_.view, said)
    for each in found:
        saw_identity(round_, each.person)
    return sorted((_beside(each, said) for each in found), key=lambda each: not each.agrees)


def _beside(facing: Facing, said: Identity) -> Beside:
    agreed, differed = agreement(said, facing.identity)
    return Beside(
        facing.person, facing.identity, agreed, differed, len(facing.places), facing.doses
    )


def _near(round_: Around, name: str) -> list[tuple[str, Name]]:
    """Return people whose name has what was typed in it."""
    if len(name) < _LEAST_LETTERS or not may_see_names(round_):
        return []
    return round_.site.people.find(name, _MOST_ROWS)


def show_one(request: HttpRequest, person: str) -> HttpResponse:
    """Return one person as the desk sees them."""
    with around(request) as round_:
        code = person.upper()
        at = at_desk(round_.site, round_.view, code, round_.at)
        name = name_of(round_, code)
        kept = None if name is None else identity_of(name)
        told = {
            "at": at,
            "name": name,
            "kept": kept,
            "age": _age(kept, round_.today),
            "others": _others(round_, code, kept),
            "age_against": _age_against(round_, kept),
            "days_before": _days_before(at, round_.today),
            "dose_2": round_.rules.protocol.schedule.dose_2,
            "edition": last_edition(round_.view),
            "about": ABOUT,
            "fields": ((NAME, "Name"), (BORN, "Birth date"), (PHONE, "Phone")),
        }
        return page(request, round_, "arrival", told)


def _age(kept: Identity | None, today: date) -> int | None:
    return None if kept is None or kept.born is None else age_on(kept.born, today)


def _age_against(round_: Around, kept: Identity | None) -> tuple[Finding, ...]:
    if kept is None or kept.born is None:
        return ()
    return age_findings(kept.born, round_.today, round_.rules.protocol.screening)


def _days_before(at: AtDesk, today: date) -> int | None:
    """Return how many days before its first day a second dose would be; None: it is not."""
    if at.to_come is None or not at.too_early:
        return None
    return (at.to_come.due - today).days


def _others(round_: Around, code: str, kept: Identity | None) -> list[Beside]:
    if kept is None:
        return []
    return [each for each in beside(round_, kept) if each.person != code]


def walk_up(request: HttpRequest) -> HttpResponse:
    """Return the form for somebody without a place; with those who may be the same person."""
    with around(request) as round_:
        said = said_in(request) if request.method == "POST" else Identity("")
        told = {
            "typed": said,
            "asked": bool(said.name),
            "beside": beside(round_, said),
            "languages": LANGUAGES,
            "needs": NEEDS,
            "age": _age(said, round_.today),
            "age_against": _age_against(round_, said),
        }
        return page(request, round_, "walk-up", told)


SCREENS = (
    Screen("front-desk", "Front desk", "find-person", show, asks=True),
    Screen("walk-up", "Walk-up", "find-person", walk_up, asks=True),
    Screen("arrival", "Front desk", "find-person", show_one, takes="person"),
)
