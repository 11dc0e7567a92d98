"""The team of a day from a file: read, or refused with the person and the value; invented."""

from datetime import date, time

import pytest

from thawline.adapters.team_tables import read_team
from thawline.base.errors import NotFoundError, RecordError
from thawline.base.roles import Role
from thawline.plan.cover import Member, Post, Span

GOOD = """
day = 2026-02-03

[[team]]
name = "Rowan  Thistle"
signed_off = ["screener", "registrar"]
works = "screener"
from = "7:00"
to = 15:30:00

[[team]]
name = "Hazel Quince"
signed_off = []
"""


@pytest.fixture
def file(tmp_path):
    def write(text):
        path = tmp_path / "team.toml"
        path.write_text(text)
        return path

    return write


def test_a_team_is_read_with_its_work_and_its_free_people(file):
    team = read_team(file(GOOD))

    post = Post(Role.SCREENER, Span(time(7), time(15, 30)))
    assert team.day == date(2026, 2, 3)
    assert team.members == (
        Member("Rowan Thistle", frozenset({Role.SCREENER, Role.REGISTRAR}), post),
        Member("Hazel Quince", frozenset()),
    )


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("day = 2026-02-03", "", "day is None"),
        ("day = 2026-02-03", "day = 2026-02-03T00:00:00", "day is datetime"),
        ('"registrar"]', '"greeter"]', "person 1, Rowan  Thistle: signed_off is 'greeter'"),
        ('works = "screener"', 'works = "desk"', "person 1, Rowan  Thistle: works is 'desk'"),
        ('"7:00"', '"7 am"', "from is '7 am'"),
        ('"7:00"', '"24:00"', "from is '24:00'"),
        ('"7:00"', '"16:00"', "a shift from 16:00 to 15:30"),
        ("to = 15:30:00", "", "to is missing"),
        ("signed_off = []", 'signed_off = "observer"', "person 2: signed_off is 'observer'"),
        ("signed_off = []", "", "person 2: is {'name'"),
        ("signed_off = []", "signed_off = []\nage = 3", "person 2: is {"),
        ('"Hazel Quince"', '" "', "person 2: name is ' '"),
        ('"Hazel Quince"', "7", "person 2: name is 7"),
        ('"Hazel Quince"', '"rowan thistle"', "'rowan thistle' stands there twice"),
        ("[[team]]", "[[staff]]", "has no [[team]]"),
        ("day =", "day", "cannot be read"),
    ],
)
def test_what_cannot_be_is_named_with_its_person(file, old, new, says):
    with pytest.raises(RecordError) as raised:
        read_team(file(GOOD.replace(old, new)))

    assert says in str(raised.value)


def test_a_file_that_is_not_there_says_what_to_write(tmp_path):
    with pytest.raises(NotFoundError, match=r"team\.toml is not there"):
        read_team(tmp_path / "team.toml")
