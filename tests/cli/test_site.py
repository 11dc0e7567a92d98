"""`thawline site`: a folder for each site, who it is, and PINs."""

import json
import stat
from pathlib import Path

import pytest
from tests.cast import BRYONY

from thawline.adapters import wiring
from thawline.adapters.pins import FilePins
from thawline.adapters.sites import read_settings
from thawline.base.errors import RecordError
from thawline.cli import main

ZONE = ("--zone", "America/Chicago")


@pytest.fixture
def ask(tmp_path, capsys):
    def answered(*words):
        capsys.readouterr()
        code = main([*words, "--json", "--home", str(tmp_path)])
        return code, json.loads(capsys.readouterr().out)

    return answered


def test_a_new_site_is_a_folder_with_everything_in_it(ask, tmp_path):
    code, answer = ask("site", "new", "harrowmint", *ZONE, "--title", "Harrowmint Hall")

    folder = tmp_path / "sites" / "harrowmint"
    assert (code, answer["data"]["folder"]) == (0, str(folder))
    assert {"site.toml", "ledger.db", "identity.db", "protocols", "backups", "keys"} <= {
        path.name for path in folder.iterdir()
    }
    assert stat.S_IMODE((folder / "keys").stat().st_mode) == 0o700
    assert read_settings(folder).title == "Harrowmint Hall"


def test_a_title_keeps_its_quotes(ask, tmp_path):
    ask("site", "new", "harrowmint", *ZONE, "--title", 'the "old" \\ hall')

    assert read_settings(tmp_path / "sites" / "harrowmint").title == 'the "old" \\ hall'


def test_a_site_for_rehearsals_says_so(ask, tmp_path):
    ask("site", "new", "rehearsal", *ZONE, "--demo")

    assert read_settings(tmp_path / "sites" / "rehearsal").demo is True
    assert ask("site", "show")[1]["data"]["sites"][0]["demo"] is True


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("Harrowmint", *ZONE), "not a name for a site: 'Harrowmint'"),
        (("../up", *ZONE), "not a name for a site: '../up'"),
        (("a" * 41, *ZONE), "not a name for a site"),
        (("hall", "--zone", "America/Chicgo"), "unknown time zone: 'America/Chicgo'"),
        (("hall", *ZONE, "--title", "two\nlines"), r"not a title: 'two\nlines'"),
    ],
)
def test_a_site_with_an_impossible_name_title_or_zone_is_not_made(ask, tmp_path, words, says):
    code, answer = ask("site", "new", *words)

    assert (code, says in answer["error"]["says"]) == (3, True)
    assert not (tmp_path / "sites").exists()


def test_a_site_is_made_once(ask):
    ask("site", "new", "harrowmint", *ZONE)

    code, answer = ask("site", "new", "harrowmint", *ZONE)

    assert (code, answer["error"]["says"]) == (3, "site harrowmint is there already")


def test_a_folder_that_cannot_be_written_is_said_and_leaves_nothing(capsys, tmp_path):
    blocked = tmp_path / "blocked"
    blocked.write_text("a file, not a folder")

    code = main(["site", "new", "hall", *ZONE, "--home", str(blocked)])

    err = capsys.readouterr().err
    assert (code, "Not a directory" in err, "--home" in err) == (3, True, True)


def test_half_a_site_is_no_site(ask, tmp_path, monkeypatch):
    def full(_folder, _site_id):
        raise OSError(28, "No space left on device", "ledger.db")

    monkeypatch.setattr(wiring.schema, "create", full)

    assert ask("site", "new", "harrowmint", *ZONE)[0] == 3
    assert not (tmp_path / "sites" / "harrowmint").exists()


def test_without_a_site_nothing_can_be_asked_of_one(ask):
    shown = ask("site", "show")
    code, answer = ask("vial", "list")

    assert (shown[0], shown[1]["data"]) == (0, {"sites": []})
    assert (code, answer["error"]["try"]) == (5, "thawline site new NAME")


def test_of_several_sites_one_is_named_and_a_wrong_name_gets_the_nearest(ask):
    ask("site", "new", "harrowmint", *ZONE)
    ask("site", "new", "quillbeck", *ZONE)

    unnamed = ask("vial", "list")
    wrong = ask("vial", "list", "--site", "quilbeck")
    other = ask("vial", "list", "--site", "oddmoor")

    assert (unnamed[0], wrong[0], other[0]) == (5, 5, 5)
    assert unnamed[1]["error"]["try"] == "add --site, one of harrowmint, quillbeck"
    assert wrong[1]["error"]["try"] == "did you mean quillbeck?"
    assert other[1]["error"]["try"] == "thawline site new oddmoor"


def test_sites_are_shown_with_their_protocol_and_number_of_entries(clinic):
    (site,) = clinic.ask("site", "show", "--site", "harrowmint")[1]["data"]["sites"]
    _, out, _ = clinic.run("site", "show")

    assert (site["protocol"], site["versions"], site["entries"]) == ("example-10", [2], 2)
    assert (len(site["head"]), site["vials_coded"], site["zone"]) == (64, 0, "America/Chicago")
    assert out.splitlines()[0].split() == ["site", "title", "zone", "entries", "protocol"]


