"""
The table of rights, cell by cell, through every address that a cell stands behind.

The addresses come from Django's own resolver. One that is a screen or an act is asked as each
of the fourteen roles, by nobody, on a locked screen, after the sign-off and once disabled. Any
other address must be named here as one that anybody may ask for.
"""

from uuid import uuid4

import msgspec
import pytest
from django.urls import get_resolver

from thawline.base.roles import Role
from thawline.web.acts import acts
from thawline.web.rights import Way, rights, way
from thawline.web.screens import screens
from thawline.web.staff.models import SignOff, Staff

OPEN = {
    *("door", "lock", "touched", "leave", "pin", "enrol", "begin", "authority.pem"),
    *("own", "nothing-yet", "theme", "language", "touch", "worker", "openapi", "api-state"),
    *("api-scan", "api-scanner", "api-heard"),  # record no act; look themselves who is there
    "rehearsal",  # only at a site of invented data; looks at its row itself
}


def _addresses() -> set[str]:
    return {pattern.name for pattern in get_resolver().url_patterns}


def _a_form(act) -> dict:
    """Return fields of the right kinds; what they say is nothing that is here."""
    fields = msgspec.structs.fields(act.form)
    return {f.name: _one_of(f.type) for f in fields if f.required}


def _one_of(kind) -> str | int | bool:
    return {int: 1, bool: False}.get(kind, "x")


def _asked(client, act):
    """Send an act; return its status and what it needs besides."""
    body = {"id": str(uuid4()), "elapsed_ms": 0, "form": _a_form(act)}
    answer = client.post(
        f"/api/act/{act.name}", body, content_type="application/json", secure=True
    )
    return answer.status_code, answer.json().get("needs", "")


def _is_fit(cell: Way, status: int, needs: str) -> bool:
    """Say whether an answer is what the table has for a cell."""
    if cell is Way.DENIED:
        return (status, needs) == (403, "role")
    if cell is Way.PIN:
        return (status, needs) == (403, "pin")
    if cell is Way.TWO:
        return (status, needs) == (403, "second")
    if cell is Way.OWN:  # not their own here, or there is no such thing
        return status in {403, 404, 422} and needs in {"", "role"}
    return status not in {401, 403}


def test_every_address_is_a_screen_an_act_or_open_to_anybody():
    behind = {*screens(), *(f"act-{n}" for n in acts()), *(f"api-{n}" for n in acts())}
    assert _addresses() - behind == OPEN
    assert behind <= _addresses()


def test_every_screen_and_act_stands_behind_a_row_of_the_table():
    asked = {s.action for s in screens().values()} | {a.action for a in acts().values()}
    assert asked <= set(rights())


@pytest.mark.parametrize("role", list(Role), ids=lambda role: role.value)
def test_each_role_may_do_what_its_column_says_and_nothing_else(hall, role):
    client = hall.browser("Somebody Here", role, station="table-1")
    wrong = []
    for act in acts().values():
        status, needs = _asked(client, act)
        if not _is_fit(way(act.action, [role]), status, needs):
            wrong.append((act.name, status, needs))
        if not client.session.get("_auth_user_id"):  # an act put them out: come in again
            client = hall.browser("Somebody Here", role, station="table-1")
    assert wrong == []


@pytest.mark.parametrize("role", list(Role), ids=lambda role: role.value)
def test_each_role_sees_the_screens_of_its_column_and_no_other(hall, role):
    client = hall.browser("Somebody Here", role, station="table-1")
    seen = {
        path: hall.get(client, f"/{path}/HK47M" if screen.takes else f"/{path}").status_code
        for path, screen in screens().items()
    }
    denied = {p for p, s in screens().items() if way(s.action, [role]) is Way.DENIED}
    assert {path for path, status in seen.items() if status == 403} == denied
    asked = {p for p, s in screens().items() if way(s.action, [role]) in {Way.PIN, Way.TWO}}
    asked -= {"break-glass"}  # its one act asks
    assert {path for path, status in seen.items() if status == 302} == asked
    assert set(seen.values()) <= {200, 302, 403, 404}


def _nobody(hall):
    return hall.browser()


