"""
The site's own authority: it vouches for this server to the site's tablets, and to nobody else.

A name on a local network gets no certificate from outside. So the site makes an authority at
its first start, which can vouch for this machine's names and the networks it stands in alone.
Tablets are told its fingerprint when they are enrolled. Files, in the site's folder for keys:

* `authority.key` and `authority.pem`, for a year;
* `server.key` and `server.pem`, for 90 days, made anew when fewer than 30 are left.

Source: RFC 5280, sections 4.2.1.9 (basic constraints) and 4.2.1.10 (name constraints).
"""

import os
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta
from ipaddress import IPv4Address, IPv4Network, ip_address
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.serialization import (
    Encoding,
    NoEncryption,
    PrivateFormat,
    load_pem_private_key,
)
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from thawline.base.errors import RecordError
from thawline.base.instants import Instant, instant

YEAR = timedelta(days=365)
SERVER_LASTS = timedelta(days=90)
RENEWED_BEFORE = timedelta(days=30)
_BEFORE = timedelta(minutes=5)  # a tablet's clock may be behind
_OWN_NETWORK = 24  # bits of the network that an address stands in
_OWNER_ONLY = 0o600
_PAIR = 2
_AUTHORITY, _SERVER = "authority", "server"


@dataclass(frozen=True, slots=True)
class Papers:
    """What a server shows: its certificate and key; and what tablets know it by."""

    certificate: Path
    key: Path
    authority: Path
    fingerprint: str
    server_ends: Instant
    authority_ends: Instant


def papers(keys: Path, site: str, names: Sequence[str], now: Instant) -> Papers:
    """
    Return the papers for a server with these names and addresses; make what is not there.

    The authority is never made anew by itself, because every tablet would have to be enrolled
    again.

    Raises:
        RecordError: The authority has ended, or may not vouch for one of the names.
    """
    if not (keys / f"{_AUTHORITY}.pem").exists():
        _make_authority(keys, site, names, now)
    authority = _read(keys, _AUTHORITY)
    _refuse_unfit(authority, names, now)
    if not _still_good(keys, authority, names, now):
        _make_server(keys, names, now)
    return Papers(
        certificate=keys / f"{_SERVER}.pem",
        key=keys / f"{_SERVER}.key",
        authority=keys / f"{_AUTHORITY}.pem",
        fingerprint=fingerprint(authority),
        server_ends=instant(_read(keys, _SERVER).not_valid_after_utc),
        authority_ends=instant(authority.not_valid_after_utc),
    )


def put_aside(keys: Path) -> None:
    """Let the authority be made anew at the next start; the old one's files are kept."""
    for name in (_AUTHORITY, _SERVER):
        for end in ("key", "pem"):
            path = keys / f"{name}.{end}"
            if path.exists():
                path.replace(keys / f"{name}-old.{end}")


def authority_pem(keys: Path) -> bytes:
    """Return the authority's certificate, for tablets."""
    return (keys / f"{_AUTHORITY}.pem").read_bytes()


def fingerprint(certificate: x509.Certificate) -> str:
    """Return the SHA-256 of a certificate, in pairs, as tablets show it."""
    text = certificate.fingerprint(hashes.SHA256()).hex().upper()
    return ":".join(text[at : at + _PAIR] for at in range(0, len(text), _PAIR))


def fingerprint_of(keys: Path) -> str:
    """Return the fingerprint of a site's authority."""
    return fingerprint(_read(keys, _AUTHORITY))


def _make_authority(keys: Path, site: str, names: Sequence[str], now: Instant) -> None:
    key = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, f"{site}, site authority")])
    made = (
        _unsigned(name, name, key.public_key(), now, now + YEAR)
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(_may(sign_certificates=True), critical=True)
        .add_extension(x509.NameConstraints(_vouched_for(names), None), critical=True)
        .sign(key, hashes.SHA256())
    )
    _keep(keys, _AUTHORITY, key, [made])


def _make_server(keys: Path, names: Sequence[str], now: Instant) -> None:
    authority = _read(keys, _AUTHORITY)
    signer = _key(keys)
    key = ec.generate_private_key(ec.SECP256R1())
    ends = min(now + SERVER_LASTS, authority.not_valid_after_utc)
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, names[0])])
    made = (
        _unsigned(name, authority.subject, key.public_key(), now, Instant(ends))
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(_may(sign_certificates=False), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(
            x509.SubjectAlternativeName([_general(each) for each in names]), critical=False
        )
        .add_extension(
            x509.AuthorityKeyIdentifier.from_issuer_public_key(signer.public_key()),
            critical=False,
        )
        .sign(signer, hashes.SHA256())
    )
    _keep(keys, _SERVER, key, [made, authority])


def _unsigned(
    name: x509.Name,
    issuer: x509.Name,
    public: ec.EllipticCurvePublicKey,
    now: Instant,
    ends: Instant,
) -> x509.CertificateBuilder:
    return (
        x509.CertificateBuilder()
        .subject_name(name)
        .issuer_name(issuer)
        .public_key(public)
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - _BEFORE)
        .not_valid_after(ends)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(public), critical=False)
    )


