"""
The way in: reads the options that every command shares, runs one command, prints its answer.

`--json`, `--csv`, `--quiet`, `--plain`, `--exit-zero` and `--home` may stand anywhere. Nothing
is asked of the person; a command that lacks something says which option gives it.
"""

import inspect
import os
import sys
import traceback
from collections.abc import Sequence
from dataclasses import dataclass
from importlib import import_module
from io import TextIOWrapper

from cyclopts import App, CycloptsError

from thawline.base.errors import ThawlineError
from thawline.cli.answers import Answer, Trouble, trouble
from thawline.cli.printing import Style, print_answer, print_trouble, set_form
from thawline.cli.surroundings import set_home
from thawline.cli.text import WIDTH

NOUNS = {
    "protocol": "The rules: show, check, compare, sign, adopt.",
    "site": "A site's folder: make one, show it, name its storage units.",
    "vial": "Vials: receive, move, open, draw, hold, and how long each may be used.",
    "lot": "A whole lot: hold, release, who had it.",
    "cold": "The cold store: logger files, pictures, units, alerts, calls.",
    "booking": "Bookings: load a file, list.",
    "person": "People at the desk: compare, walk-ups, consent, whom to call.",
    "standby": "The standby list: add a name, whom to call now, the answer.",
    "plan": "What to thaw and when; what an opened vial wastes.",
    "replay": "A day of the record played again, or with one thing changed.",
    "screening": "Screening: decide by a rule set, ask, clear, print cards.",
    "dose": "Doses: check before the needle, record, correct, find; needle length.",
    "observe": "Observation: who may leave, emergency card and stamps, the kit.",
    "second": "Second doses: when, who is due or late, places, moves.",
    "reaction": "Reactions: notes, reports, seen against expected, rates.",
    "stock": "What is where, and physical counts.",
    "closeout": "Does the day balance? Run it, sign it.",
    "export": "Files for others: an appointment for a calendar.",
    "journal": "Everything recorded: list, show, undo, correct, verify.",
    "serve": "A site's screens, for its laptop and tablets.",
    "backup": "Copies of the record: make, check, restore.",
    "doctor": "Is this machine and this site in order?",
    "demo": "Build the invented district's Tuesday and show it.",
    "help": "The glossary: thawline help words.",
}
_PROMISE = "One protocol file runs a vaccination site, from frozen carton to second dose."
_EXAMPLES = "thawline vial list --open --at 13:37\nthawline protocol show example-10"
_FLAGS = {"--json", "--csv", "--quiet", "--plain", "--exit-zero"}


@dataclass(frozen=True, slots=True)
class Asked:
    """The shared options and the words that are left for the command."""

    words: tuple[str, ...]
    flags: frozenset[str]
    home: str | None


def build_app(explained: str = "") -> App:
    """Return the command tree; nouns are imported when they are used, or explained."""
    app = App(
        name="thawline",
        help=f"{_PROMISE}\n\n{_EXAMPLES}",
        help_format="plaintext",
        version_flags=["--version"],
        end_of_options_delimiter="",
    )
    for noun, says in NOUNS.items():
        shown = "\n".join([says, "", *_examples(noun)]) if noun == explained else says
        app.command(f"thawline.cli.{noun}:app", name=noun, help=shown)
    return app


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code."""
    asked = read_shared(sys.argv[1:] if argv is None else argv)
    set_home(asked.home)
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, TextIOWrapper):  # what a terminal cannot show is spelled out
            stream.reconfigure(errors="backslashreplace")
    style = Style.of(asked.flags, colour=sys.stdout.isatty() and "NO_COLOR" not in os.environ)
    set_form(style)
    result = _answer_or_trouble(asked.words)
    try:
        _print(result, style)
        sys.stdout.flush()
    except BrokenPipeError:  # whoever read the answer has stopped reading
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    code = result.exit_code if isinstance(result, Answer | Trouble) else 0
    return 0 if code == 1 and "--exit-zero" in asked.flags else code


def read_shared(argv: Sequence[str]) -> Asked:
    """Return the shared options apart; a value that starts with a minus joins its option."""
    words: list[str] = []
    home: str | None = None
    waiting = list(argv)
    while waiting:
        word = waiting.pop(0)
        if word == "--home" and waiting:
            home = waiting.pop(0)
        elif word.startswith("--home="):
            home = word.partition("=")[2]
        elif _is_negative(word) and words and _takes_value(words[-1]):
            words[-1] += f"={word}"
        elif word not in _FLAGS:
            words.append(word)
    return Asked(tuple(words), frozenset(_FLAGS & set(argv)), home)


def _is_negative(word: str) -> bool:
    return len(word) > 1 and word[0] == "-" and (word[1].isdigit() or word[1] == ".")


def _takes_value(word: str) -> bool:
    return word.startswith("--") and "=" not in word


def _print(result: object, style: Style) -> None:
    if isinstance(result, Trouble):
        print_trouble(result, style)
    elif isinstance(result, Answer):
        print_answer(result, style)


def _answer_or_trouble(words: Sequence[str]) -> object:
    try:
        return _answer(words)
    except ThawlineError as error:
        return trouble(error)
    except OSError as error:
        says = f"cannot read or write {error.filename or 'a file'}: {error.strerror or error}"
        return Trouble(3, "file", says, "thawline doctor")
    except KeyboardInterrupt:
        return Trouble(130, "stopped", "stopped; nothing more was recorded")
    except Exception as error:  # noqa: BLE001  the outermost loop: reported, never swallowed
        traceback.print_exc()
        says = f"internal error: {type(error).__name__}: {error}"
        return Trouble(70, "internal", says, "thawline doctor")


def _answer(words: Sequence[str]) -> object:
    try:
        command, bound, _ = _app_for(words).parse_args(
            list(words), exit_on_error=False, print_error=False
        )
    except CycloptsError as error:
        return _usage(error)
    return command(*bound.args, **bound.kwargs)


def _app_for(words: Sequence[str]) -> App:
    """Return the command tree; where help is asked for, with what help needs."""
    if not {"--help", "-h"} & set(words) and len(words) > 1:
        return build_app()
    from rich.console import Console  # noqa: PLC0415  only where help is printed

    bare = len(words) > 0 and words[0] in NOUNS and set(words[1:]) <= {"--help", "-h"}
    app = build_app(words[0] if bare else "")
    app.help_formatter = "plain"  # not before: twenty modules come with it
    if not sys.stdout.isatty():
        app.console = Console(width=WIDTH)
    return app


def _examples(noun: str) -> list[str]:
    """Return examples of the first two verbs of a noun, as their own help has them."""
    app = import_module(f"thawline.cli.{noun}").app
    verbs = [app[verb] for verb in app if not verb.startswith("-")][:2] or [app]
    told = [inspect.getdoc(verb.default_command) or "" for verb in verbs]
    found = [[line for line in text.splitlines() if _is_example(line)] for text in told]
    return [line for lines in found for line in lines[: 3 - len(verbs)]]


def _is_example(line: str) -> bool:
    return line.startswith("thawline ")


def _usage(error: CycloptsError) -> Trouble:
    says = " ".join(str(error).split())
    named = " ".join(error.command_chain or ())
    return Trouble(2, "usage", says, f"thawline {named} --help".replace("  ", " "))
