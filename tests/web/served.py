"""
A real server on this machine's own address, of the demo's hall at 13:37 of its Tuesday.

For browser tests and for the load: it can be killed at any moment and started again.
"""

import datetime
import ipaddress
import os
import signal
import socket
import subprocess
import sys
import time
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec

from thawline.demo.building import build_until

PASSPHRASE = "four grey geese go home"  # noqa: S105  invented
SEED = 28
AT_13_37_S = (13 * 60 + 37) * 60
_EMPLOY = """
import datetime
from pathlib import Path
import sys
from thawline.web.serving import prepare
prepare(Path(sys.argv[1]), "localhost,127.0.0.1")
from thawline.demo.staff import staff
from thawline.web.staff.models import SignOff, Staff
for each in staff(int(sys.argv[3])):
    if each.place in ("harrowmint", "unit"):
        known = {"name": each.called, "defaults": {"badge": each.called}}
        person, _ = Staff.objects.get_or_create(**known)
        person.set_password(sys.argv[2])
        person.save()
        SignOff.objects.update_or_create(
            staff=person, role=each.role.value,
            defaults={"until": datetime.date(2030, 1, 1), "by": "the trainer"},
        )
"""
_SERVE = """
import sys
from pathlib import Path
from thawline.web.serving import Where, prepare, serve
if __name__ == "__main__":
    folder, port, certificate, key = sys.argv[1:]
    prepare(Path(folder), "localhost,127.0.0.1")
    serve(Where("127.0.0.1", int(port), Path(certificate), Path(key)))
"""


class Served:
    """The hall, served on this machine; it can be killed and started again."""

    def __init__(self, home: Path, tls: tuple[Path, Path]) -> None:
        self.home = home
        self.folder = home / "sites" / "harrowmint"
        self._tls = tls
        self.port = _free_port()
        self._server: subprocess.Popen[bytes] | None = None
        self._script = home.parent / "serve_the_hall.py"
        self._script.write_text(_SERVE)

    @property
    def address(self) -> str:
        """Return where it is."""
        return f"https://localhost:{self.port}"

    @property
    def group(self) -> int:
        """Return the number of the group of its processes; 0: it does not run."""
        return self._server.pid if self._server is not None else 0

    def start(self) -> None:
        """Serve; returns when it answers."""
        words = [sys.executable, self._script, self.folder, str(self.port), *self._tls]
        self._server = subprocess.Popen(  # noqa: S603  our own script
            [str(word) for word in words],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            start_new_session=True,
            env={**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)},
        )
        for _ in range(300):
            with socket.socket() as knock:
                if knock.connect_ex(("127.0.0.1", self.port)) == 0:
                    return
            time.sleep(0.1)
        raise AssertionError("the server did not start within 30 s")

    def kill(self) -> None:
        """End the server and its worker at once, as a power cut does."""
        if self._server is not None:
            os.killpg(self._server.pid, signal.SIGKILL)
            self._server.wait()
            self._server = None


def make_certificate(folder: Path) -> tuple[Path, Path]:
    """Make a certificate for this machine alone; return its file and its key's."""
    key = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name([x509.NameAttribute(x509.NameOID.COMMON_NAME, "localhost")])
    start = datetime.datetime(2026, 1, 1, tzinfo=datetime.UTC)
    names = [x509.DNSName("localhost"), x509.IPAddress(ipaddress.ip_address("127.0.0.1"))]
    certificate = (
        x509.CertificateBuilder()
        .subject_name(name)
        .issuer_name(name)
        .public_key(key.public_key())
        .serial_number(1)
        .not_valid_before(start)
        .not_valid_after(start + datetime.timedelta(days=3650))
        .add_extension(x509.SubjectAlternativeName(names), critical=False)
        .sign(key, hashes.SHA256())
    )
    (folder / "c.pem").write_bytes(certificate.public_bytes(serialization.Encoding.PEM))
    (folder / "k.pem").write_bytes(
        key.private_bytes(
            serialization.Encoding.PEM,
            serialization.PrivateFormat.PKCS8,
            serialization.NoEncryption(),
        )
    )
    return folder / "c.pem", folder / "k.pem"


def build_hall(home: Path) -> None:
    """Build the demo's hall at 13:37, with everybody of its crew able to come in."""
    build_until(home, SEED, AT_13_37_S, lambda _done, _of: None)
    folder = home / "sites" / "harrowmint"
    subprocess.run(  # noqa: S603  our own script
        [sys.executable, "-c", _EMPLOY, str(folder), PASSPHRASE, str(SEED)],
        check=True,
        env={**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)},
    )


def _free_port() -> int:
    with socket.socket() as any_port:
        any_port.bind(("127.0.0.1", 0))
        port: int = any_port.getsockname()[1]
        return port
