"""One served site, made once and copied for each test that asks for it."""

import os
from shutil import copy, copytree

import django
import pytest

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "thawline.web.settings")
django.setup()

from django.conf import settings  # noqa: E402  Django first
from django.core.management import call_command  # noqa: E402
from django.db import connections  # noqa: E402
from tests.cast import BRYONY, PINS, ROWAN, at  # noqa: E402
from tests.cli.clinic import stand_at  # noqa: E402
from tests.web.hall import Hall  # noqa: E402

from thawline.cli import main  # noqa: E402


def use_rows(path) -> None:
    """Let Django keep its rows in that file from now on."""
    connections["default"].close()
    connections["default"].settings_dict["NAME"] = str(path)


@pytest.fixture(scope="session")
def eve(tmp_path_factory):
    """The folder of Harrowmint with a protocol, three people's PINs and an empty `ops.db`."""
    home = tmp_path_factory.mktemp("web")
    second = ["--countersign", BRYONY, "--pin", PINS[BRYONY]]
    with pytest.MonkeyPatch.context() as patch:
        stand_at(patch, at("00:00"))
        for words in (
            ["site", "new", "harrowmint", "--zone", "America/Chicago"],
            *(["site", "pin", name, pin] for name, pin in PINS.items()),
            ["protocol", "adopt", "example-10-v2", "--by", ROWAN, *second],
        ):
            assert main([*words, "--home", str(home), "--quiet"]) == 0
    use_rows(home / "ops.db")
    call_command("migrate", verbosity=0)
    connections["default"].close()
    return home


@pytest.fixture
def hall(eve, tmp_path, monkeypatch) -> Hall:
    """Harrowmint at noon, served."""
    home = tmp_path / "home"
    copytree(eve, home)
    folder = home / "sites" / "harrowmint"
    copy(home / "ops.db", folder / "ops.db")
    monkeypatch.setattr(settings, "SITE_FOLDER", folder)
    use_rows(folder / "ops.db")
    yield Hall(home, monkeypatch)
    connections["default"].close()
