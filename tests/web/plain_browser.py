"""A browser that runs no script: it reads forms and sends them as HTML alone says."""

from dataclasses import dataclass, field
from html.parser import HTMLParser

from tests.web.hall import text


@dataclass
class Field:
    """Something in a form that has a name."""

    name: str
    value: str
    is_asked: bool = False


@dataclass
class FormOnPage:
    """A form, its fields and its buttons."""

    action: str
    method: str
    fields: list[Field] = field(default_factory=list)
    buttons: list[dict[str, str | None]] = field(default_factory=list)

    @property
    def primary(self) -> dict[str, str | None] | None:
        """Return the first button that is the page's own."""
        named = (e for e in self.buttons if "primary" in (e.get("class") or "").split())
        return next(named, None)

    def button(self, name: str, value: str) -> dict[str, str | None] | None:
        """Return the button that sends a value."""
        asked = (name, value)
        return next((e for e in self.buttons if (e.get("name"), e.get("value")) == asked), None)


class _Forms(HTMLParser):
    """Reads the forms of the main part of a page."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[FormOnPage] = []
        self._form: FormOnPage | None = None
        self._in_main = False
        self._choice: Field | None = None

    def handle_starttag(self, tag, attrs):
        """Take note of a form and of what stands in it."""
        told = dict(attrs)
        if tag == "main":
            self._in_main = True
        elif tag == "form" and self._in_main:
            method = told.get("method") or "get"
            self._form = FormOnPage(told.get("action") or "", method)
            self.found.append(self._form)
        elif self._form is not None:
            self._in_form(tag, told)

    def _in_form(self, tag, told):
        if tag == "button":
            self._form.buttons.append(told)
        elif tag == "select":
            self._choice = Field(told["name"], "", "required" in told)
            self._form.fields.append(self._choice)
        elif tag == "option" and self._choice is not None:
            if "selected" in told:
                self._choice.value = told.get("value") or ""
        elif tag in {"input", "textarea"} and told.get("name"):
            kind = told.get("type")
            if kind not in {"radio", "checkbox"} or "checked" in told:
                found = Field(told["name"], told.get("value") or "", "required" in told)
                self._form.fields.append(found)

    def handle_endtag(self, tag):
        """Take note that a form is over."""
        if tag == "form":
            self._form = None
        elif tag == "select":
            self._choice = None
        elif tag == "main":
            self._in_main = False


class PlainBrowser:
    """Somebody's browser with script off, that keeps Django's check of where a form is from."""

    def __init__(self, client, path: str) -> None:
        self._client = client
        self._client.handler.enforce_csrf_checks = True
        self.path = path
        self.page = client.get(path, secure=True)
        assert self.page.status_code == 200, text(self.page)

    def press(self, **typed: str) -> None:
        """Press the primary button, with what was typed into its form."""
        self._press(lambda form: form.primary, typed)

    def choose(self, name: str, value: str) -> None:
        """Press the button that sends a value, where several are alike."""
        self._press(lambda form: form.button(name, value), {})

    def _press(self, button_of, typed: dict[str, str]) -> None:
        forms = _Forms()
        forms.feed(self.page.content.decode())
        form = next((each for each in forms.found if button_of(each)), None)
        assert form is not None, f"nothing to press on {self.path}"
        button = button_of(form)
        sent = {each.name: each.value for each in form.fields} | typed
        blank = [each.name for each in form.fields if each.is_asked and not sent[each.name]]
        assert not blank, f"a browser would not send this without {blank}"
        if button.get("name"):
            sent[button["name"]] = button.get("value") or ""
        self._send(form, sent)

    def _send(self, form: FormOnPage, sent: dict[str, str]) -> None:
        where = form.action or self.path
        if form.method == "get":
            self.page = self._client.get(where, sent, secure=True, follow=True)
        else:
            from_page = f"https://localhost{self.path}"
            self.page = self._client.post(
                where, sent, secure=True, follow=True, HTTP_REFERER=from_page
            )
        assert self.page.status_code == 200, text(self.page)
        self.path = self.page.request["PATH_INFO"]
