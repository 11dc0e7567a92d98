"""One writer at a time on a site."""

import pytest

from thawline.adapters.db.lock import BACKUP, held
from thawline.base.errors import BusyError


def test_whoever_comes_second_waits_and_is_told_that_nothing_was_recorded(tmp_path):
    with (
        held(tmp_path, 1),
        pytest.raises(BusyError, match=r"writing for 0\.05 s; nothing was recorded"),
        held(tmp_path, 0.05),
    ):
        pass


def test_the_lock_is_free_again_after_the_block(tmp_path):
    with held(tmp_path, 0):
        pass
    with held(tmp_path, 0) as nothing:
        assert nothing is None


def test_the_lock_falls_when_its_holder_fails(tmp_path):
    with pytest.raises(ZeroDivisionError), held(tmp_path, 0):
        raise ZeroDivisionError
    with held(tmp_path, 0) as nothing:
        assert nothing is None


def test_the_lock_of_backups_is_another_one(tmp_path):
    with held(tmp_path, 0), held(tmp_path, 0, BACKUP) as nothing:
        assert nothing is None


def test_a_folder_that_is_not_there_is_said(tmp_path):
    with pytest.raises(BusyError, match="cannot write in"), held(tmp_path / "none", 0):
        pass
