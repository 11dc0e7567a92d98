"""One site, made once and copied for each test that asks for it."""

from shutil import copytree

import pytest
from tests.cast import BRYONY, PINS, ROWAN, at
from tests.cli.clinic import Clinic, stand_at

from thawline.cli import main


@pytest.fixture(scope="session")
def harrowmint(tmp_path_factory):
    """The folder of Harrowmint with a protocol and three people's PINs."""
    home = tmp_path_factory.mktemp("harrowmint")
    second = ["--countersign", BRYONY, "--pin", PINS[BRYONY]]
    with pytest.MonkeyPatch.context() as patch:
        stand_at(patch, at("00:00"))
        for words in (
            ["site", "new", "harrowmint", "--zone", "America/Chicago"],
            *(["site", "pin", name, pin] for name, pin in PINS.items()),
            ["protocol", "adopt", "example-10-v2", "--by", ROWAN, *second],
        ):
            assert main([*words, "--home", str(home), "--quiet"]) == 0
    return home


@pytest.fixture
def clinic(harrowmint, tmp_path, capsys, monkeypatch) -> Clinic:
    """Harrowmint at noon, with 40 vials in the freezer since 01:00."""
    copytree(harrowmint, tmp_path / "home")
    place = Clinic(tmp_path / "home", capsys, monkeypatch)
    received = ["vial", "receive", "ZZ-1041", "2026-08", "40", "--listed", "40"]
    place.run(*received, "--temp-c", "-21.5", "--at", "01:00", "--by", ROWAN)
    return place
