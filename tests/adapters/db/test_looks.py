"""Who looked at whose name: kept in order, and taken away by nothing."""

from datetime import timedelta

import apsw
import pytest
from tests.cast import BRYONY, HAZEL, at

from thawline.adapters.db import identity
from thawline.adapters.db.connections import writer
from thawline.adapters.db.looks import DbLooks, Look
from thawline.base.instants import Instant


@pytest.fixture
def looks(tmp_path):
    """An empty list of looks in a site's folder."""
    identity.create(tmp_path)
    kept = DbLooks(tmp_path)
    yield kept
    kept.close()


def _look(person="DEMO-000001", by=HAZEL, minutes=0):
    when = Instant(at("12:00") + timedelta(minutes=minutes))
    return Look(when, by, "tablet 1", "chair", person)


def test_looks_come_back_the_newest_first(looks):
    looks.note([_look(minutes=0), _look("DEMO-000002", minutes=1)])
    looks.note([_look("DEMO-000003", BRYONY, minutes=2)])
    assert [one.person for one in looks.newest(9)] == [
        "DEMO-000003",
        "DEMO-000002",
        "DEMO-000001",
    ]
    assert looks.newest(1) == [_look("DEMO-000003", BRYONY, minutes=2)]


def test_looks_at_one_person_and_by_one_person_are_found(looks):
    looks.note([_look(), _look("DEMO-000002"), _look("DEMO-000002", BRYONY)])
    assert [one.by for one in looks.newest(9, person="DEMO-000002")] == [BRYONY, HAZEL]
    assert [one.person for one in looks.newest(9, by=HAZEL)] == ["DEMO-000002", "DEMO-000001"]


@pytest.mark.parametrize("words", ["UPDATE look SET looker = 'x'", "DELETE FROM look"])
def test_a_look_is_never_changed_or_taken_away(looks, tmp_path, words):
    looks.note([_look()])
    other = writer(tmp_path / identity.IDENTITY)
    with pytest.raises(apsw.ConstraintError):
        other.execute(words)
    other.close()
    assert looks.newest(9) == [_look()]


def test_looks_are_there_after_the_server_was_started_again(looks, tmp_path):
    looks.note([_look()])
    again = DbLooks(tmp_path)
    assert again.newest(9) == [_look()]
    again.close()


def test_searches_are_counted_for_each_from_a_moment_on(looks):
    looks.note([_look("", HAZEL, n) for n in range(60)])
    looks.note([_look("", BRYONY, n) for n in range(59)])
    assert looks.searched_often(at("12:00"), 60) == {HAZEL: 60}
    assert looks.searched_often(at("12:01"), 60) == {}
