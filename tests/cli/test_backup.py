"""`thawline backup`: what a person or a program reads, and the exit code."""

import json
from pathlib import Path
from shutil import copy

import pytest

from thawline.cli import main

BY = ["--by", "Rowan Thistle", "--why", "laptop fell"]


@pytest.fixture
def home(tmp_path) -> Path:
    """A site with one dose told from a card."""
    home = tmp_path / "home"
    words = ["--home", str(home)]
    main(["site", "new", "harrowmint", "--zone", "America/Chicago", *words])
    main(["dose", "told", "DEMO-000001", "2026-02-03", "--by", "Rowan Thistle", *words])
    return home


def asked(capsys, home, *words):
    capsys.readouterr()
    code = main(["backup", *map(str, words), "--home", str(home), "--json"])
    return code, json.loads(capsys.readouterr().out)


def made(capsys, home):
    return Path(asked(capsys, home, "make")[1]["data"]["file"])


def test_a_backup_is_made_and_says_what_it_holds(capsys, home):
    code, answer = asked(capsys, home, "make")

    data = answer["data"]
    assert (code, data["in_order"], data["entries"], data["seq"]) == (0, True, 1, 1)
    assert Path(data["file"]).stat().st_size == data["size_bytes"]
    assert data["short"].replace(" ", "") == data["head"][:16]


def test_a_backup_is_checked(capsys, home):
    file = made(capsys, home)

    code, answer = asked(capsys, home, "check", file)

    assert (code, answer["data"]["in_order"]) == (0, True)


def test_a_damaged_backup_cannot_be_read(capsys, home):
    file = made(capsys, home)
    held = bytearray(file.read_bytes())
    held[-20] ^= 1
    file.write_bytes(held)

    code, answer = asked(capsys, home, "check", file)

    assert (code, answer["error"]["code"]) == (3, "record")
    assert answer["error"]["says"].startswith("the backup is damaged")


def test_a_missing_backup_is_not_found(capsys, home):
    code, answer = asked(capsys, home, "check", home / "none.backup")

    assert (code, answer["error"]["code"]) == (5, "not-found")


def test_a_site_is_restored_on_a_new_machine_with_the_key_from_the_envelope(
    capsys, home, tmp_path
):
    file = made(capsys, home)
    key = copy(home / "sites" / "harrowmint" / "keys" / "backup.key", tmp_path)
    new = tmp_path / "new"

    code, answer = asked(capsys, new, "restore", file, *BY, "--key", key)

    assert code == 0
    assert (answer["data"]["site"], answer["data"]["epoch"], answer["data"]["seq"]) == (
        *("harrowmint", 2, 2),
    )
    assert main(["journal", "verify", "--home", str(new)]) == 0
    assert main(["second", "due", "--home", str(new)]) in (0, 3)


def test_newer_entries_are_not_put_aside_unless_somebody_says_so(capsys, home):
    file = made(capsys, home)
    words = ["--by", "Rowan Thistle", "--home", str(home)]
    main(["dose", "told", "DEMO-000002", "2026-02-04", *words])

    code, answer = asked(capsys, home, "restore", file, *BY)
    assert (code, answer["alerts"][0]["code"]) == (4, "ledger-ahead")

    code, answer = asked(capsys, home, "restore", file, *BY, "--replace")
    assert (code, answer["data"]["parent_seq"]) == (0, 1)
    aside = home / "sites" / ".replaced"
    assert [path.name[:11] for path in aside.iterdir()] == ["harrowmint-"]


def test_without_a_name_and_a_reason_nothing_is_restored(capsys, home):
    file = made(capsys, home)

    code, answer = asked(capsys, home, "restore", file)

    assert (code, answer["error"]["code"]) == (2, "usage")
