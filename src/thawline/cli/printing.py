"""Prints answers: the result on stdout, talk on stderr, colour only on a terminal."""

import csv
import json
import re
import sys
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from thawline.base.findings import Finding, Level
from thawline.cli.answers import (
    Answer,
    Trouble,
    alert_lines,
    envelope,
    trouble_envelope,
)
from thawline.cli.surroundings import speaks_of_demo

_COLOURS = {Level.STOP: "\x1b[1;97;41m", Level.ACT: "\x1b[1;30;43m", Level.CHECK: "\x1b[36m"}
_PLAIN = "\x1b[0m"


@dataclass(frozen=True, slots=True)
class Style:
    """How to print: as text, JSON or CSV; quiet; in colour."""

    form: str
    quiet: bool
    colour: bool

    @classmethod
    def of(cls, flags: frozenset[str], *, colour: bool) -> "Style":
        """Return the style that the shared flags ask for."""
        form = "json" if "--json" in flags else "csv" if "--csv" in flags else "text"
        return cls(form, "--quiet" in flags, colour and "--plain" not in flags)


_FORM: list[str] = ["text"]


def set_form(style: Style) -> None:
    """Take the style of this run for what a command says before it answers."""
    _FORM[0] = "none" if style.quiet else style.form


def say(lines: Iterable[str]) -> None:
    """
    Print what a command says while it goes on, at once.

    On stdout as text; beside a JSON or CSV answer on stderr, as talk; not at all when quiet.
    """
    out = sys.stdout if _FORM[0] == "text" else sys.stderr
    for line in lines:
        if _FORM[0] != "none":
            print(without_controls(line), file=out, flush=True)


def print_answer(answer: Answer, style: Style) -> int:
    """Print an answer and return its exit code."""
    if style.form == "json":
        _print_json(_marked(envelope(answer)))
    elif style.form == "csv" and answer.csv is not None:
        csv.writer(sys.stdout, lineterminator="\n").writerows(map(_safe_row, answer.csv))
    elif not style.quiet:
        _print_text(answer, style)
    return answer.exit_code


def print_trouble(what: Trouble, style: Style) -> int:
    """Print why there is no answer and return its exit code."""
    if style.form == "json":
        _print_json(_marked(trouble_envelope(what)))
    elif what.alerts:
        print("\n".join([*demo_mark(), *_coloured(what.alerts, style)]))  # noqa: T201
        _print_try(what)
    else:
        print(_begun(without_controls(what.says)), file=sys.stderr)  # noqa: T201
        _print_try(what)
    return what.exit_code


def _begun(says: str) -> str:
    """Return a sentence with its capital; the name of a file keeps its own letters."""
    first = says.split(" ", 1)[0].rstrip(".,:;")
    return says if "." in first or "/" in first else f"{says[:1].upper()}{says[1:]}"


DEMO = "DEMO: everything at this site is invented"


def _marked(whole: dict[str, Any]) -> dict[str, Any]:
    """Return the object with a mark where it speaks of an invented site."""
    return {**whole, "demo": True} if speaks_of_demo() else whole


def demo_mark() -> list[str]:
    """Return the line that stands over everything about an invented site."""
    return [DEMO] if speaks_of_demo() else []


def _print_text(answer: Answer, style: Style) -> None:
    parts = [
        *demo_mark(),
        *_coloured(answer.alerts, style),
        without_controls(answer.text.rstrip("\n")),
    ]
    print("\n".join(part for part in parts if part))  # noqa: T201


def _print_try(what: Trouble) -> None:
    if what.advice:
        print(f"Try: {what.advice}", file=sys.stderr)  # noqa: T201


def _print_json(value: dict[str, Any]) -> None:
    print(json.dumps(value, ensure_ascii=False, indent=2))  # noqa: T201


def _coloured(alerts: Sequence[Finding], style: Style) -> list[str]:
    lines = [without_controls(line) for line in alert_lines(alerts)]
    if not style.colour:
        return lines
    return [
        f"{_COLOURS[alert.level]}{line}{_PLAIN}"
        for alert, line in zip(alerts, lines, strict=True)
    ]


_CONTROL = re.compile(r"[\x00-\x09\x0b-\x1f\x7f-\x9f]")


def without_controls(text: str) -> str:
    """Return the text with what would steer a terminal spelled out."""
    return _CONTROL.sub(lambda found: ascii(found.group())[1:-1], text)


_FORMULA = ("=", "+", "-", "@", "\t", "\r", "\0", "＝", "＋", "－", "＠")  # noqa: RUF001


def _safe_row(row: Any) -> list[object]:
    """Return the row with no text cell that a spreadsheet would run; numbers stay numbers."""
    return [
        f"'{cell}" if isinstance(cell, str) and cell.lstrip(" ").startswith(_FORMULA) else cell
        for cell in row
    ]
