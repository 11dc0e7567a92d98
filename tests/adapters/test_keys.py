"""The files of a site's keys, and what they sign."""

import stat

import pytest

from thawline.adapters.keys import (
    backup_key,
    backup_recipients,
    identity_key,
    make_keys,
    open_to_others,
    signed_by,
    site_key,
    site_public,
)
from thawline.base.errors import RecordError

# RFC 8032, Edwards-Curve Digital Signature Algorithm, 2017, section 7.1, TEST 1 (an empty
# message), read in several public copies of its vectors on 2026-11-25.
WRITTEN_KEY = "9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60"
PUBLIC = bytes.fromhex("d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a")
SIGNATURE = bytes.fromhex(
    "e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e065224901555fb8821590a33bac"
    "c61e39701cf9b46bd25bf5f0595bbe24655141438e7a100b"
)


@pytest.fixture
def keys(tmp_path):
    make_keys(tmp_path / "keys")
    return tmp_path / "keys"


def test_secret_keys_are_readable_by_their_owner_only(keys):
    modes = {path.name: stat.S_IMODE(path.stat().st_mode) for path in keys.iterdir()}

    assert {modes[name] for name in ("site.key", "identity.key", "backup.key")} == {0o600}
    assert stat.S_IMODE(keys.stat().st_mode) == 0o700


def test_a_key_that_others_can_read_is_named(keys):
    (keys / "identity.key").chmod(0o640)

    assert open_to_others(keys) == ["identity.key"]


def test_keys_that_are_there_are_never_made_anew(keys):
    before = {path.name: path.read_bytes() for path in keys.iterdir()}

    make_keys(keys)

    assert {path.name: path.read_bytes() for path in keys.iterdir()} == before


def test_two_sites_have_different_keys(keys, tmp_path):
    make_keys(tmp_path / "other")

    assert site_public(keys) != site_public(tmp_path / "other")
    assert identity_key(keys) != identity_key(tmp_path / "other")


def test_a_signature_holds_for_its_own_message_and_key_only(keys, tmp_path):
    make_keys(tmp_path / "other")
    signature = site_key(keys).sign(b"head 256")

    assert signed_by(site_public(keys), b"head 256", signature)
    assert not signed_by(site_public(keys), b"head 257", signature)
    assert not signed_by(site_public(tmp_path / "other"), b"head 256", signature)


def test_signatures_are_those_of_the_published_vector(keys):
    (keys / "site.key").write_text(WRITTEN_KEY)

    assert site_key(keys).public == PUBLIC
    assert site_key(keys).sign(b"") == SIGNATURE


def test_backups_are_made_for_the_site_and_for_every_recipient(keys):
    (keys / "recipients").mkdir()
    (keys / "recipients" / "health-unit.pub").write_text("11" * 32)

    assert backup_recipients(keys) == [
        bytes.fromhex((keys / "backup.pub").read_text()),
        bytes.fromhex("11" * 32),
    ]


@pytest.mark.parametrize(
    ("written", "says"),
    [("", "0 bytes, not 32"), ("ab" * 31, "31 bytes"), ("not a key", "not hexadecimal")],
    ids=["empty", "a byte short", "words"],
)
def test_a_file_that_is_no_key_is_named(keys, written, says):
    (keys / "backup.key").write_text(written)

    with pytest.raises(RecordError, match=rf"'backup.key' is not a key: .*{says}|{says}"):
        backup_key(keys)


def test_a_missing_key_says_how_to_make_one(keys):
    (keys / "site.key").unlink()

    with pytest.raises(RecordError, match=r"no key 'site\.key'") as missing:
        site_key(keys)
    assert missing.value.advice == "thawline site new"
