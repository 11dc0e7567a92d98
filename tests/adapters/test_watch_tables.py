"""The call chain and the night in site.toml: what is written is read, the rest stays."""

import tomllib
from datetime import time

import pytest

from thawline.adapters.watch_tables import called, hours, keep_watch, read_calls, read_hours
from thawline.base.errors import RecordError
from thawline.store.nights import Hours

CHAIN = (
    called('Sorrel "Kit" Kettlewick', "vaccine coordinator", "555-0101"),
    called("Rowan Thistle", "site lead", "+1 (555) 0102"),
)
NIGHT = Hours(time(18), time(6))


def kept(tmp_path, text, calls=CHAIN, night=NIGHT):
    path = tmp_path / "site.toml"
    path.write_text(text)
    keep_watch(path, calls, night)
    return path.read_text()


def test_what_is_written_is_read_back(tmp_path):
    tables = tomllib.loads(kept(tmp_path, '[site]\ntitle = "x"\n'))

    assert read_calls(tables, "site.toml") == CHAIN
    assert read_hours(tables, "site.toml") == NIGHT


def test_written_again_nothing_is_doubled_and_the_rest_stays(tmp_path):
    first = kept(tmp_path, '# ours\n[site]\ntitle = "x"\n[units.fridge-1]\nband = "x"\n')
    again = kept(tmp_path, first)

    assert again == first
    assert again.startswith('# ours\n[site]\ntitle = "x"\n[units.fridge-1]\nband = "x"\n')


def test_a_site_that_says_nothing_has_no_chain_and_no_night():
    assert read_calls({}, "site.toml") == ()
    assert read_hours({}, "site.toml") is None


@pytest.mark.parametrize(
    "tables",
    [
        {"calls": "Rowan"},
        {"calls": [{"name": "Rowan"}]},
        {"calls": [{"name": "Rowan", "role": "site lead", "number": 555}]},
        {"calls": ["Rowan"]},
    ],
)
def test_a_table_that_is_no_call_is_named_by_its_place(tables):
    with pytest.raises(RecordError, match=r"site\.toml"):
        read_calls(tables, "site.toml")


@pytest.mark.parametrize("night", ["18 to 6", {"starts": "18:00"}, {"starts": 18, "ends": 6}])
def test_a_table_that_is_no_night_is_refused(night):
    with pytest.raises(RecordError):
        read_hours({"night": night}, "site.toml")


@pytest.mark.parametrize(("starts", "ends"), [("24:00", "06:00"), ("18.00", "06:00"), ("", "")])
def test_hours_are_times_of_day(starts, ends):
    with pytest.raises(RecordError, match="not a time of day"):
        hours(starts, ends)
