"""`thawline doctor`: what a person reads of this machine and of every site."""

from pathlib import Path

from tests.cast import at

from thawline.adapters.time import standing_at
from thawline.cli import doctor


def looks(answer, where="harrowmint"):
    return {each["what"]: each for each in answer["data"]["looks"] if each["site"] == where}


def test_a_machine_and_a_site_in_order(clinic):
    code, answer = clinic.ask("doctor")

    assert (code, answer["alerts"]) == (0, [])
    assert list(looks(answer, None)) == ["python", "sqlite", "clock", "disk"]
    assert list(looks(answer)) == ["zone", "keys", "protocol", "ledger"]
    assert answer["data"]["looks"][0] == {
        **answer["data"]["looks"][0],
        "site": None,
        "what": "python",
        "findings": [],
    }


def test_people_read_a_line_a_look_and_whether_it_is_in_order(clinic):
    lines = clinic.run("doctor")[1].splitlines()

    assert all(line.endswith("in order") for line in lines[1:])
    assert any("America/Chicago" in line for line in lines)
    assert any(line.split()[1] == "ledger" and "verified" in line for line in lines[1:])


def test_a_machine_without_a_site_is_looked_at_all_the_same(clinic, tmp_path):
    clinic.home = str(tmp_path / "nothing")

    code, answer = clinic.ask("doctor")

    assert (code, {each["site"] for each in answer["data"]["looks"]}) == (0, {None})


def test_a_site_that_is_not_here_is_named_with_the_nearest(clinic):
    code, answer = clinic.ask("doctor", "--site", "harowmint")

    assert (code, answer["error"]["try"]) == (5, "did you mean harrowmint?")


def test_a_clock_that_is_behind_the_last_entry_is_a_stop(clinic, monkeypatch):
    monkeypatch.setattr(doctor, "now", standing_at(at("11:00")))

    code, answer = clinic.ask("doctor")

    assert (code, [alert["code"] for alert in answer["alerts"]]) == (1, ["clock-behind"])
    assert "two people set the clock" in answer["alerts"][0]["says"]


def test_one_damaged_site_hides_no_other(clinic):
    clinic.run("site", "new", "oddmoor", "--zone", "America/Chicago")
    settings = Path(clinic.home) / "sites" / "harrowmint" / "site.toml"
    settings.write_text("not TOML")

    code, answer = clinic.ask("doctor")

    assert code == 1
    assert "site.toml" in answer["alerts"][0]["says"]
    assert "ledger" in looks(answer, "oddmoor")
