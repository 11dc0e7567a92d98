"""
The product's answer beside the reference's, and the smallest story on which they differ.

One difference is the safety figure: the product says usable and the reference says not.
"""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any

from tests.reference import vial_clocks
from tests.reference.dice import Dice
from tests.reference.histories import History, history

from thawline.base.errors import ThawlineError
from thawline.vial import reckon as product_reckon
from thawline.vial import standing as product_standing
from thawline.vial.story import read_story

UNSAFE = "product says usable, reference says not"
USELESS = "reference says usable, product says not"
REFUSED = "product cannot read the story"
_COMPARED = ("use_by", "set_by", "ready_at", "state", "codes", "clocks")
_MS = timedelta(milliseconds=1)
EXAMPLES_KEPT = 5


@dataclass
class Tally:
    """How many answers were compared, and a few examples of each kind of difference."""

    answers: int = 0
    usable: int = 0
    differences: Counter[str] = field(default_factory=Counter)
    examples: dict[str, list[History]] = field(default_factory=dict)

    def count(self, asked: History) -> None:
        """Compare one answer."""
        self.answers += 1
        expected = reference_answer(asked)
        self.usable += expected["usable"]
        for difference in differences(asked, expected):
            self.differences[difference] += 1
            kept = self.examples.setdefault(difference, [])
            kept.append(asked)
            kept.sort(key=lambda one: len(one.story["events"]) + len(one.versions))
            del kept[EXAMPLES_KEPT:]

    def add(self, other: "Tally") -> None:
        """Take in what another process counted."""
        self.answers += other.answers
        self.usable += other.usable
        self.differences += other.differences
        for difference, examples in other.examples.items():
            self.examples.setdefault(difference, []).extend(examples)


def compared(seed: int, numbers: range) -> Tally:
    """Compare the two on the histories of these numbers; each also asked at its own limit."""
    tally = Tally()
    for number in numbers:
        for asked in questions(seed, number):
            tally.count(asked)
    return tally


def questions(seed: int, number: int) -> Iterator[History]:
    """Yield the history as drawn and, where use-by is known, a moment before it or at it."""
    drawn = history(seed, number)
    yield drawn
    use_by = reference_answer(drawn)["use_by"]
    beside = Dice(number).pick([-_MS, timedelta(0), _MS])
    if use_by is not None and use_by + beside > drawn.at:
        yield drawn._replace(at=use_by + beside)


def reference_answer(asked: History) -> dict[str, Any]:
    """Return what the reference says; one version is reckoned, several are stood under."""
    if len(asked.versions) == 1:
        return vial_clocks.reckon(asked.story, asked.versions[0], asked.at)
    return vial_clocks.standing(asked.story, asked.versions, asked.at)


def product_answer(asked: History) -> dict[str, Any]:
    """Return what the product says, in the reference's words."""
    story = read_story(asked.story)
    if len(asked.versions) == 1:
        told = product_reckon.reckon(story, asked.versions[0], asked.at)
    else:
        told = product_standing.standing(story, asked.versions, asked.at)
    return {
        "state": str(told.state),
        "usable": told.usable,
        "ready_at": told.ready_at,
        "use_by": told.use_by,
        "set_by": told.set_by,
        "clocks": {c.clock: (c.ends, c.used) for c in told.clocks if c.used and c.ends},
        "codes": sorted({finding.code for finding in told.findings}),
    }


def differences(asked: History, expected: dict[str, Any]) -> list[str]:
    """Return each kind of difference, the safety figure first."""
    try:
        told = product_answer(asked)
    except ThawlineError as error:
        return [f"{REFUSED}: {error.says}"]
    rows = expected["clocks"]
    expected = expected | {
        "clocks": {r["clock"]: (r["ends"], r["used"]) for r in rows if r["used"] and r["ends"]}
    }
    if told["use_by"] is None:
        told = told | {"clocks": expected["clocks"]}
    if told == expected:
        return []
    found = []
    if told["usable"] != expected["usable"]:
        found.append(UNSAFE if told["usable"] else USELESS)
    return found + [key for key in _COMPARED if told[key] != expected[key]]


# --- the smallest example ---------------------------------------------------------------


def smallest(asked: History, difference: str) -> History:
    """Return the history without all that the difference can spare."""
    shorter = next((s for s in _shorter(asked) if _shows(s, difference)), None)
    return asked if shorter is None else smallest(shorter, difference)


def _shows(asked: History, difference: str) -> bool:
    return difference in differences(asked, reference_answer(asked))


def _shorter(asked: History) -> Iterator[History]:
    events = asked.story["events"]
    for place in range(len(events)):
        yield _with_events(asked, events[:place] + events[place + 1 :])
    for place in range(len(asked.versions)):
        if len(asked.versions) > 1:
            yield asked._replace(versions=asked.versions[:place] + asked.versions[place + 1 :])
    for place, event in enumerate(events):
        if isinstance(event["at"], dict):
            exact = event | {"at": event["at"]["from"]}
            yield _with_events(asked, [*events[:place], exact, *events[place + 1 :]])


def _with_events(asked: History, events: list[dict[str, Any]]) -> History:
    return asked._replace(story=asked.story | {"events": events})


def written_out(asked: History) -> dict[str, Any]:
    """Return the question and both answers, ready for JSON."""
    try:
        told = product_answer(asked)
    except ThawlineError as error:
        told = {"refused": error.says}
    return {
        "at": asked.at.isoformat(),
        "story": asked.story,
        "versions": [_figures(version) for version in asked.versions],
        "reference": _plain(reference_answer(asked)),
        "product": _plain(told),
    }


def _figures(rules: Any) -> dict[str, str]:
    limits = {name: repr(clock) for name, clock in rules.clocks.items()}
    parts = {"caps": rules.caps, "thaw": rules.thaw, "transport": rules.transport}
    since = rules.protocol.effective_from.isoformat()
    return {"since": since} | limits | {name: repr(part) for name, part in parts.items()}


def _plain(answer: dict[str, Any]) -> dict[str, Any]:
    return {
        key: value.isoformat() if isinstance(value, datetime) else repr(value)
        for key, value in answer.items()
    }
