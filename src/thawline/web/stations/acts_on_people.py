"""What is pressed about the site's own people: log-ins, sign-offs, and breaking the glass."""

from collections.abc import Callable
from datetime import date

from django.db.models import F

from thawline.app.acts import Doing, Outcome
from thawline.app.ports import Site
from thawline.base.errors import RecordError, RefusedError, UnsaidError
from thawline.base.findings import Finding, Level
from thawline.base.instants import read_date
from thawline.base.roles import Role
from thawline.web.acts import Form, PageAct
from thawline.web.staff import codes, glass, misses, shifts, sign_offs
from thawline.web.staff.kept_secretly import code_of
from thawline.web.staff.models import Staff
from thawline.web.staff.once import once

_FIRST_ROLES = (Role.CLINICAL_LEAD, Role.TRAINER)
_LONGEST_NAME, _LONGEST_BADGE, _LONGEST_REASON = 120, 40, 160


class NewPerson(Form, frozen=True):
    """Somebody new, and the text of their badge."""

    name: str
    badge: str = ""


class OnPerson(Form, frozen=True):
    """Somebody who has a log-in."""

    name: str


class OnRole(Form, frozen=True):
    """Somebody and a role; `until` as in 2026-08-31."""

    name: str
    role: str
    until: str = ""


class Reason(Form, frozen=True):
    """Why, in a few words without anybody's name."""

    reason: str = ""


def _employ(site: Site, doing: Doing, form: NewPerson) -> Outcome:
    name, badge = " ".join(form.name.split()), " ".join(form.badge.split())

    def change() -> None:
        _refuse_unprintable(name, _LONGEST_NAME)
        if badge:
            _refuse_unprintable(badge, _LONGEST_BADGE)
        if sign_offs.named(name) or sign_offs.named(badge):
            raise RecordError(
                f"{name}: that name or badge is taken", advice="look in the list of log-ins"
            )
        staff = Staff(name=name, badge=badge or name[:_LONGEST_BADGE])
        staff.set_unusable_password()
        staff.save()
        _hand_out(doing, name)

    return once(site, doing, "employ", f"log-in made for {name}", change)


def _new_code(site: Site, doing: Doing, form: OnPerson) -> Outcome:
    name = sign_offs.employed(form.name).name
    says = f"new code given to {name}"
    return once(site, doing, "new-code", says, lambda: _hand_out(doing, name))


def _hand_out(doing: Doing, name: str) -> None:
    codes.hand_out(doing.id, codes.Opened(codes.PERSON, name, "", doing.by))


def _end_sessions(site: Site, doing: Doing, form: OnPerson) -> Outcome:
    staff = sign_offs.employed(form.name)
    says = f"sessions of {staff.name} ended"
    return once(site, doing, "end-sessions", says, lambda: _end_all(staff))


def _disable(site: Site, doing: Doing, form: OnPerson) -> Outcome:
    staff = sign_offs.employed(form.name)

    def change() -> None:
        _end_all(staff)
        Staff.objects.filter(pk=staff.pk).update(is_active=False)

    return once(site, doing, "disable", f"log-in of {staff.name} disabled", change)


def _enable(site: Site, doing: Doing, form: OnPerson) -> Outcome:
    found = Staff.objects.filter(pk=sign_offs.employed(form.name).pk)
    says = f"log-in of {form.name} enabled"
    return once(site, doing, "enable", says, lambda: found.update(is_active=True))


def _let_try(site: Site, doing: Doing, form: OnPerson) -> Outcome:
    name = sign_offs.employed(form.name).name
    says = f"{name} may try PINs again"
    return once(site, doing, "let-try-again", says, lambda: misses.forget(name))


def _end_all(staff: Staff) -> None:
    Staff.objects.filter(pk=staff.pk).update(sessions_ended=F("sessions_ended") + 1)
    shifts.end_all(staff)
    glass.end_glass(staff)


def _sign_off(site: Site, doing: Doing, form: OnRole) -> Outcome:
    staff, role, until = sign_offs.employed(form.name), _role(form.role), _day(form.until)
    says = f"{staff.name} signed off as {role.value} until {until.isoformat()}"

    def change() -> None:
        sign_offs.sign_off(staff, role, until, doing.by)

    return once(site, doing, "sign-off", says, change)