def _locked(hall):
    client = hall.browser("Somebody Here", *Role)
    client.post("/lock", secure=True)
    return client


def _disabled(hall):
    client = hall.browser("Somebody Here", *Role)
    Staff.objects.update(is_active=False)
    return client


@pytest.mark.parametrize(
    "comes", [_nobody, _locked, _disabled], ids=lambda comes: comes.__name__
)
def test_whoever_is_not_there_does_and_sees_what_anybody_may(hall, comes):
    client = comes(hall)
    acted = {act.name: _asked(client, act)[0] for act in acts().values()}
    seen = {
        p: hall.get(client, f"/{p}/x" if s.takes else f"/{p}") for p, s in screens().items()
    }
    anybody = {n for n, row in rights().items() if row.anybody}
    assert all(
        (status == 401) == (acts()[name].action not in anybody)
        for name, status in acted.items()
    )
    assert all(
        page.status_code == 302 and page.url.startswith("/door")
        for path, page in seen.items()
        if screens()[path].action not in anybody
    )


def test_an_expired_sign_off_is_no_role_at_all(hall):
    client = hall.browser("Somebody Here", *Role)
    SignOff.objects.update(until="2026-02-02")
    anybody = {n for n, row in rights().items() if row.anybody}
    wrong = [
        act.name
        for act in acts().values()
        if act.action not in anybody and _asked(client, act) != (403, "role")
    ]
    assert wrong == []


def test_an_act_is_pressed_and_never_fetched(hall):
    client = hall.browser("Somebody Here", *Role)
    for name in acts():
        assert hall.get(client, f"/act/{name}").status_code == 405
        assert hall.get(client, f"/api/act/{name}").status_code == 405


def test_there_are_fourteen_roles_and_every_cell_has_one_way():
    cells = [row.way(role) for row in rights().values() for role in Role]
    assert len(cells) == len(rights()) * 14
    assert all(
        len([kind for kind in (row.allowed, row.own, row.pin, row.two) if role in kind]) <= 1
        for row in rights().values()
        for role in Role
    )


# Typed from the design's table of roles and actions and the rules from practice, point 19.
@pytest.mark.parametrize(
    ("action", "role", "expected"),
    [
        *[("use-past-limit", role, Way.DENIED) for role in Role],
        *[("sign-off-self", role, Way.DENIED) for role in Role],
        *[("grant-self", role, Way.DENIED) for role in Role],
        *[("stamp", role, Way.ANYBODY) for role in Role],
        ("find-person", Role.REGISTRAR, Way.ALLOWED),
        ("find-person", Role.VACCINATOR, Way.DENIED),
        ("see-identity", Role.SCREENER, Way.OWN),
        ("see-identity", Role.PREPARER, Way.DENIED),
        ("see-identity", Role.DATA_STEWARD, Way.PIN),
        ("see-identity", Role.TECHNICAL_ADMIN, Way.DENIED),
        ("clear-screening", Role.CLINICAL_LEAD, Way.PIN),
        ("clear-screening", Role.SCREENER, Way.DENIED),
        ("lengthen-limit", Role.VACCINE_COORDINATOR, Way.TWO),
        ("release", Role.CLINICAL_LEAD, Way.TWO),
        ("release", Role.PREPARER, Way.DENIED),
        ("adopt", Role.SITE_LEAD, Way.DENIED),
        ("sign-off-other", Role.TRAINER, Way.PIN),
        ("export-identified", Role.DATA_STEWARD, Way.TWO),
        ("export-coded", Role.AUDITOR, Way.ALLOWED),
        ("keep-copies", Role.TECHNICAL_ADMIN, Way.TWO),
        ("close-out", Role.VACCINE_COORDINATOR, Way.TWO),
        ("break-glass", Role.SITE_LEAD, Way.DENIED),
        ("break-glass", Role.CLINICAL_LEAD, Way.PIN),
        ("share-supply", Role.HEALTH_UNIT, Way.PIN),
        ("hold", Role.HEALTH_UNIT, Way.ALLOWED),
    ],
)
def test_cells_are_as_the_design_has_them(action, role, expected):
    assert way(action, [role]) is expected
