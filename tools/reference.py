"""
Writes the generated pages of docs/reference: every command, event and cell of the rights.

Run `python tools/reference.py` after one of them changed; a test compares the pages.
"""

import inspect
import re
import sys
from collections import Counter
from importlib import import_module
from pathlib import Path

from cyclopts import App

from thawline.base.roles import Role
from thawline.cli.entrance import NOUNS
from thawline.ledger.kinds import EVENTS
from thawline.web.rights import Way, rights

REFERENCE = Path(__file__).parents[1] / "docs" / "reference"

_ABOUT_COMMANDS = """# Commands

Generated from the commands themselves. `thawline NOUN VERB --help` says the same with every
option. `--json`, `--csv`, `--quiet`, `--plain`, `--exit-zero` and `--home FOLDER` may stand
anywhere."""
_ABOUT_EVENTS = """# Events

Generated from the types. One act is one event; bodies hold strings, whole numbers, booleans and
null only. Who, when, where and under which protocol stand in the entry around it: see
[the ledger's format](ledger-format.md)."""

_ABOUT_RIGHTS = """# Rights

Generated from `rights.toml`, which the screens, the acts and the tests read too. What does not
stand here is denied. A role counts only with a current sign-off, and not on a locked screen.

`yes` at any station; `own` at their own station, or about their own record; `PIN` with their
PIN typed again; `two` with a second person, whose own role the row allows too; `any` also on a
locked tablet; `-` denied. *Glass*: also whoever broke the glass, alone, with their PIN."""
_WAYS = {
    Way.ANYBODY: ("any", "open to anybody"),
    Way.ALLOWED: ("yes", "allowed"),
    Way.OWN: ("own", "for one's own"),
    Way.PIN: ("PIN", "with the PIN again"),
    Way.TWO: ("two", "with a second person"),
    Way.DENIED: ("-", "denied"),
}
_SHORT = dict(
    zip(
        Role,
        ("Re", "Sc", "Pr", "Va", "Ob", "Ru", "SL", "VC", "CL", "Tr", "DS", "TA", "Au", "HU"),
        strict=True,
    )
)


def pages() -> dict[str, str]:
    """Return the text of each generated page, by file name."""
    return {
        "commands.md": commands_page(),
        "events.md": events_page(),
        "rights.md": rights_page(),
    }


def commands_page() -> str:
    """Return the page of all commands, from their own help."""
    parts = [_ABOUT_COMMANDS]
    for noun in NOUNS:
        parts.append(f"## thawline {noun}\n\n{NOUNS[noun]}")
        parts += [_command(noun, name, doc) for name, doc in sorted(commands(noun).items())]
    return "\n\n".join(parts) + "\n"


def commands(noun: str) -> dict[str, str]:
    """Return the docstring of each verb of a noun; the noun's own under an empty name."""
    app: App = import_module(f"thawline.cli.{noun}").app
    found = {}
    if app.default_command is not None:
        found[""] = inspect.getdoc(app.default_command) or ""
    for name in app:
        if not name.startswith("-"):
            found[name] = inspect.getdoc(app[name].default_command) or ""
    return found


def _command(noun: str, verb: str, doc: str) -> str:
    body = doc.partition("\nParameters\n")[0].strip()
    blocks = [block.strip() for block in body.split("\n\n")]
    shown = [
        f"```\n{block}\n```" if block.startswith("thawline ") else " ".join(block.split())
        for block in blocks
    ]
    return "\n\n".join([f"### {noun} {verb}".strip(), *shown])


def events_page() -> str:
    """Return the page of all events, from their types."""
    parts = [_ABOUT_EVENTS]
    for name, event in EVENTS.items():
        rows = [f"| `{field}` | {_type(kind)} |" for field, kind in _fields(event)]
        doc = " ".join((inspect.getdoc(event) or "").split())
        head = [f"## {name}\n\n{doc}\n", "| field | holds |", "|---|---|"]
        parts.append("\n".join([*head, *rows]))
    return "\n\n".join(parts) + "\n"


def _fields(event: type) -> list[tuple[str, object]]:
    return list(inspect.get_annotations(event).items())


def _type(kind: object) -> str:
    written = getattr(kind, "__name__", str(kind)) if isinstance(kind, type) else str(kind)
    words = {"int": "number", "str": "text", "bool": "yes or no", "None": "not known"}
    return re.sub(r"\w+", lambda found: words.get(found[0], found[0]), written).replace(
        "|", "or"
    )


def rights_page() -> str:
    """Return the page of who may do what: a row an action, a column a role."""
    rows = rights()
    counted = Counter(row.way(role) for row in rows.values() for role in Role)
    told = ", ".join(f"{counted[way]} {_WAYS[way][1]}" for way in sorted(_WAYS, reverse=True))
    cells = f"{len(rows)} actions for {len(Role)} roles are {counted.total()} cells: {told}."
    named = ", ".join(f"**{_SHORT[role]}** {role.value}" for role in Role)
    head = "| action | " + " | ".join(_SHORT[role] for role in Role) + " |"
    table = [head, "|---|" + "---|" * len(Role)]
    for name, row in rows.items():
        signs = " | ".join(_WAYS[row.way(role)][0] for role in Role)
        glass = " (glass)" if row.glass else ""
        table.append(f"| `{name}`: {row.says}{glass} | {signs} |")
    return "\n\n".join([_ABOUT_RIGHTS, cells, named + ".", "\n".join(table)]) + "\n"


def main() -> int:
    """Write the pages; say which changed."""
    for name, text in pages().items():
        path = REFERENCE / name
        if not path.exists() or path.read_text() != text:
            path.write_text(text)
            sys.stdout.write(f"{name} written\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())
