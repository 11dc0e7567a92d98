"""
Tells a browser's own store of certificates to trust a site's authority, as a person does once.

The store is NSS's, in the home folder of whoever runs chromium; the library is on the machine
wherever chromium is. Its tool `certutil` may not be, so the library is called itself, in a
process of its own. Source of the calls: Mozilla, NSS reference, "Certificate functions".

    python trusted.py HOME FILE
"""

import ctypes
import sys
from pathlib import Path

_VALID_CA, _TRUSTED_CA = 1 << 3, 1 << 4  # NSS, certdb.h


class _Trust(ctypes.Structure):
    _fields_ = (
        ("ssl", ctypes.c_uint),
        ("email", ctypes.c_uint),
        ("object_signing", ctypes.c_uint),
    )


def trust(home: Path, file: Path) -> None:
    """Let chromium, run with that home folder, trust the authority of a PEM file."""
    nss, decoding = ctypes.CDLL("libnss3.so"), ctypes.CDLL("libsmime3.so")
    for giving in (
        nss.PK11_GetInternalKeySlot,
        nss.CERT_GetDefaultCertDB,
        decoding.CERT_DecodeCertFromPackage,
    ):
        giving.restype = ctypes.c_void_p
    store = home / ".pki" / "nssdb"
    store.mkdir(parents=True)
    _well(nss.NSS_InitReadWrite(f"sql:{store}".encode()))
    slot = ctypes.c_void_p(nss.PK11_GetInternalKeySlot())
    _well(nss.PK11_InitPin(slot, None, b""))
    pem = file.read_bytes()
    authority = ctypes.c_void_p(decoding.CERT_DecodeCertFromPackage(pem, len(pem)))
    assert authority.value, "not a certificate"
    _well(nss.PK11_ImportCert(slot, authority, ctypes.c_ulong(0), b"the site", 0))
    trusted = _Trust(_VALID_CA | _TRUSTED_CA, 0, 0)
    known = ctypes.c_void_p(nss.CERT_GetDefaultCertDB())
    _well(nss.CERT_ChangeCertTrust(known, authority, ctypes.byref(trusted)))


def _well(answer: int) -> None:
    assert answer == 0, f"NSS answered {answer}"


if __name__ == "__main__":
    trust(Path(sys.argv[1]), Path(sys.argv[2]))
