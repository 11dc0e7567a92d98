"""What is pressed about the site itself: its storage units, and whom to call at night."""

from decimal import Decimal, InvalidOperation

from thawline.adapters import sites
from thawline.adapters.watch_tables import called_by, hours
from thawline.app.acts import Doing, Outcome
from thawline.app.ports import Site
from thawline.app.units import check_band
from thawline.base.errors import RecordError
from thawline.store.units import FOLLOWED, Followed, StorageUnit
from thawline.web.acts import Form, PageAct
from thawline.web.here import folder, read_again
from thawline.web.staff.once import once


class OfUnit(Form, frozen=True):
    """A storage unit; the accuracy in degrees Celsius, empty: as the protocol says."""

    unit: str
    band: str
    followed: str
    title: str = ""
    accuracy_c: str = ""


class OfNight(Form, frozen=True):
    """Whom to call, one on each line as name, role and number; when nobody is there."""

    people: str = ""
    starts: str = ""
    ends: str = ""


def _name_unit(site: Site, doing: Doing, form: OfUnit) -> Outcome:
    unit = _unit(form)
    check_band(site, unit.band)
    says = f"{unit.name}: kept as {unit.band}, {FOLLOWED[unit.followed]}"
    return once(site, doing, "name-unit", says, lambda: _keep_unit(unit))


def _unit(form: OfUnit) -> StorageUnit:
    try:
        followed = Followed(form.followed)
    except ValueError:
        raise RecordError(
            f"not a way to know a temperature: {form.followed[:20]!r}",
            advice=f"one of {', '.join(Followed)}",
        ) from None
    title = " ".join(form.title.split())
    return StorageUnit(form.unit.strip(), form.band, followed, _degrees(form.accuracy_c), title)


def _degrees(typed: str) -> Decimal | None:
    text = typed.strip().replace(",", ".")
    try:
        return Decimal(text) if text else None
    except InvalidOperation:
        raise RecordError(
            f"not an accuracy: {typed[:20]!r}", advice="degrees Celsius, as in 0.5"
        ) from None


def _keep_unit(unit: StorageUnit) -> None:
    sites.put_unit(folder(), unit)
    read_again()


def _name_calls(site: Site, doing: Doing, form: OfNight) -> Outcome:
    people = tuple(called_by(line) for line in form.people.splitlines() if line.strip())
    if bool(form.starts) != bool(form.ends):
        raise RecordError("a night needs two times", advice="as in 18:00 and 06:00")
    night = hours(form.starts, form.ends) if form.starts else site.night

    def keep() -> None:
        sites.put_watch(folder(), people, night)
        read_again()

    says = f"{len(people)} on the call list for the night"
    return once(site, doing, "name-calls", says, keep)


ACTS = (
    PageAct(
        *("name-unit", "name-units", OfUnit, _name_unit),
        lambda form, _outcome: f"{form.unit} named",
        undone=False,
    ),
    PageAct(
        *("name-calls", "name-units", OfNight, _name_calls),
        lambda _form, _outcome: "call list kept",
        undone=False,
    ),
)
