"""`thawline serve`: what it refuses before it serves, what it prints, and how it ends."""

import re
import signal
import socket
import ssl
import subprocess
import sys
import time
import urllib.request

import pytest
from tests.cast import BRYONY, PINS, ROWAN

from thawline.cli import main
from thawline.web import serving


def _free_port() -> int:
    with socket.socket() as asked:
        asked.bind(("127.0.0.1", 0))
        return asked.getsockname()[1]


@pytest.fixture
def home(tmp_path):
    """A live site without anybody, with a protocol in force."""
    second = ["--countersign", BRYONY, "--pin", PINS[BRYONY]]
    for words in (
        ["site", "new", "harrowmint", "--zone", "America/Chicago"],
        ["site", "pin", BRYONY, PINS[BRYONY]],
        ["protocol", "adopt", "example-10-v2", "--by", ROWAN, *second],
    ):
        assert main([*words, "--home", str(tmp_path), "--quiet"]) == 0
    return tmp_path


def _said(capsys) -> str:
    """Return what was said on stderr, in one line and small letters at its head."""
    said = " ".join(capsys.readouterr().err.split())
    return said[:1].lower() + said[1:]


def _served(home, *words):
    return main(["serve", "--home", str(home), "--port", str(_free_port()), *words])


@pytest.fixture
def unserved(monkeypatch):
    """Nothing is served in this process: the server is only asked for."""
    asked = []
    monkeypatch.setattr(serving, "prepare", lambda *told: asked.append(told))
    monkeypatch.setattr(serving, "ways_in", lambda *_, **__: serving.WaysIn(code="AAAA-2222"))
    monkeypatch.setattr(serving, "serve", asked.append)
    return asked


def test_without_a_protocol_nothing_is_served(tmp_path, unserved, capsys):
    main(["site", "new", "harrowmint", "--zone", "America/Chicago", "--home", str(tmp_path)])
    assert _served(tmp_path) == 3
    assert "no protocol is adopted at harrowmint" in _said(capsys)
    assert unserved == []


def test_a_port_that_is_taken_is_named(home, unserved, capsys):
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        port = str(other.getsockname()[1])
        assert main(["serve", "--home", str(home), "--port", port]) == 3
    assert f"port {port} at localhost is taken" in _said(capsys)
    assert unserved == []


@pytest.mark.parametrize("port", ["0", "65536", "-1"])
def test_what_is_no_port_is_refused(home, unserved, capsys, port):
    assert main(["serve", "--home", str(home), "--port", port]) == 3
    assert f"not a port: {port}" in _said(capsys)
    assert unserved == []


def test_an_address_that_this_machine_has_not_is_refused(home, unserved, capsys):
    assert _served(home, "--host", "192.0.2.7") == 3
    assert "this machine has no address 192.0.2.7" in _said(capsys)
    assert unserved == []


def test_a_damaged_record_is_not_served(home, unserved):
    ledger = home / "sites" / "harrowmint" / "ledger.db"
    main(["backup", "make", "--home", str(home), "--quiet"])
    content = bytearray(ledger.read_bytes())
    content[4096:8192] = b"\x00" * 4096
    ledger.write_bytes(bytes(content))
    assert _served(home) != 0
    assert unserved == []


def test_it_says_where_it_is_how_tablets_trust_it_and_who_comes_in_first(
    home, unserved, capsys
):
    assert _served(home) == 0
    told = capsys.readouterr().out
    assert re.search(r"harrowmint is served at https://localhost:\d+/ until Ctrl-C", told)
    assert len(re.findall(r"\b[0-9A-F]{2}\b(?=[:\n])", told)) == 32
    assert "the code AAAA-2222" in told
    assert (unserved[1].host, unserved[1].certificate.name) == ("127.0.0.1", "server.pem")


def test_a_new_authority_has_another_fingerprint(home, unserved, capsys):
    _served(home)
    first = capsys.readouterr().out
    _served(home)
    again = capsys.readouterr().out
    _served(home, "--new-authority")
    other = capsys.readouterr().out
    prints = [
        re.search(r"([0-9A-F]{2}:){15}[0-9A-F]{2}", told)[0] for told in (first, again, other)
    ]
    assert prints[0] == prints[1] != prints[2]
    assert len(unserved) == 6


@pytest.mark.slow
def test_a_browser_that_trusts_the_site_reaches_the_door_and_ctrl_c_ends_it_well(home):
    port = _free_port()
    run = "import sys; from thawline.cli import main; sys.exit(main())"
    words = [sys.executable, "-c", run, "serve", "--home", str(home), "--port", str(port)]
    server = subprocess.Popen(words, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)  # noqa: S603
    keys = home / "sites" / "harrowmint" / "keys"
    try:
        page = _fetched(f"https://localhost:{port}/begin", keys / "authority.pem")
    finally:
        server.send_signal(signal.SIGINT)
        said, faults = server.communicate(timeout=30)
    assert "Begin" in page
    assert re.search(r"the code [2-9A-HJ-NP-Z]{4}-[2-9A-HJ-NP-Z]{4}", said)
    assert "Stopped. Nothing that was answered is missing." in said
    assert (server.returncode, "Traceback" in faults) == (0, False)


def _fetched(address: str, authority) -> str:
    """Return a page, once the server answers; within a minute."""
    for _ in range(120):
        time.sleep(0.5)
        try:
            context = ssl.create_default_context(cafile=str(authority))
            with urllib.request.urlopen(address, context=context) as answer:  # noqa: S310
                return answer.read().decode()
        except OSError:
            continue
    raise AssertionError(address)
