"""What is seen of a machine and a site that something is wrong with."""

from datetime import timedelta
from pathlib import Path
from shutil import copytree

import apsw
import pytest
from tests.cast import BRYONY, PINS, ROWAN

from thawline.adapters import checkup, sites
from thawline.adapters.checkup import look_at_machine, look_at_site
from thawline.adapters.sites import KEYS, PROTOCOLS
from thawline.adapters.time import now
from thawline.base.errors import NotFoundError
from thawline.base.findings import Level
from thawline.base.instants import Instant
from thawline.cli import main

SECOND = ("--countersign", BRYONY, "--pin", PINS[BRYONY])
WORD = b"washed-out"


@pytest.fixture(scope="module")
def made(tmp_path_factory) -> Path:
    """A site that adopted a protocol, with a hold in its ledger, all of it in one file."""
    home = tmp_path_factory.mktemp("home")
    for words in (
        ("site", "new", "harrowmint", "--zone", "America/Chicago"),
        ("site", "pin", BRYONY, PINS[BRYONY]),
        ("protocol", "adopt", "example-10-v2", "--by", ROWAN, *SECOND),
        ("lot", "hold", "ZZ-1041", "--why", WORD.decode(), "--by", ROWAN),
    ):
        main([*words, "--home", str(home), "--quiet"])
    ledger = apsw.Connection(str(home / "sites" / "harrowmint" / "ledger.db"))
    ledger.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchall()
    ledger.close()
    return home


@pytest.fixture
def home(made, tmp_path) -> Path:
    """A copy of it to damage."""
    return Path(copytree(made, tmp_path / "home"))


def folder(home) -> Path:
    return sites.folder_of(home, "harrowmint")


def looks(home, at=None):
    return {look.what: look for look in look_at_site(home, "harrowmint", at or now())}


def found(home, at=None):
    """Return what has to be answered: level and code by what was looked at."""
    return {
        what: [(each.level, each.code) for each in look.findings]
        for what, look in looks(home, at).items()
        if look.findings
    }


def new_site(home, name="oddmoor"):
    main(["site", "new", name, "--zone", "America/Chicago", "--home", str(home), "--quiet"])


def protocol_file(home) -> Path:
    (path,) = (folder(home) / PROTOCOLS).glob("*.toml")
    return path


def test_a_site_in_order_has_nothing_to_answer(home):
    seen = looks(home)

    assert found(home) == {}
    assert list(seen) == ["zone", "keys", "protocol", "ledger"]
    assert seen["zone"].seen.startswith("America/Chicago, ")
    assert seen["protocol"].seen.startswith("example-10 version 2 from 2026-02-02, signed by ")
    assert seen["ledger"].seen.startswith("2 entries, head ")


def test_looking_changes_nothing(home):
    before = {path: path.read_bytes() for path in sorted(folder(home).rglob("*.toml"))}
    head = looks(home)["ledger"].seen

    assert looks(home)["ledger"].seen == head
    assert {path: path.read_bytes() for path in before} == before


@pytest.mark.parametrize("name", ["site.key", "identity.key", "backup.key"])
def test_a_secret_key_that_others_can_read_is_named(home, name):
    (folder(home) / KEYS / name).chmod(0o640)

    (finding,) = looks(home)["keys"].findings

    assert (finding.level, finding.code) == (Level.ACT, "key-open")
    assert finding.says == f"key {name} can be read by other users of this machine: chmod 600"


def test_a_protocol_file_that_was_changed_is_a_stop(home):
    path = protocol_file(home)
    path.write_bytes(path.read_bytes().replace(b"PT6H", b"PT9H"))

    assert found(home) == {"protocol": [(Level.STOP, "protocol")]}
    assert "changed after" in looks(home)["protocol"].findings[0].says


def test_a_changed_protocol_file_without_its_signature_is_a_stop_too(home):
    path = protocol_file(home)
    path.write_bytes(path.read_bytes().replace(b"PT6H", b"PT9H"))
    path.with_name(f"{path.name}.sig").unlink(missing_ok=True)

    assert "was changed after it was adopted" in looks(home)["protocol"].findings[0].says


