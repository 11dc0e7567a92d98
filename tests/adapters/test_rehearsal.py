"""A rehearsal's present: moved at a site of invented data, never at a live one."""

from uuid import uuid4

import pytest
from tests.cast import at

from thawline.adapters import rehearsal
from thawline.adapters.sites import Settings
from thawline.adapters.time import standing_at
from thawline.adapters.wiring import make_site, open_site
from thawline.base.errors import RecordError, RefusedError

MACHINE = standing_at(at("09:00", 27, 11))


def made(tmp_path, *, demo: bool):
    settings = Settings("quillbeck", "Quillbeck", "America/Chicago", demo=demo)
    return make_site(tmp_path, settings, uuid4())


def test_it_goes_on_from_where_it_was_moved_to(tmp_path):
    folder = made(tmp_path, demo=True)
    rehearsal.move(folder, at("13:37"), MACHINE)
    clock = rehearsal.RehearsalClock(folder, standing_at(at("09:10", 27, 11)))
    assert clock.now() == at("13:47")


def test_a_clock_in_use_follows_each_move_at_once(tmp_path):
    folder = made(tmp_path, demo=True)
    clock = rehearsal.RehearsalClock(folder, MACHINE)
    for wall in ("13:37", "16:52", "13:37", "09:05"):
        rehearsal.move(folder, at(wall), MACHINE)
        assert clock.now() == at(wall)


def test_it_is_the_machines_again_once_it_ends(tmp_path):
    folder = made(tmp_path, demo=True)
    rehearsal.move(folder, at("13:37"), MACHINE)
    assert rehearsal.is_moved(folder)
    rehearsal.end(folder)
    assert rehearsal.RehearsalClock(folder, MACHINE).now() == MACHINE()


def test_the_present_of_a_live_site_cannot_be_moved(tmp_path):
    folder = made(tmp_path, demo=False)
    with pytest.raises(RefusedError, match="quillbeck is a live site"):
        rehearsal.move(folder, at("13:37"), MACHINE)
    assert not rehearsal.is_moved(folder)


def test_a_live_site_does_not_look_at_a_file_that_somebody_put_there(tmp_path):
    folder = made(tmp_path, demo=False)
    (folder / "rehearsal.json").write_text('{"ahead_s": -86400}')
    site = open_site(tmp_path, "quillbeck")
    assert abs((site.now() - rehearsal.machine_now()).total_seconds()) < 60


def test_a_spoilt_file_is_an_error_and_not_the_present(tmp_path):
    folder = made(tmp_path, demo=True)
    (folder / "rehearsal.json").write_text('{"ahead_s": 1.5}')
    with pytest.raises(RecordError, match="cannot be read"):
        rehearsal.RehearsalClock(folder, MACHINE).now()