def _sign_off_first(site: Site, doing: Doing, form: OnRole) -> Outcome:
    if _role(form.role) not in _FIRST_ROLES or sign_offs.someone_is(*_FIRST_ROLES):
        says = "only the first clinical lead or trainer of a site is signed off in this way"
        raise RefusedError(
            [Finding(Level.STOP, "not-the-first", says)],
            advice="ask a trainer or clinical lead",
        )
    return _sign_off(site, doing, form)


def _end_sign_off(site: Site, doing: Doing, form: OnRole) -> Outcome:
    staff, role = sign_offs.employed(form.name), _role(form.role)
    says = f"sign-off of {staff.name} as {role.value} ended"

    def change() -> None:
        sign_offs.end_sign_off(staff, role)

    return once(site, doing, "end-sign-off", says, change)


def _break_glass(site: Site, doing: Doing, form: Reason) -> Outcome:
    reason = " ".join(form.reason.split())
    if not reason:
        raise UnsaidError("no reason is given", advice="say what the emergency is")
    _refuse_unprintable(reason, _LONGEST_REASON)
    staff = sign_offs.employed(doing.by)

    def change() -> None:
        glass.break_glass(staff, reason)

    return once(site, doing, "break-glass", f"glass broken for 60 minutes: {reason}", change)


def _end_glass(site: Site, doing: Doing, _form: Reason) -> Outcome:
    staff = sign_offs.employed(doing.by)
    return once(site, doing, "end-glass", "glass whole again", lambda: glass.end_glass(staff))


def _refuse_unprintable(text: str, longest: int) -> None:
    if not text or not text.isprintable() or len(text) > longest:
        raise RecordError(
            f"not as it can be kept: {text[:20]!r}",
            advice=f"write it on one line, {longest} signs at most",
        )


def _role(name: str) -> Role:
    if name not in set(Role):
        raise RecordError(f"no role {name!r}", advice=f"one of {', '.join(Role)}")
    return Role(name)


def _day(text: str) -> date:
    if not text:
        raise UnsaidError("no day is given", advice="say until which day")
    return read_date(text)


def _code(form: NewPerson | OnPerson, outcome: Outcome) -> str:
    made = code_of(outcome.receipt.id) if outcome.receipt else "none"
    return f"code for {form.name}: {made}, good once, for 10 min, at /begin"


def _says(what: str) -> Callable[[OnPerson | OnRole, Outcome], str]:
    return lambda form, _outcome: f"{form.name}: {what}"


ACTS = (
    PageAct("employ", "manage-people", NewPerson, _employ, _code, undone=False),
    PageAct("new-code", "manage-people", OnPerson, _new_code, _code, undone=False),
    PageAct(
        *("end-sessions", "manage-people", OnPerson, _end_sessions),
        _says("out on every screen"),
        undone=False,
    ),
    PageAct("disable", "manage-people", OnPerson, _disable, _says("disabled"), undone=False),
    PageAct("enable", "manage-people", OnPerson, _enable, _says("enabled"), undone=False),
    PageAct(
        *("let-try-again", "manage-people", OnPerson, _let_try),
        _says("may try again"),
        undone=False,
    ),
    PageAct("sign-off", "sign-off-other", OnRole, _sign_off, _says("signed off"), undone=False),
    PageAct(
        *("sign-off-first", "sign-off-first", OnRole, _sign_off_first),
        _says("signed off"),
        undone=False,
    ),
    PageAct(
        *("end-sign-off", "sign-off-other", OnRole, _end_sign_off),
        _says("sign-off ended"),
        undone=False,
    ),
    PageAct(
        *("break-glass", "break-glass", Reason, _break_glass),
        lambda _form, _outcome: "glass broken, for 60 min",
        undone=False,
    ),
    PageAct(
        *("end-glass", "break-glass", Reason, _end_glass),
        lambda _form, _outcome: "glass whole again",
        undone=False,
    ),
)
