"""
The tablets of a large site under load: each asks on its own clock, and presses as people do.

A preparer opens vials and draws from them, one open vial each; a vaccinator records the doses
that were drawn as given; a lead only looks. All read their own page, the vials and the state.
"""

import http.client
import json
import random
import ssl
import threading
import time
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from queue import Empty, SimpleQueue
from re import search
from urllib.parse import urlencode
from uuid import uuid4

from tests.web.served import PASSPHRASE, SEED, Served

_JSON = {"Content-Type": "application/json"}
_FORM = {"Content-Type": "application/x-www-form-urlencoded"}
AGAIN_S = 2.0
"""How long the server asks to wait, in its `Retry-After`."""


@dataclass
class Seen:
    """What one tablet saw: seconds from due to answer by kind, statuses, receipts."""

    took: dict[str, list[float]] = field(default_factory=dict)
    statuses: Counter[int] = field(default_factory=Counter)
    receipts: list[str] = field(default_factory=list)
    unsure: list[dict[str, object]] = field(default_factory=list)


@dataclass(frozen=True)
class Act:
    """One press; it keeps its id however often it is sent."""

    name: str
    form: dict[str, str]
    id: str = field(default_factory=lambda: str(uuid4()))


class Line:
    """A tablet's connection, with the cookies of whoever is logged in."""

    def __init__(self, served: Served, name: str, station: str) -> None:
        self._address = served.address
        context = ssl.create_default_context()
        context.check_hostname, context.verify_mode = False, ssl.CERT_NONE
        self._line = http.client.HTTPSConnection("localhost", served.port, context=context)
        self._cookies: dict[str, str] = {}
        self._token = self._token_of(self.ask("GET", "/door")[2])
        form = {"name": name, "passphrase": PASSPHRASE, "station": station}
        sent = urlencode({**form, "csrfmiddlewaretoken": self._token})
        status, headers, _ = self.ask("POST", "/door", sent, _FORM)
        assert status == 302, f"{name} is not let in: {status}"
        self.own = self.ask("GET", headers["Location"])[1].get("Location", "")
        self._token = self._token_of(self.ask("GET", self.own)[2])

    @staticmethod
    def _token_of(page: bytes) -> str:
        found = search(rb'name="csrfmiddlewaretoken" value="([^"]+)"', page)
        assert found, "no form on the page"
        return found[1].decode()

    def send(self, act: Act, station: str) -> tuple[int, dict[str, object]]:
        """Send an act; return the status and what was answered."""
        body = {"id": act.id, "elapsed_ms": 0, "station": station, "form": act.form}
        status, _, told = self.ask("POST", f"/api/act/{act.name}", json.dumps(body), _JSON)
        return status, json.loads(told) if told[:1] == b"{" else {}

    def ask(self, verb, path, body=None, headers=None):
        """Return status, headers and body; status 0: nothing was heard, asked twice."""
        told = {
            "Cookie": "; ".join(f"{name}={value}" for name, value in self._cookies.items()),
            "X-CSRFToken": getattr(self, "_token", ""),
            "Referer": self._address + "/",
            **(headers or {}),
        }
        for _ in range(2):  # a line that the server closed meanwhile is opened again
            try:
                self._line.request(verb, path, body, told)
                answer = self._line.getresponse()
                content = answer.read()
                break
            except (OSError, http.client.HTTPException):
                self._line.close()
        else:
            return 0, {}, b""
        for line in answer.headers.get_all("Set-Cookie") or ():
            name, _, rest = line.partition("=")
            self._cookies[name] = rest.partition(";")[0]
        return answer.status, answer.headers, content


@dataclass(frozen=True)
class Pace:
    """So many requests a second from so many tablets, and the share of presses among them."""

    rate: float
    tablets: int
    presses: float


