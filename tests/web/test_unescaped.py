"""
What somebody types is shown as text, wherever it is shown: nothing of it runs.

The texts are of the kinds in OWASP's "XSS Filter Evasion Cheat Sheet" and "DOM based XSS
Prevention Cheat Sheet", from memory: elements, attributes, addresses, encodings, templates.
"""

import re
from html import unescape
from html.parser import HTMLParser

import msgspec
import pytest
from django.core.handlers.wsgi import WSGIRequest
from django.http import QueryDict
from tests.cast import BRYONY, PINS, SORREL
from tests.web.test_openapi_fuzz import TYPED

from thawline.adapters.pins import FilePins
from thawline.base.roles import Role
from thawline.web.acts import acts
from thawline.web.screens import screens
from thawline.web.staff.models import Staff

TEXTS = (
    "<script>mark()</script>",
    "<SCRIPT SRC=//x.example/a.js></SCRIPT>",
    "</script><script>mark()</script>",
    "<img src=x onerror=mark()>",
    "<IMG SRC=javascript:mark()>",
    "<svg onload=mark()>",
    "<svg><script>mark()</script></svg>",
    "<svg><animate onbegin=mark() attributeName=x>",
    "<math><mi xlink:href=javascript:mark()>x",
    "<iframe src=javascript:mark()>",
    "<iframe srcdoc='<script>mark()</script>'>",
    "<object data=javascript:mark()>",
    "<embed src=javascript:mark()>",
    "<body onload=mark()>",
    "<details open ontoggle=mark()>",
    "<input autofocus onfocus=mark()>",
    "<select autofocus onfocus=mark()>",
    "<video><source onerror=mark()>",
    "<audio src=x onerror=mark()>",
    "<marquee onstart=mark()>",
    "<a href=javascript:mark()>x</a>",
    "<a href='data:text/html,<script>mark()</script>'>x</a>",
    "<form action=javascript:mark()><button>x",
    "<base href=//x.example/>",
    "<link rel=stylesheet href=//x.example/a.css>",
    "<style>*{background:url(//x.example)}</style>",
    "<meta http-equiv=refresh content='0;url=//x.example'>",
    '" onmouseover="mark()" x="',
    "' onfocus='mark()' autofocus='",
    '"><script>mark()</script>',
    "'><img src=x onerror=mark()>",
    "--><script>mark()</script><!--",
    "]]><script>mark()</script>",
    "{{ site.pins }}",
    "{% debug %}",
    "${mark()}",
    "&lt;script&gt;mark()&lt;/script&gt;",
    "&#60;script&#62;mark()&#60;/script&#62;",
    "\uff1cscript\uff1emark()\uff1c/script\uff1e",
    "<scr<script>ipt>mark()</scr</script>ipt>",
)
FEW = TEXTS[::8]
EACH = [pytest.param(text, marks=() if text in FEW else pytest.mark.slow) for text in TEXTS]
NEVER = {
    "img",
    "iframe",
    "object",
    "embed",
    "video",
    "audio",
    "marquee",
    "base",
    "style",
    "math",
}


