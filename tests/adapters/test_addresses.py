"""By which names a server is reached, and whether its port is free."""

import socket

import pytest

from thawline.adapters.addresses import is_free, names_for
from thawline.base.errors import RecordError


@pytest.mark.parametrize("host", ["localhost", "LOCALHOST", "127.0.0.1"])
def test_without_a_network_it_is_this_machine_only(host):
    assert names_for(host) == ("localhost", "127.0.0.1")


def test_an_address_that_was_named_comes_first():
    assert names_for("10.4.5.6") == ("10.4.5.6", "localhost", "127.0.0.1")


def test_everywhere_is_the_machines_own_name_first(monkeypatch):
    monkeypatch.setattr(socket, "gethostname", lambda: "Laptop.lan")
    assert names_for("0.0.0.0")[0] == "laptop.local"  # noqa: S104


@pytest.mark.parametrize("host", ["", "two words", "<x>", "-x", "a" * 80])
def test_what_is_no_host_is_refused(host):
    with pytest.raises(RecordError, match="not a host"):
        names_for(host)


def test_a_port_that_somebody_listens_at_is_taken():
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        port = other.getsockname()[1]
        assert not is_free("127.0.0.1", port)
    assert is_free("127.0.0.1", port)
