"""Which files of a folder are looked at, and that the system tells of their changes."""

from threading import Thread

import pytest
import watchfiles

from thawline.adapters.followed_folder import changes, folder_named, stamps
from thawline.base.errors import NotFoundError, RecordError


def test_only_finished_files_of_the_folder_itself_are_looked_at(tmp_path):
    (tmp_path / "older").mkdir()
    for name in ("log.csv", "log.xlsx", ".hidden", "log.csv.part", "~$log.xlsx", "older/a.csv"):
        (tmp_path / name).write_text("x")

    assert sorted(path.name for path in stamps(tmp_path)) == ["log.csv", "log.xlsx"]


def test_a_folder_that_is_none_is_said(tmp_path):
    (tmp_path / "log.csv").write_text("x")

    with pytest.raises(NotFoundError, match="no folder"):
        folder_named(str(tmp_path / "nowhere"))
    with pytest.raises(RecordError, match="is a file"):
        folder_named(str(tmp_path / "log.csv"))


@pytest.mark.parametrize("poll", [False, True], ids=["told by the system", "looked at"])
def test_a_file_that_is_dropped_into_the_folder_is_told(tmp_path, poll):
    stream = changes(tmp_path, stamps(tmp_path), poll=poll)
    found = []
    waiting = Thread(target=lambda: found.extend(_first(stream)), daemon=True)
    waiting.start()

    for number in range(200):
        (tmp_path / "log.csv").write_text(f"{number}\n")
        waiting.join(timeout=0.1)
        if not waiting.is_alive():
            break

    assert [path.name for path in found] == ["log.csv"]


def test_a_file_that_did_not_change_is_not_told_again(tmp_path, monkeypatch):
    monkeypatch.setattr(watchfiles, "watch", lambda *_, **__: iter([set(), set(), set()]))
    (tmp_path / "old.csv").write_text("x\n")
    stream = changes(tmp_path, stamps(tmp_path), poll=False)

    assert next(stream) == set()
    (tmp_path / "log.csv").write_text("x\n")
    assert [next(stream), next(stream)] == [{tmp_path / "log.csv"}, set()]


def test_a_folder_that_is_pulled_out_is_said_and_followed_again(tmp_path, monkeypatch):
    folder, looked_at = tmp_path / "logger", []
    folder.mkdir()

    def wake(path, **_):
        looked_at.append(path)
        return iter([set(), set()])

    monkeypatch.setattr(watchfiles, "watch", wake)
    stream = changes(folder, stamps(folder), poll=False)
    before = next(stream)
    folder.rmdir()
    gone = next(stream)
    folder.mkdir()
    (folder / "log.csv").write_text("x\n")

    assert (before, gone, next(stream)) == (set(), None, {folder / "log.csv"})
    assert looked_at == [folder, tmp_path]


def test_a_folder_that_may_not_be_read_is_said_at_the_start(tmp_path):
    with pytest.raises(NotFoundError, match="cannot be read"):
        stamps(tmp_path / "nowhere")


def _first(stream):
    """Return the first files that a stream tells of."""
    return next(changed for changed in stream if changed)