class _Read(HTMLParser):
    """Reads a page as a browser would, and keeps what could run in it."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.found: list[str] = []
        self.feed(page)

    def handle_starttag(self, tag, attrs):
        told = dict(attrs)
        if tag in NEVER or (tag == "script" and told.get("src") != "/static/web/site.js"):
            self.found.append(tag)
        if tag == "meta" and "http-equiv" in told:
            self.found.append("meta http-equiv")
        for name, value in attrs:
            is_address = name in {"href", "src", "action", "formaction", "data", "srcdoc"}
            elsewhere = is_address and not re.match(r"[/?#]", value or "")
            if name.startswith("on") or name == "style" or elsewhere:
                self.found.append(f"{tag} {name}={value}")


def _runs(page) -> list[str]:
    return _Read(page.content.decode()).found


@pytest.fixture
def leader(hall, monkeypatch):
    """Somebody who may do everything that one role may; every PIN fits, to be quick."""
    monkeypatch.setattr(FilePins, "fits", lambda *_: True)
    hall.employ(SORREL, *Role)
    return hall.browser(BRYONY, *Role)


def test_there_are_thirty_texts_or_more_and_the_reader_sees_what_they_would_do():
    assert len(TEXTS) >= 30
    seen = [text for text in TEXTS[:33] if _Read(f'<p title="{text}">{text}</p>').found]
    assert len(seen) >= 30


@pytest.mark.parametrize("text", EACH)
def test_what_is_typed_into_any_field_of_any_act_never_runs(hall, leader, text):
    ran = []
    beside = {
        "_pin": PINS[BRYONY],
        "_second": SORREL,
        "_second_pin": PINS[SORREL],
        "_why": text,
        "_station": text,
    }
    for act in acts().values():
        if act.name in {"end-sessions", "disable"}:
            continue  # their only text is a name that must be there already
        fields = {f.name: text for f in msgspec.structs.fields(act.form) if f.type is not int}
        ran += _runs(hall.press(leader, act.name, **fields, **beside))
    for path, screen in screens().items():
        address = f"/{path}/{text}" if screen.takes else f"/{path}"
        ran += _runs(
            hall.get(leader, address, QUERY_STRING=f"lot={text}&person={text}&by={text}")
        )
    assert ran == []


ALL_AT_ONCE = "\"'><script>mark()</script><img src=x onerror=mark()>"


def _alone(form) -> list[dict[str, str]]:
    """Return the fields of a form with the text in one of them, the others as people type."""
    texts = [f.name for f in msgspec.structs.fields(form) if f.type is not int]
    plain = {name: TYPED.get(name, ["as printed"])[0] for name in texts}
    return [{**plain, name: ALL_AT_ONCE} for name in texts]


def test_a_text_in_one_field_alone_comes_no_further_than_the_page(hall, leader):
    ran = []
    beside = {"_pin": PINS[BRYONY], "_second": SORREL, "_second_pin": PINS[SORREL], "_why": "x"}
    for act in acts().values():
        if act.name in {"end-sessions", "disable"}:
            continue
        for fields in _alone(act.form):
            answer = hall.press(leader, act.name, **fields, **beside)
            ran += [f"{act.name} {each}" for each in _runs(answer)]
    assert ran == []


class _AnyParameter(QueryDict):
    """A page's question in which whatever is asked for holds the text; keeps what was asked."""

    def __init__(self, text: str, asked: set[str]) -> None:
        super().__init__(mutable=True)
        self._text, self._asked = text, asked

    def __getitem__(self, key):
        self._asked.add(key)
        return self._text

    def get(self, key, default=None):
        del default
        return self[key]

    def getlist(self, key, default=None):
        del default
        return [self[key]]

    def __contains__(self, key) -> bool:
        self._asked.add(key)
        return True

    def __bool__(self) -> bool:
        return True


@pytest.fixture
def parameters(hall, leader, monkeypatch) -> dict[str, set[str]]:
    """What each screen asks of its address, found by answering whatever it asks for."""
    found: dict[str, set[str]] = {}
    for path, screen in screens().items():
        asked = found.setdefault(path, set())
        with monkeypatch.context() as patch:
            patch.setattr(WSGIRequest, "GET", _AnyParameter("x", asked))
            hall.get(leader, f"/{path}/HK47M" if screen.takes else f"/{path}")
    return found


def test_the_parameters_of_the_screens_are_found_by_themselves(parameters):
    assert parameters["vials"] >= {"lot"}
    assert parameters["standby-list"] == {"doses"}
    assert sum(len(names) for names in parameters.values()) >= 10


@pytest.mark.parametrize("text", EACH)
def test_what_stands_in_any_parameter_of_any_screen_never_runs(hall, leader, parameters, text):
    wrong = []
    for path, names in parameters.items():
        address = f"/{path}/HK47M" if screens()[path].takes else f"/{path}"
        for name in sorted(names):
            page = leader.get(address, {name: text}, secure=True)
            wrong += [f"{path} {name} {each}" for each in _runs(page)]
            if page.status_code >= 500:
                wrong.append(f"{path} {name} {page.status_code}")
    assert hall.folder.exists()
    assert wrong == []


# Hard for what counts or reads dates; what is hard about them is common knowledge, from memory.
@pytest.mark.parametrize(
    "text", ["\x00", "9" * 5000, "-1", "\u00b2", "\u0663", "2026-02-30", "1e400", "a" * 5000]
)
def test_a_parameter_that_cannot_be_read_is_answered_and_breaks_nothing(
    leader, parameters, text
):
    broken = {
        (path, name)
        for path, names in parameters.items()
        for name in names
        if leader.get(
            f"/{path}/HK47M" if screens()[path].takes else f"/{path}",
            {name: text},
            secure=True,
        ).status_code
        >= 500
    }
    assert broken == set()


@pytest.mark.parametrize("text", EACH)
def test_the_door_shows_what_was_typed_as_text(hall, text):
    client = hall.browser()
    pages = [
        client.post("/door", {"name": text, "passphrase": text, "_next": text}, secure=True),
        client.post("/enrol", {"code": text}, secure=True),
        client.post("/begin", {"code": text, "name": text, "pin": text}, secure=True),
        client.get("/door", {"next": text}, secure=True),
        client.get("/enrol", {"code": text}, secure=True),
    ]
    assert [found for page in pages for found in _runs(page)] == []


def test_a_name_with_signs_of_markup_is_shown_as_it_is_and_not_run(hall, leader):
    name = "<b onclick=x>Bee</b> & Co"
    hall.press(leader, "employ", name=name, _pin=PINS[BRYONY])
    assert Staff.objects.filter(name=name).exists()
    page = hall.get(leader, "/set-up")
    assert name in unescape(page.content.decode())
    assert name not in page.content.decode()
    assert _runs(page) == []