def _may(*, sign_certificates: bool) -> x509.KeyUsage:
    return x509.KeyUsage(
        digital_signature=not sign_certificates,
        key_cert_sign=sign_certificates,
        crl_sign=sign_certificates,
        content_commitment=False,
        key_encipherment=False,
        data_encipherment=False,
        key_agreement=False,
        encipher_only=False,
        decipher_only=False,
    )


def _vouched_for(names: Sequence[str]) -> list[x509.GeneralName]:
    """Return the names as they are, and for each address the network that it stands in."""
    found: list[x509.GeneralName] = []
    for name in names:
        address = _address(name)
        if address is None:
            found.append(x509.DNSName(name))
        else:
            network = IPv4Network((address, _OWN_NETWORK), strict=False)
            found.append(x509.IPAddress(network))
    return list(dict.fromkeys(found))


def _refuse_unfit(authority: x509.Certificate, names: Sequence[str], now: Instant) -> None:
    if now >= authority.not_valid_after_utc:
        raise _unfit(f"the site's authority ended on {authority.not_valid_after_utc:%Y-%m-%d}")
    allowed = authority.extensions.get_extension_for_class(x509.NameConstraints).value
    for name in names:
        if not _is_within(name, allowed.permitted_subtrees or []):
            raise _unfit(f"the tablets' authority does not vouch for {name}")


def _unfit(says: str) -> RecordError:
    return RecordError(
        says,
        advice="thawline serve --new-authority makes another; every tablet is enrolled again",
    )


def _is_within(name: str, allowed: Sequence[x509.GeneralName]) -> bool:
    address = _address(name)
    if address is None:
        return x509.DNSName(name) in allowed
    networks = [each.value for each in allowed if isinstance(each, x509.IPAddress)]
    return any(isinstance(each, IPv4Network) and address in each for each in networks)


def _still_good(
    keys: Path, authority: x509.Certificate, names: Sequence[str], now: Instant
) -> bool:
    """Say whether the server's certificate is there, of this authority, with these names."""
    if not (keys / f"{_SERVER}.pem").exists() or not (keys / f"{_SERVER}.key").exists():
        return False
    server = _read(keys, _SERVER)
    vouched = server.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    return (
        server.issuer == authority.subject
        and set(vouched) == {_general(each) for each in names}
        and now < server.not_valid_after_utc - RENEWED_BEFORE
    )


def _general(name: str) -> x509.GeneralName:
    address = _address(name)
    return x509.DNSName(name) if address is None else x509.IPAddress(address)


def _address(name: str) -> IPv4Address | None:
    try:
        found = ip_address(name)
    except ValueError:
        return None
    return found if isinstance(found, IPv4Address) else None


def _read(keys: Path, name: str) -> x509.Certificate:
    path = keys / f"{name}.pem"
    try:
        return x509.load_pem_x509_certificate(path.read_bytes())
    except (OSError, ValueError) as error:
        raise RecordError(
            f"{path.name} cannot be read: {error}", advice="put it back from a copy"
        ) from error


def _key(keys: Path) -> ec.EllipticCurvePrivateKey:
    path = keys / f"{_AUTHORITY}.key"
    try:
        key = load_pem_private_key(path.read_bytes(), None)
    except (OSError, ValueError) as error:
        raise RecordError(
            f"{path.name} cannot be read: {error}", advice="put it back from a copy"
        ) from error
    if not isinstance(key, ec.EllipticCurvePrivateKey):
        raise RecordError(f"{path.name} is not the authority's key")
    return key


def _keep(
    keys: Path,
    name: str,
    key: ec.EllipticCurvePrivateKey,
    chain: Sequence[x509.Certificate],
) -> None:
    """Keep a key and its certificate; the certificate last, so that it says both are there."""
    secret = key.private_bytes(Encoding.PEM, PrivateFormat.PKCS8, NoEncryption())
    shown = b"".join(each.public_bytes(Encoding.PEM) for each in chain)
    for end, content in (("key", secret), ("pem", shown)):
        path = keys / f"{name}.{end}"
        fresh = path.with_suffix(f".{end}-new")
        handle = os.open(fresh, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, _OWNER_ONLY)
        with os.fdopen(handle, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        fresh.replace(path)
