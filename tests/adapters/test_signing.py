"""Signatures beside protocol files: what they let pass, and what they do not."""

import os
import stat

import pytest

from thawline.adapters import rule_files
from thawline.adapters.keys import make_keys, site_key
from thawline.adapters.signing import (
    keep_signature,
    known_keys,
    refuse_changed,
    sign_file,
    signature_beside,
    signature_finding,
    signing_key,
)
from thawline.adapters.sites import Settings, make_folder
from thawline.base.errors import NotFoundError, RuleError

RAW = rule_files.shipped("example-10-v2")


@pytest.fixture
def file(tmp_path):
    path = tmp_path / "ours.toml"
    path.write_bytes(RAW)
    return path


@pytest.fixture
def key(tmp_path):
    make_keys(tmp_path / "keys")
    return site_key(tmp_path / "keys")


def test_a_signed_file_is_read_as_before(file, key):
    sign_file(file, RAW, key)

    assert rule_files.load(str(file)).raw == RAW


def test_an_unsigned_file_is_read_too(file):
    assert signature_beside(file) is None
    assert rule_files.load(str(file)).raw == RAW


@pytest.mark.parametrize(
    "place", [0, len(RAW) // 2, len(RAW) - 1], ids=["first", "middle", "last"]
)
def test_a_changed_byte_is_refused(file, key, place):
    sign_file(file, RAW, key)
    changed = RAW[:place] + bytes([RAW[place] ^ 1]) + RAW[place + 1 :]
    file.write_bytes(changed)

    with pytest.raises(RuleError, match=r"ours\.toml was changed after it was signed"):
        rule_files.load(str(file))


def test_a_byte_more_is_refused(file, key):
    sign_file(file, RAW, key)

    with pytest.raises(RuleError, match="changed after it was signed"):
        refuse_changed(file, RAW + b"\n")


@pytest.mark.parametrize(
    "written",
    [b"", b"signed, honestly\n", b"\xff" * 40, b"a" * 5000],
    ids=["empty", "words", "no text", "long"],
)
def test_a_signature_that_is_none_is_refused(file, written):
    file.with_name("ours.toml.sig").write_bytes(written)

    with pytest.raises(RuleError, match=r"ours\.toml\.sig is not a signature"):
        rule_files.load(str(file))


def test_a_signature_that_cannot_be_opened_is_refused(file):
    file.with_name("ours.toml.sig").mkdir()

    with pytest.raises(RuleError, match="cannot read"):
        refuse_changed(file, RAW)


def test_a_signature_by_windows_line_ends_is_the_same(file, key):
    path = sign_file(file, RAW, key)
    path.write_bytes(path.read_bytes().replace(b"\n", b"\r\n"))

    assert signature_finding(file, RAW, [key.public]) is None


def test_a_key_that_nobody_here_knows_is_named(file, key):
    sign_file(file, RAW, key)

    found = signature_finding(file, RAW, [])

    assert (found.level.value, found.code) == ("check", "signature")
    assert key.public.hex()[:16] in found.says


def test_a_change_is_said_as_a_stop(file, key):
    sign_file(file, RAW, key)

    assert signature_finding(file, RAW + b" ", [key.public]).level.value == "stop"


def test_an_unsigned_file_has_nothing_said_about_it(file):
    assert signature_finding(file, RAW, []) is None


def test_without_a_site_the_home_folder_has_a_key_of_its_own(tmp_path):
    made = signing_key(tmp_path, None)

    assert signing_key(tmp_path, None).public == made.public
    assert known_keys(tmp_path) == [made.public]
    assert stat.S_IMODE((tmp_path / "keys" / "site.key").stat().st_mode) == 0o600


def test_with_a_site_its_key_signs(tmp_path):
    folder = make_folder(tmp_path, Settings("harrowmint", "Harrowmint Hall", "America/Chicago"))
    make_keys(folder / "keys")

    key = signing_key(tmp_path, None)

    assert key.public == site_key(folder / "keys").public
    assert known_keys(tmp_path) == [key.public]


def test_of_several_sites_one_must_be_named(tmp_path):
    for name in ("harrowmint", "quillbeck"):
        make_folder(tmp_path, Settings(name, name, "America/Chicago"))

    with pytest.raises(NotFoundError, match="which site"):
        signing_key(tmp_path, None)


def test_cut_off_while_a_signature_is_kept_the_older_one_is_there_still(file, key, monkeypatch):
    sign_file(file, file.read_bytes(), key)
    before = file.with_name(f"{file.name}.sig").read_bytes()

    def cut_off(_descriptor):
        raise OSError("the power fails")

    monkeypatch.setattr(os, "fsync", cut_off)
    with pytest.raises(OSError, match="power"):
        keep_signature(file, b"thawline signature 1\n")

    assert file.with_name(f"{file.name}.sig").read_bytes() == before