def test_a_protocol_file_that_is_gone_is_a_stop(home):
    protocol_file(home).unlink()

    assert found(home) == {"protocol": [(Level.STOP, "protocol")]}


def test_a_signature_of_a_key_nobody_knows_here_is_looked_at(home, tmp_path):
    other = tmp_path / "other"
    main(
        ["site", "new", "oddmoor", "--zone", "America/Chicago", "--home", str(other), "--quiet"]
    )
    path = protocol_file(home)
    copy = tmp_path / path.name
    copy.write_bytes(path.read_bytes())
    main(["protocol", "sign", str(copy), "--home", str(other), "--quiet"])
    path.with_name(f"{path.name}.sig").write_bytes(
        copy.with_name(f"{copy.name}.sig").read_bytes()
    )

    assert found(home) == {"protocol": [(Level.CHECK, "signature")]}


def test_a_site_without_a_protocol_is_told_to_adopt_one(home):
    main(
        ["site", "new", "oddmoor", "--zone", "America/Chicago", "--home", str(home), "--quiet"]
    )

    seen = {look.what: look for look in look_at_site(home, "oddmoor", now())}

    (finding,) = seen["protocol"].findings
    assert (finding.code, "thawline protocol adopt" in finding.says) == ("no-protocol", True)


def test_a_flipped_byte_in_the_ledger_is_a_stop_wherever_it_stands(home):
    """The word of the hold stands in the entry, in its receipt and in the states kept."""
    ledger = folder(home) / "ledger.db"
    raw = ledger.read_bytes()
    places = [at for at in range(len(raw)) if raw.startswith(WORD, at)]

    unseen = []
    for place in places:
        damaged = bytearray(raw)
        damaged[place] ^= 0x02
        ledger.write_bytes(damaged)
        stops = [level for level, _ in found(home).get("ledger", ())]
        unseen += [] if Level.STOP in stops else [place]

    assert len(places) >= 2
    assert unseen == []


def test_a_ledger_that_is_gone_is_a_stop_and_is_not_made_anew(home):
    (folder(home) / "ledger.db").unlink()

    assert found(home) == {"ledger": [(Level.STOP, "ledger-missing")]}
    assert not (folder(home) / "ledger.db").exists()


def test_a_clock_behind_the_last_entry_is_a_stop(home):
    an_hour_ago = Instant(now() - timedelta(hours=1))

    assert found(home, an_hour_ago) == {"ledger": [(Level.STOP, "clock-behind")]}
    assert found(home, Instant(now() + timedelta(hours=1))) == {}


def test_settings_that_cannot_be_read_are_a_stop(home):
    (folder(home) / "site.toml").write_text('[site]\nzone = "America/Chikago"\n')

    (look,) = looks(home).values()

    assert (look.what, look.findings[0].level) == ("site", Level.STOP)
    assert "America/Chikago" in look.findings[0].says


def test_a_site_that_is_not_here_is_not_looked_at(home):
    with pytest.raises(NotFoundError, match="no site 'quillbeck' here"):
        list(look_at_site(home, "quillbeck", now()))


def test_the_machine_is_looked_at_before_there_is_a_folder(tmp_path):
    looks_at_it = list(look_at_machine(tmp_path / "a" / "b", now()))

    assert [look.what for look in looks_at_it] == ["python", "sqlite", "clock", "disk"]
    assert [look.findings for look in looks_at_it] == [()] * 4
    assert looks_at_it[3].seen.endswith("GiB free")


def test_an_sqlite_that_can_damage_a_ledger_is_a_stop(tmp_path, monkeypatch):
    """Source: SQLite release history, 3.51.3: "Fix the WAL-reset database corruption bug"."""
    monkeypatch.setattr(checkup.apsw, "sqlite_lib_version", lambda: "3.51.2")

    (look,) = [each for each in look_at_machine(tmp_path, now()) if each.what == "sqlite"]

    assert [(each.level, each.code) for each in look.findings] == [
        (Level.STOP, "sqlite-version")
    ]
