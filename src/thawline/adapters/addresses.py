"""By which names and addresses this machine can be reached on the site's own network."""

import errno
import re
import socket

from thawline.base.errors import RecordError

EVERYWHERE = "0.0.0.0"  # noqa: S104  asked for by whoever serves, never the default
OWN = ("localhost", "127.0.0.1")
_NOWHERE = ("192.0.2.1", 9)  # RFC 5737: an address for documents; nothing is sent to it
_NAME = re.compile(r"[a-z0-9]([a-z0-9.-]{0,61}[a-z0-9])?", re.ASCII)


def names_for(host: str) -> tuple[str, ...]:
    """
    Return what a tablet may type to reach a server that listens at `host`, the best first.

    Raises:
        RecordError: `host` is neither a name nor an IPv4 address.
    """
    asked = host.casefold()
    if not _NAME.fullmatch(asked):
        raise RecordError(
            f"not a host: {host!r}", advice="name one of this machine's, as in --host 10.0.0.5"
        )
    if asked in OWN:
        return OWN
    if asked != EVERYWHERE:
        return tuple(dict.fromkeys([asked, *OWN]))
    return tuple(dict.fromkeys([*_of_the_machine(), *OWN]))


def is_free(host: str, port: int) -> bool:
    """Say whether nobody listens there yet; OSError where this machine has no such address."""
    with socket.socket() as asked:
        asked.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            asked.bind((host, port))
        except OSError as error:
            if error.errno == errno.EADDRINUSE:
                return False
            raise
    return True


def _of_the_machine() -> list[str]:
    name = socket.gethostname().split(".")[0].casefold()
    found = [f"{name}.local"] if _NAME.fullmatch(name) else []
    found += [address for address in (_towards_others(),) if address]
    return found


def _towards_others() -> str | None:
    """Return the address by which this machine speaks to others; None without a network."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asked:
        try:
            asked.connect(_NOWHERE)
        except OSError:
            return None
        return str(asked.getsockname()[0])
