"""What `thawline person` prints: people side by side, who was met, who was taken in."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from cyclopts import Parameter

from thawline.app.meeting import Facing, Meeting
from thawline.app.ports import Site
from thawline.app.walk_ups import TakenIn, WalkUp
from thawline.base.findings import Finding, Level
from thawline.base.instants import local_date, read_date
from thawline.cli.acting import recorded
from thawline.cli.answers import Answer
from thawline.cli.options import Yes
from thawline.cli.text import NONE, UNKNOWN, table
from thawline.exchange.bookings import known_word
from thawline.exchange.column_names import LANGUAGE_WORDS, NEEDS_WORDS
from thawline.person.likeness import Identity, Likeness

_HEAD = ["person", "name", "birth date", "phone", "places", "doses", "alike in"]


@Parameter(name="*")
@dataclass(frozen=True, kw_only=True)
class About:
    """
    What else a walk-up says.

    Parameters
    ----------
    language
        The language they speak: en, es or other.
    needs
        Help needed, in one word: wheelchair, sight, hearing, lying-down.
    first_dose
        The date of a first dose had elsewhere, from their card.
    lot
        The lot of that dose.
    another
        Somebody looked at those who are alike: it is another person.
    """

    language: str = ""
    needs: str = ""
    first_dose: str | None = None
    lot: str = ""
    another: Yes = False


NOTHING = About()


@Parameter(name="*")
@dataclass(frozen=True, kw_only=True)
class How:
    """
    Who said it, after which information.

    Parameters
    ----------
    whose
        Who said it: self, guardian or surrogate.
    edition
        The edition date printed on the information that was given.
    given_on
        The day it was given; today if left out.
    interpreter
        An interpreter was there.
    """

    whose: str = "self"
    edition: str = ""
    given_on: str = ""
    interpreter: Yes = False


THEMSELVES = How()


def walk_up_of(said: Identity, code: str | None, about: About) -> WalkUp:
    """Return what a walk-up said, as the use case takes it."""
    return WalkUp(
        said=said,
        code=code,
        another=about.another,
        language=known_word(about.language, LANGUAGE_WORDS),
        needs=known_word(about.needs, NEEDS_WORDS),
        first_dose=read_date(about.first_dose) if about.first_dose else None,
        first_lot=about.lot,
    )


def met(site: Site, found: Meeting, said: Identity) -> Answer:
    """Return the answer of a comparison; side by side where there is more than one."""
    shown = _side_by_side(site, found.facing, found.person)
    data = {
        "person": found.person,
        "compared": found.compared.value if found.compared else None,
        "age": found.age,
        "dose_number": found.dose_number,
        "same_name": [_values(site, each) for each in found.facing],
        "spelled": _spelled(found.spelled),
    }
    if found.outcome is None or found.person is None:
        return _which(data, shown, "Who of these is it? Ask for the phone, or name the code.")
    says = f"{found.person}: {found.compared.value if found.compared else UNKNOWN}"
    aged = f", {found.age} years old today" if found.age is not None else ""
    number = found.dose_number
    aged += ", both doses are on record" if number is None else f", next is dose {number}"
    text = f"{says}{aged}{_both(found.spelled)}"
    text = text if len(found.facing) <= 1 else f"{text}\n{shown}"
    answer = recorded(found.outcome, site, text, data)
    unknown = [] if said.born or found.age is not None else ["age"]
    return replace(answer, not_known=unknown)


def taken_in(site: Site, found: TakenIn, said: Identity) -> Answer:
    """Return the answer to a walk-up; those who are alike where somebody must look."""
    data: dict[str, Any] = {
        "person": found.person,
        "dose_number": found.dose_number,
        "same_name": [_values(site, each) for each in found.facing],
        "spelled": _spelled(found.spelled),
    }
    if found.outcome is None:
        shown = _side_by_side(site, found.facing, None)
        asks = "On the list already? Then name the code. If somebody else: --another."
        return _which(data, shown, asks)
    text = f"{found.person} taken in for dose {found.dose_number}{_both(found.spelled)}"
    answer = recorded(found.outcome, site, text, data)
    return replace(answer, not_known=[] if said.born else ["birth date"])


def _both(spelled: tuple[str, str] | None) -> str:
    """Return both spellings of a name, one under the other; nothing where they are one."""
    return "" if spelled is None else f"\n  said: {spelled[0]}\n  kept: {spelled[1]}"


def _spelled(spelled: tuple[str, str] | None) -> dict[str, str] | None:
    return None if spelled is None else {"said": spelled[0], "kept": spelled[1]}


def _which(data: dict[str, Any], shown: str, asks: str) -> Answer:
    finding = Finding(Level.ACT, "tell-apart", asks)
    text = f"{shown}\nNothing is recorded."
    return Answer({**data, "recorded": False}, text, (finding,))


def _side_by_side(site: Site, facing: Sequence[Facing], chosen: str | None) -> str:
    """Return everybody of one name in a table; the one chosen stands first."""
    if not facing:
        return ""
    order = sorted(facing, key=lambda each: (each.person != chosen, each.person))
    rows = [
        [
            each.person,
            each.identity.name,
            each.identity.born.isoformat() if each.identity.born else UNKNOWN,
            each.identity.phone or UNKNOWN,
            ", ".join(_places(site, each)) or NONE,
            str(each.doses),
            _alike(each),
        ]
        for each in order
    ]
    return table(_HEAD, rows, [5])


_ALIKE = {
    None: "name alone",
    Likeness.SAME: "all three",
    Likeness.AS_TOLD: "all told",
    Likeness.NAME_AND_BIRTH: "birth date",
    Likeness.SWAPPED: "day and month swapped",
    Likeness.NAME_AND_PHONE: "phone",
    Likeness.SPELLED: "name, nearly",
}


def _alike(each: Facing) -> str:
    return _ALIKE[each.likeness]


def _places(site: Site, each: Facing) -> list[str]:
    return [local_date(slot, site.zone).isoformat() for slot in each.places]


def _values(site: Site, each: Facing) -> dict[str, Any]:
    return {
        "person": each.person,
        "name": each.identity.name,
        "born": each.identity.born.isoformat() if each.identity.born else None,
        "phone": each.identity.phone or None,
        "places": _places(site, each),
        "doses": each.doses,
        "alike_in": each.likeness.value if each.likeness else None,
    }
