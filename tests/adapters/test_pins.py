"""PINs and the one role that goes with them, kept in a file beside the site's keys."""

import json

import pytest

from thawline.adapters.pins import FilePins
from thawline.base.errors import RecordError
from thawline.base.roles import Role

BRYONY, PIN = "Bryony Testwick", "284651"


@pytest.fixture
def pins(tmp_path):
    kept = FilePins(tmp_path)
    kept.put(BRYONY, PIN, Role.CLINICAL_LEAD)
    kept.put("Rowan Thistle", "730164")
    return kept


def test_a_pin_fits_its_person_with_or_without_a_role(pins):
    assert pins.fits("bryony  testwick", PIN)
    assert pins.fits("Rowan Thistle", "730164")
    assert not pins.fits(BRYONY, "730164")


def test_only_whoever_was_given_the_role_has_it(pins):
    assert pins.role_of(BRYONY) is Role.CLINICAL_LEAD
    assert pins.role_of("Rowan Thistle") is None
    assert pins.role_of("Linden Nobody") is None


def test_a_new_pin_without_the_role_ends_it(pins):
    pins.put(BRYONY, "284652")

    assert pins.role_of(BRYONY) is None


def test_a_role_that_there_is_no_more_counts_for_none(pins, tmp_path):
    kept = json.loads((tmp_path / "pins.json").read_text())
    kept["bryony testwick"] = kept["bryony testwick"].replace("clinical lead", "greeter")
    (tmp_path / "pins.json").write_text(json.dumps(kept))

    assert pins.role_of(BRYONY) is None
    assert pins.fits(BRYONY, PIN)


def test_a_file_that_says_something_else_is_refused(pins, tmp_path):
    (tmp_path / "pins.json").write_text('{"bryony testwick": "1234:5678:clinical lead"}')
    with pytest.raises(RecordError):
        pins.role_of(BRYONY)
