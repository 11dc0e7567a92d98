"""The [desk] and [second_doses] tables of site.toml."""

import tomllib
from datetime import date
from decimal import Decimal

import pytest

from thawline.adapters.desk_tables import read_desk, read_second_places
from thawline.base.errors import RecordError
from thawline.plan.capacity import SecondPlaces


def _tables(text):
    return tomllib.loads(text, parse_float=Decimal)


def test_a_site_says_what_a_dose_is_refused_without():
    found = read_desk(_tables('[desk]\nrefuses_without = ["identity", "consent"]'), "site.toml")

    assert found == {"identity", "consent"}
    assert read_desk({}, "site.toml") == frozenset()


@pytest.mark.parametrize(
    "text",
    [
        "desk = 1",
        '[desk]\nrefuses_without = "consent"',
        '[desk]\nrefuses_without = ["passport"]',
        "[desk]\nrefuses = []",
    ],
)
def test_another_desk_table_is_refused_with_its_value(text):
    with pytest.raises(RecordError, match=r"site\.toml of oddmoor"):
        read_desk(_tables(text), "site.toml of oddmoor")


def test_places_a_day_and_on_single_days():
    text = '[second_doses]\na_day = 540\non = { "2026-03-07" = 270, "2026-03-04" = 0 }'

    assert read_second_places(_tables(text), "site.toml") == SecondPlaces(
        540, {date(2026, 3, 7): 270, date(2026, 3, 4): 0}
    )


def test_single_days_alone_and_nothing_at_all():
    text = '[second_doses]\non = { "2026-03-07" = 270 }'

    assert read_second_places(_tables(text), "x").a_day is None
    assert read_second_places({}, "x") is None


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("second_doses = 540", "'second_doses' is 540"),
        ("[second_doses]", "'second_doses' is {}"),
        ("[second_doses]\nper_day = 540", "per_day"),
        ("[second_doses]\na_day = -1", "a_day is -1"),
        ("[second_doses]\na_day = true", "a_day is True"),
        ("[second_doses]\na_day = 1.5", "a_day is Decimal"),
        ("[second_doses]\non = 5", "on is 5"),
        (
            '[second_doses]\non = { "7 March" = 5 }',
            "site.toml: [second_doses] on has the key '7 March': not a date",
        ),
        (
            '[second_doses]\non = { "2026-13-01" = 5 }',
            "site.toml: [second_doses] on has the key '2026-13-01': not a date",
        ),
        (
            '[second_doses]\non = { "2026-03-07" = 5, "20260307" = 6 }',
            "site.toml: [second_doses] on names 2026-03-07 twice",
        ),
        ('[second_doses]\non = { "2026-03-07" = "all" }', "2026-03-07 is 'all'"),
    ],
)
def test_what_cannot_be_places_is_named(text, says):
    with pytest.raises(RecordError) as error:
        read_second_places(_tables(text), "site.toml")

    assert says in error.value.says
