"""
The site's own authority, held against OpenSSL: real handshakes, as a tablet would make them.

Source of what is expected: RFC 5280, 4.2.1.9 and 4.2.1.10; RFC 6125 for names.
"""

import ssl
import stat
from datetime import timedelta

import pytest
from cryptography import x509
from tests.cast import at

from thawline.adapters import authority
from thawline.adapters.authority import papers, put_aside
from thawline.adapters.time import now
from thawline.base.errors import RecordError
from thawline.base.instants import Instant

NAMES = ("localhost", "127.0.0.1", "10.4.5.6")


def _shake_hands(keys, name, trusted=None):
    """Let a client that trusts only the authority speak with the server, in memory."""
    server = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    server.load_cert_chain(keys / "server.pem", keys / "server.key")
    client = ssl.create_default_context(cafile=str(trusted or keys / "authority.pem"))
    to_server, to_client = ssl.MemoryBIO(), ssl.MemoryBIO()
    there = server.wrap_bio(to_server, to_client, server_side=True)
    here = client.wrap_bio(to_client, to_server, server_hostname=name)
    for _ in range(4):
        for side in (here, there):
            try:
                side.do_handshake()
            except ssl.SSLWantReadError:
                continue
    return here.version()


@pytest.mark.parametrize("name", NAMES)
def test_a_tablet_that_trusts_the_authority_trusts_the_server_by_each_name(tmp_path, name):
    papers(tmp_path, "harrowmint", NAMES, now())
    assert _shake_hands(tmp_path, name) == "TLSv1.3"


def test_no_other_name_is_trusted(tmp_path):
    papers(tmp_path, "harrowmint", NAMES, now())
    with pytest.raises(ssl.SSLCertVerificationError, match="Hostname mismatch"):
        _shake_hands(tmp_path, "elsewhere.example")


@pytest.mark.parametrize("name", ["elsewhere.example", "10.9.9.9"])
def test_the_authority_cannot_vouch_for_anything_outside_the_site(tmp_path, name):
    papers(tmp_path, "harrowmint", NAMES, now())
    authority._make_server(tmp_path, [name], now())  # as a thief of the key would
    with pytest.raises(ssl.SSLCertVerificationError, match="permitted subtree violation"):
        _shake_hands(tmp_path, name)


def test_another_sites_authority_is_not_trusted(tmp_path):
    papers(tmp_path, "harrowmint", NAMES, now())
    other = tmp_path / "other"
    other.mkdir()
    papers(other, "quillbeck", NAMES, now())
    with pytest.raises(ssl.SSLCertVerificationError):
        _shake_hands(tmp_path, "localhost", other / "authority.pem")


def test_the_authority_lasts_a_year_and_the_server_ninety_days(tmp_path):
    begun = now()
    found = papers(tmp_path, "harrowmint", NAMES, begun)
    assert abs(found.authority_ends - begun - timedelta(days=365)) < timedelta(seconds=2)
    assert abs(found.server_ends - begun - timedelta(days=90)) < timedelta(seconds=2)


@pytest.mark.parametrize(("day", "renewed"), [(59, False), (61, True)])
def test_the_server_gets_a_new_certificate_when_fewer_than_thirty_days_are_left(
    tmp_path, day, renewed
):
    begun = at("12:00")
    first = papers(tmp_path, "harrowmint", NAMES, begun)
    later = papers(tmp_path, "harrowmint", NAMES, Instant(begun + timedelta(days=day)))
    assert (later.server_ends > first.server_ends) is renewed
    assert later.fingerprint == first.fingerprint


def test_no_certificate_outlives_the_authority(tmp_path):
    begun = at("12:00")
    papers(tmp_path, "harrowmint", NAMES, begun)
    late = papers(tmp_path, "harrowmint", NAMES, Instant(begun + timedelta(days=350)))
    assert late.server_ends == late.authority_ends


def test_an_authority_that_has_ended_says_what_to_do(tmp_path):
    begun = at("12:00")
    papers(tmp_path, "harrowmint", NAMES, begun)
    with pytest.raises(RecordError) as refused:
        papers(tmp_path, "harrowmint", NAMES, Instant(begun + timedelta(days=365)))
    assert "--new-authority" in refused.value.advice


def test_an_address_in_the_same_network_is_vouched_for_and_one_elsewhere_is_not(tmp_path):
    papers(tmp_path, "harrowmint", NAMES, now())
    papers(tmp_path, "harrowmint", ("localhost", "10.4.5.77"), now())
    assert _shake_hands(tmp_path, "10.4.5.77") == "TLSv1.3"
    with pytest.raises(RecordError, match=r"does not vouch for 10\.4\.6\.1"):
        papers(tmp_path, "harrowmint", ("localhost", "10.4.6.1"), now())


def test_a_new_authority_is_another_one_and_the_old_is_kept(tmp_path):
    first = papers(tmp_path, "harrowmint", NAMES, now())
    put_aside(tmp_path)
    second = papers(tmp_path, "harrowmint", NAMES, now())
    assert first.fingerprint != second.fingerprint
    assert (tmp_path / "authority-old.pem").exists()


def test_keys_are_their_owners_only(tmp_path):
    papers(tmp_path, "harrowmint", NAMES, now())
    modes = {p.name: stat.S_IMODE(p.stat().st_mode) for p in tmp_path.glob("*.key")}
    assert modes == {"authority.key": 0o600, "server.key": 0o600}


def test_the_key_is_on_the_curve_p_256_and_signs_no_further_authority(tmp_path):
    papers(tmp_path, "harrowmint", NAMES, now())
    made = x509.load_pem_x509_certificate((tmp_path / "authority.pem").read_bytes())
    basic = made.extensions.get_extension_for_class(x509.BasicConstraints)
    limits = made.extensions.get_extension_for_class(x509.NameConstraints)
    assert made.public_key().curve.name == "secp256r1"
    assert (basic.critical, basic.value.ca, basic.value.path_length) == (True, True, 0)
    assert limits.critical


def test_a_spoilt_file_is_named(tmp_path):
    papers(tmp_path, "harrowmint", NAMES, now())
    (tmp_path / "authority.pem").write_text("nothing")
    with pytest.raises(RecordError, match=r"authority\.pem"):
        papers(tmp_path, "harrowmint", NAMES, now())