@pytest.mark.parametrize(
    "settings",
    ["site = 3", "[site\n", '[site]\nzone = "Mars/Olympus"\n', "[site]\n"],
    ids=["no table", "no TOML", "no such zone", "no zone"],
)
def test_a_site_whose_settings_cannot_be_read_is_said_beside_the_others(
    ask, tmp_path, settings
):
    ask("site", "new", "harrowmint", *ZONE)
    ask("site", "new", "quillbeck", *ZONE)
    (tmp_path / "sites" / "quillbeck" / "site.toml").write_text(settings)

    code, answer = ask("site", "show")

    assert (code, answer["alerts"][0]["code"]) == (1, "site-not-readable")
    assert [site["site"] for site in answer["data"]["sites"]] == ["harrowmint"]
    assert ask("vial", "list", "--site", "quillbeck")[0] == 3


# --- PINs ---------------------------------------------------------------------------------


@pytest.fixture
def pins(tmp_path):
    return FilePins(tmp_path)


def test_a_pin_fits_the_person_it_was_given_to(pins):
    pins.put(BRYONY, "284651")

    assert pins.fits(BRYONY, "284651") is True
    assert pins.fits("  bryony   TESTWICK", "284651") is True
    assert pins.fits(BRYONY, "284652") is False
    assert pins.fits("Rowan Thistle", "284651") is False


def test_a_new_pin_ends_the_old_one(pins):
    pins.put(BRYONY, "284651")
    pins.put(BRYONY, "730164")

    assert (pins.fits(BRYONY, "284651"), pins.fits(BRYONY, "730164")) == (False, True)


def test_pins_are_kept_unreadable_and_for_the_owner_only(pins, tmp_path):
    pins.put(BRYONY, "284651")

    kept = tmp_path / "pins.json"
    assert "284651" not in kept.read_text()
    assert stat.S_IMODE(kept.stat().st_mode) == 0o600


def test_the_same_pin_is_kept_differently_for_two_people(pins, tmp_path):
    pins.put(BRYONY, "284651")
    pins.put("Rowan Thistle", "284651")

    assert len(set(json.loads((tmp_path / "pins.json").read_text()).values())) == 2


@pytest.mark.parametrize("pin", ["", "28465", "111111", "28465a", "284 651"])
def test_a_weak_pin_is_refused_and_not_repeated(pins, pin):
    with pytest.raises(RecordError, match="six digits or more") as error:
        pins.put(BRYONY, pin)

    assert not pin or pin not in str(error.value)


@pytest.mark.parametrize("kept", ["[]", "{", '{"bryony testwick": "zz:1"}', '{"x": 1}'])
def test_a_damaged_file_of_pins_is_said_and_lets_nobody_through(pins, tmp_path, kept):
    (tmp_path / "pins.json").write_text(kept)

    with pytest.raises(RecordError, match=r"pins.json cannot be read"):
        pins.fits(BRYONY, "284651")


def test_a_pin_is_given_by_command(clinic):
    code, out, _ = clinic.run("site", "pin", "Linden Nobody", "918273")

    assert (code, out) == (0, "Linden Nobody has a PIN at harrowmint\n")


def test_a_unit_is_named_and_shown_with_how_its_temperature_is_known(clinic):
    code, _, _ = clinic.run(
        *("site", "unit", "fridge-1", "--band", "refrigerator", "--accuracy-c", "0.5")
    )
    _, text, _ = clinic.run("site", "show")

    _, answer = clinic.ask("site", "show")
    assert code == 0
    assert "read by hand" in text
    assert answer["data"]["sites"][0]["units"] == [
        {
            "unit": "fridge-1",
            "band": "refrigerator",
            "followed": "by-hand",
            "accuracy_c": 0.5,
            "title": "",
        }
    ]


def test_a_site_without_units_says_how_to_name_one(clinic):
    _, text, _ = clinic.run("site", "show", "--site", "harrowmint")

    assert "No storage units named: thawline site unit fridge-1 --band refrigerator" in text


def test_a_band_that_the_protocol_does_not_have_is_no_band(clinic):
    code, answer = clinic.ask("site", "unit", "fridge-1", "--band", "refrigerater")

    assert (code, answer["error"]["says"]) == (3, "the protocol has no band 'refrigerater'")
    assert answer["error"]["try"] == "did you mean refrigerator?"


def test_before_a_protocol_is_adopted_any_band_is_taken(ask):
    ask("site", "new", "harrowmint", *ZONE)

    assert ask("site", "unit", "freezer-1", "--band", "ultra")[0] == 0


def test_what_a_dose_is_refused_without_and_the_places_a_day_are_shown(clinic):
    path = Path(clinic.home) / "sites" / "harrowmint" / "site.toml"
    path.write_text(
        f'{path.read_text()}\n[desk]\nrefuses_without = ["identity"]\n'
        '[second_doses]\na_day = 540\non = { "2026-03-07" = 270 }\n'
    )

    _, answer = clinic.ask("site", "show", "--site", "harrowmint")
    _, out, _ = clinic.run("site", "show", "--site", "harrowmint")

    (site,) = answer["data"]["sites"]
    assert site["refuses_without"] == ["identity"]
    assert site["second_doses"] == {"a_day": 540, "on": {"2026-03-07": 270}}
    assert "A dose is refused without: identity." in out
    assert "Places a day for second doses: 540, 2026-03-07 270." in out
