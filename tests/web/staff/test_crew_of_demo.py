"""The crew of a demo comes in at once, each in their role; a live site lets nobody in."""

import pytest
from tests.web.hall import text

from thawline.base.errors import RecordError
from thawline.base.roles import Role
from thawline.demo.folder import make_anew, note_seed, seed_of
from thawline.web.staff import crew_of_demo
from thawline.web.staff.models import Staff
from thawline.web.staff.sign_offs import today


@pytest.fixture
def crew(hall):
    """The hall as a demo's site, its crew let in; the list as it is printed."""
    (hall.folder.parent.parent / "DEMO.txt").write_text("DEMO\nSeed: 28\n")
    return crew_of_demo.let_in(hall.folder, today())


def test_one_person_a_role_is_shown_in_the_order_of_the_roles(crew):
    assert [one.role for one in crew] == [role.value for role in Role]
    assert all(one.badge.startswith("DEMO-") and len(one.pin) == 6 for one in crew)


def test_whoever_is_shown_comes_in_by_passphrase_and_by_pin(hall, crew):
    preparer = next(one for one in crew if one.role == "preparer")
    desk, tablet = hall.browser(), hall.tablet()
    hall.come_in(desk, preparer.name, passphrase=crew_of_demo.PASSPHRASE)
    hall.come_in(tablet, preparer.name, pin=preparer.pin)
    assert hall.get(desk, "/draw-table").status_code == 200
    assert preparer.name in text(hall.get(tablet, "/draw-table"))


def test_the_next_start_shows_the_same_and_says_where_a_pin_was_changed(hall, crew):
    hall.give_pin(crew[0].name, "918273")
    again = crew_of_demo.let_in(hall.folder, today())
    assert again[0].pin == "changed"
    assert again[1:] == crew[1:]


def test_a_start_makes_nobody_new_where_somebody_has_a_log_in(hall):
    (hall.folder.parent.parent / "DEMO.txt").write_text("DEMO\nSeed: 28\n")
    hall.employ("Somebody Here")
    assert crew_of_demo.let_in(hall.folder, today()) == []
    assert Staff.objects.count() == 1


def test_a_demo_says_where_it_began(tmp_path):
    home = tmp_path / "demo"
    make_anew(home)
    with pytest.raises(RecordError, match="where this demo began"):
        seed_of(home)
    note_seed(home, 7)
    assert seed_of(home) == 7
