"""Who works by which table of a protocol, and so hears of a change there."""

import msgspec
import pytest

from thawline.base.roles import Role
from thawline.rules.briefing import briefings, roles_for
from thawline.rules.protocol import Protocol

WITHOUT_RULES = {"format", "protocol", "sources"}
TABLES = [one.name for one in msgspec.structs.fields(Protocol) if one.name not in WITHOUT_RULES]


@pytest.mark.parametrize("table", TABLES)
def test_the_trainer_hears_of_every_table_that_holds_rules(table):
    assert Role.TRAINER in roles_for(f"{table}.any.allows")


def test_a_needle_row_is_the_work_of_those_who_vaccinate():
    assert roles_for("needles.0.longest_in") == {Role.VACCINATOR, Role.TRAINER}


def test_each_role_hears_an_item_once_and_in_the_order_of_the_file():
    changed = [("needles.0.longest_in", "N2"), ("needles.1.sex", "N1"), ("needles.0.sex", "N2")]

    assert [(one.role, one.items) for one in briefings(changed)] == [
        (Role.VACCINATOR, ("N2", "N1")),
        (Role.TRAINER, ("N2", "N1")),
    ]
