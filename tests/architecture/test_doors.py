"""
The doors of the pure rooms.

The import contracts in pyproject.toml name each room with `.**`, so that a room may be absent;
that form leaves out the room's own `__init__.py`. These tests close that gap.
"""

import ast
import tomllib

from tests.architecture.tree import PACKAGE, ROOT, parsed, place

SETTINGS = tomllib.loads((ROOT / "pyproject.toml").read_text())
CONTRACTS = {c["id"]: c for c in SETTINGS["tool"]["importlinter"]["contracts"]}
PURE = {name.split(".")[1] for name in CONTRACTS["pure"]["source_modules"]}
SHELL = {"__main__", "cli", "web", "demo", "adapters", "app"}
ROOMS = {
    *("receive", "store", "thaw", "prepare", "screen", "give", "observe", "rebook", "account")
}


def _doors(names):
    return [
        door for name in sorted(names) if (door := PACKAGE / name / "__init__.py").is_file()
    ]


def _roots(node: ast.AST) -> list[str]:
    if isinstance(node, ast.Import):
        return [alias.name.split(".")[0] for alias in node.names]
    return [(node.module or "").split(".")[0]] if isinstance(node, ast.ImportFrom) else []


def test_each_layer_is_either_pure_or_shell():
    layers = " | ".join(CONTRACTS["journey"]["layers"])
    named = {name.strip().strip("()") for name in layers.split("|")}

    assert named == PURE | SHELL


def test_the_doors_of_pure_rooms_open_inwards_only():
    strays = [
        place(door, node)
        for door in _doors(PURE)
        for node in ast.walk(parsed(door))
        if set(_roots(node)) - {"thawline"}
    ]

    assert not strays


def test_each_folder_says_at_its_door_what_it_is_for():
    silent = [d.parent.name for d in _doors(PURE | SHELL) if not ast.get_docstring(parsed(d))]

    assert not silent


def test_each_room_lists_its_public_names():
    unlisted = [d.parent.name for d in _doors(ROOMS) if "__all__" not in d.read_text()]

    assert not unlisted
