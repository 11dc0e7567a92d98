"""
The tablets' interface is as its own description says it is, whatever a tablet sends.

An outside tool, schemathesis, reads the OpenAPI document from the running application and makes
up bodies for every address: such as fit the document and such as do not. Some get the codes of
vials, people and days that are here, so that they come through to the rules. Every answer must
be one that the document names, of the type and the fields that it names, and never a 5xx.
"""

from dataclasses import dataclass
from itertools import count
from uuid import UUID

import msgspec
import pytest
import schemathesis
from django.test import Client
from hypothesis import HealthCheck, Phase, given, seed, settings
from hypothesis import strategies as st
from schemathesis import GenerationMode
from schemathesis.checks import not_a_server_error
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    response_schema_conformance,
    status_code_conformance,
)
from tests.cast import BRYONY, PINS, SORREL
from tests.web import people

from thawline.adapters.pins import FilePins
from thawline.base.roles import Role
from thawline.web.acts import acts
from thawline.web.wsgi import application

AS_DESCRIBED = [
    not_a_server_error,
    status_code_conformance,
    content_type_conformance,
    response_schema_conformance,
]
HARD = (
    *("\x00", "a\x00b", "\x1d", "\ud7ff", "\U0010ffff", "\u202e0.5", "e\u0301", "N" * 3000),
    *(
        "9" * 400,
        "-1",
        "0.5",
        "1e400",
        "NaN",
        "2026-02-30",
        "0000-01-01",
        "9999-12-31",
        "24:00",
    ),
    *(
        "0001-01-01",
        "\u0662\u0660",
        "=1+1",
        "P-000001\n",
        "[]",
        "a b",
        "'",
        '"',
        "\\",
        "%s",
        "{0}",
    ),
)
"""Texts that are hard to take; what is hard about them is common knowledge, from memory."""
WHOLE = (-1, 0, 1, 2, 2**31, 2**53, 2**63, 10**30, -(10**30), None, True, "3", "x", 1.5, [], {})
BESIDE = {
    **dict.fromkeys(("elapsed_ms", "clock_ms"), st.sampled_from([30_000, 10**12, *WHOLE])),
    **dict.fromkeys(("why", "station", "presser", "second", "pin"), st.sampled_from(HARD)),
    "device_seq": st.sampled_from(WHOLE),
    "typed": st.sampled_from(["10:42", "23:59", *HARD]),
    "tablet": st.sampled_from(["own1", *HARD]),
    "id": st.sampled_from(["", "x", "0" * 36, 1, None]),
}
"""What a press sends beside its form, and what is hard to take there."""
TYPED = {
    "unit": ["fridge", "freezer-1"],
    "to": ["fridge", "table"],
    "station": ["table-1"],
    "place": ["fridge"],
    "cause": ["spilled"],
    "about": ["other", "late"],
    "answer": ["yes", "comes"],
    "answers": ["Q1=no"],
    "what": ["called", "faint"],
    "result": ["no-answer"],
    "whose": ["self"],
    "used": ["no"],
    "arm": ["left"],
    "card": ["AC34"],
    "time": ["10:00", "02:30"],
    "born": ["1984-05-06"],
    "volume_ml": ["0.5", "0.2"],
    "now": ["4.5"],
    "lowest": ["3"],
    "highest": ["6"],
    "no_show": ["8"],
    "places": ["2026-03-07=270"],
    "reason": ["a drill"],
}
"""What people type, by the field."""
SHOWN = 400
IDS = count(1)
STAYING = tuple(name for name in acts() if name not in {"disable", "end-sessions"})
"""The acts after which whoever pressed is still there."""
SOME = STAYING[::6]


@dataclass
class OverTls:
    """The application as a browser reaches it that has come in: over TLS, with its cookies."""

    client: Client

    def __post_init__(self) -> None:
        self._csrf = self.client.get("/api/state", secure=True).json()["csrf"]
        kept = self.client.cookies.items()
        self._cookies = "; ".join(f"{name}={cookie.value}" for name, cookie in kept)

    def __call__(self, environ, start):
        """Return its answer."""
        browser = {
            "wsgi.url_scheme": "https",
            "HTTP_HOST": "localhost",
            "HTTP_COOKIE": self._cookies,
            "HTTP_X_CSRFTOKEN": self._csrf,
            "HTTP_REFERER": "https://localhost/",
        }
        return application({**environ, **browser}, start)


@pytest.fixture
def known(hall, monkeypatch) -> dict[str, list]:
    """Vials, syringes and people that are here, by the field that takes them; PINs all fit."""
    monkeypatch.setattr(FilePins, "fits", lambda *_: True)
    hall.employ(SORREL, *Role)
    people.booked(hall)
    people.compared(hall)
    people.screened(hall)
    people.booked(hall, people.FEN, name=None)
    drawn = people.syringes(hall)
    vial, spare = drawn[0].split("-")[0], people.ready(hall)[0]
    entries = [str(each.id) for each in hall.entries()][-3:]
    days = ["2026-02-03", "2026-03-03"]
    here = {
        ("vial", "vials"): [vial, spare],
        ("person", "source"): [people.MARSH, people.FEN],
        ("day", "given_on", "left", "until", "first_on", "more_until", "place_day"): days,
        ("name", "handed_by", "able"): [SORREL, BRYONY],
        ("code", "syringe"): [*drawn, vial],
        ("entry", "note", "carry", "case"): entries,
        ("lot",): [people.LOT],
        ("role",): [each.value for each in Role],
    }
    return {name: values for names, values in here.items() for name in names} | TYPED