class Tablet(threading.Thread):
    """One tablet; `acts` yields what is pressed next, None where there is nothing to press."""

    def __init__(self, line: Line, station: str, pages: tuple[str, ...], number: int) -> None:
        super().__init__(daemon=True)
        self.seen = Seen()
        self._line, self._station, self._number = line, station, number
        self._pages = (line.own, *pages)
        self._dice = random.Random(SEED * 1000 + number)  # noqa: S311  a load, no secret
        self._tags: dict[str, str] = {}
        self._waits: list[tuple[float, Act]] = []
        self._due = self._until = self._every = self._presses = 0.0

    def begin(self, start: float, until: float, pace: Pace) -> None:
        """Ask from then until then, each tablet at its own part of the turn."""
        self._every, self._presses = pace.tablets / pace.rate, pace.presses
        self._due = start + self._number * self._every / pace.tablets
        self._until = until
        self.start()

    def next_act(self) -> Act | None:
        """Return what is pressed next; None: nothing can be pressed here now."""
        return None

    def is_recorded(self, act: Act, answer: dict[str, object]) -> None:
        """Take note of an act that the site has recorded."""

    def run(self) -> None:
        """Ask until the time is over; then send what still waits, until all is answered."""
        while self._due < self._until:
            time.sleep(max(0.0, self._due - time.monotonic()))
            act = self._act() if self._dice.random() < self._presses else None
            kind, status = self._press(act) if act is not None else self._look()
            self.seen.took.setdefault(kind, []).append(time.monotonic() - self._due)
            self.seen.statuses[status] += 1
            self._due += self._every
        for _, act in self._waits:
            while self._sent(act) in {0, 503}:
                time.sleep(AGAIN_S)

    def _act(self) -> Act | None:
        """Return an act that was told to wait and has, else a new one."""
        if self._waits and self._waits[0][0] <= time.monotonic():
            return self._waits.pop(0)[1]
        return self.next_act()

    def _press(self, act: Act) -> tuple[str, int]:
        status = self._sent(act)
        if status in {0, 503}:
            self._waits.append((time.monotonic() + AGAIN_S, act))
        return "told 503" if status == 503 else "an act", status

    def _sent(self, act: Act) -> int:
        status, answer = self._line.send(act, self._station)
        if status == 200:
            self.seen.receipts.append(str(answer["id"]))
            self.is_recorded(act, answer)
        elif status not in {0, 503}:
            self.seen.unsure.append({"act": act.name, "status": status, **answer})
        return status

    def _look(self) -> tuple[str, int]:
        path = self._dice.choice(self._pages)
        tag = self._tags.get(path)
        asked = {"If-None-Match": tag} if tag else {}
        status, headers, _ = self._line.ask("GET", path, headers=asked)
        if status == 200:
            self._tags[path] = headers.get("ETag", "")
        if status in {304, 503}:
            return ("not changed" if status == 304 else "told 503"), status
        return ("the state" if path == "/api/state" else "a page"), status


class Preparer(Tablet):
    """Opens a vial, draws each of its doses, opens the next."""

    def __init__(self, line, station, number, vials: Iterable[str], drawn, doses: int) -> None:
        super().__init__(line, station, ("/vials", "/api/state"), number)
        self._presses_to_come = self._of(vials, doses)
        self._drawn: SimpleQueue[str] = drawn

    @staticmethod
    def _of(vials: Iterable[str], doses: int) -> Iterator[Act]:
        for vial in vials:
            yield Act("open-vial", {"vial": vial})
            yield from (Act("draw-dose", {"vial": vial}) for _ in range(doses))

    def next_act(self) -> Act | None:
        """Return the next act at this table."""
        return None if self._waits else next(self._presses_to_come, None)

    def is_recorded(self, act: Act, answer: dict[str, object]) -> None:
        """Put the drawn syringe where a vaccinator takes it."""
        if act.name == "draw-dose":
            self._drawn.put(str(answer["says"]).rpartition(": ")[2])


class Vaccinator(Tablet):
    """Takes a drawn syringe and records it as given to the next person."""

    def __init__(self, line, station, number, drawn, people) -> None:
        super().__init__(line, station, ("/vials", "/api/state"), number)
        self._drawn: SimpleQueue[str] = drawn
        self._people: SimpleQueue[str] = people

    def next_act(self) -> Act | None:
        """Return a dose that was given; None while no syringe lies here."""
        try:
            syringe = self._drawn.get_nowait()
        except Empty:
            return None
        person = self._people.get()
        self._people.put(person)
        return Act("give-dose", {"person": person, "code": syringe, "arm": "left"})