def _bodies(known, act):
    """Return bodies of a press: about what is here, at most one value made hard."""
    fields = msgspec.structs.fields(act.form)
    good = st.fixed_dictionaries({f.name: _here(known, f) for f in fields})
    hard = {f.name: st.sampled_from(WHOLE if f.type is int else HARD) for f in fields}
    in_form = [st.fixed_dictionaries({name: hard[name]}) for name in hard]
    one = st.one_of(*[st.just({})] * 3, *in_form)
    beside = st.one_of(
        *[st.just({})] * 3, *[st.fixed_dictionaries({name: BESIDE[name]}) for name in BESIDE]
    )
    body = {
        "form": st.builds(lambda here, odd: {**here, **odd}, good, one),
        "elapsed_ms": st.just(0),
        "why": st.just("cracked"),
        "pin": st.just(PINS[BRYONY]),
        "second": st.just(SORREL),
        "second_pin": st.just(PINS[SORREL]),
    }
    return st.builds(lambda all_, odd: {**all_, **odd}, st.fixed_dictionaries(body), beside)


def _here(known, field):
    """Return values of a field that are here, or that anybody could type."""
    if field.type is int:
        return st.sampled_from([1, 2, 0])
    if field.type is bool:
        return st.booleans()
    return st.sampled_from(known.get(field.name, ["as printed"]))


def _few(examples: int):
    return settings(
        max_examples=examples,
        database=None,
        deadline=None,
        phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
    )


def _wrong(case) -> list[str]:
    """Send a case; return what of the answer is not as the document says."""
    if isinstance(case.body, dict) and case.method == "POST" and "form" in case.body:
        case.body.setdefault("id", str(UUID(int=next(IDS))))
    answer = case.call()
    try:
        case.validate_response(answer, checks=AS_DESCRIBED)
    except BaseExceptionGroup as found:
        kinds = [each.title for each in found.exceptions]
        told = f"{case.path} {answer.status_code} {kinds} {case.body!r}"
        return [told[:SHOWN]]
    return []


def _operations(client) -> dict:
    """Return every address of the document, as the application gives it to a browser."""
    schema = schemathesis.openapi.from_wsgi("/api/openapi.json", OverTls(client))
    found = [each.ok() for each in schema.get_all_operations()]
    return {each.path.rsplit("/", 1)[1]: each for each in found}


def _made_up(operations, examples: int) -> list[str]:
    """Send what the tool makes up from the document alone, what fits and what does not."""
    wrong: list[str] = []
    for operation in operations.values():
        for mode in GenerationMode if operation.body else [GenerationMode.POSITIVE]:
            made = operation.as_strategy(generation_mode=mode)
            send = given(made)(lambda case: wrong.extend(_wrong(case)))
            seed(28)(_few(examples)(send))()
    return wrong


def _pressed(operations, known, names, examples: int) -> list[str]:
    """Press acts about what is here."""
    wrong: list[str] = []
    for name in names:
        made = st.builds(
            operations[name].Case,
            body=_bodies(known, acts()[name]),
            media_type=st.just("application/json"),
        )
        send = given(made)(lambda case: wrong.extend(_wrong(case)))
        seed(28)(_few(examples)(send))()
    return wrong


def _client(hall, *roles):
    return hall.browser(BRYONY, *roles, station="table-1")


def test_whatever_fits_the_description_or_does_not_is_answered_as_it_says(hall, known):
    assert "person" in known
    assert _made_up(_operations(_client(hall, *Role)), 1) == []


def test_a_press_about_what_is_here_with_one_odd_value_is_answered_as_described(hall, known):
    assert _pressed(_operations(_client(hall, *Role)), known, SOME, 8) == []


def test_who_may_not_press_is_told_so_as_described(hall, known):
    wrong = _pressed(_operations(_client(hall, Role.RUNNER)), known, SOME, 2)
    wrong += _pressed(_operations(hall.browser()), known, SOME, 2)
    assert wrong == []


@pytest.mark.slow
@pytest.mark.parametrize("role", [*Role, None], ids=str)
def test_each_role_is_answered_as_described_at_every_address(hall, known, role):
    roles = Role if role is None else [role]
    assert _pressed(_operations(_client(hall, *roles)), known, STAYING, 6) == []


@pytest.mark.slow
def test_many_made_up_bodies_are_answered_as_described(hall, known):
    assert "person" in known
    assert _made_up(_operations(_client(hall, *Role)), 10) == []
