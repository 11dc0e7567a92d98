"""Which folders the demo may make anew, and which it leaves alone."""

import pytest

from thawline.adapters import sites
from thawline.base.errors import RecordError
from thawline.demo.folder import MARK, make_anew


@pytest.fixture(name="home")
def _home(tmp_path):
    home = tmp_path / "demo"
    make_anew(home)
    return home


def _site(home, *, demo):
    sites.make_folder(home, sites.Settings("harrowmint", "Harrowmint Hall", "Etc/GMT+6", demo))


def test_a_folder_that_is_not_there_is_made_and_says_demo(home):
    assert (home / MARK).read_text().startswith("DEMO")


def test_an_empty_folder_may_be_used(tmp_path):
    make_anew(tmp_path)

    assert (tmp_path / MARK).exists()


def test_an_earlier_demo_is_deleted(home):
    _site(home, demo=True)
    make_anew(home)

    assert [path.name for path in home.iterdir()] == [MARK]


def test_a_live_site_is_never_deleted(home):
    _site(home, demo=False)

    with pytest.raises(RecordError, match="site 'harrowmint' is not a demo's; nothing was"):
        make_anew(home)
    assert (home / "sites" / "harrowmint" / sites.SETTINGS).exists()


def test_a_site_without_settings_counts_as_live(home):
    _site(home, demo=True)
    (home / "sites" / "harrowmint" / sites.SETTINGS).unlink()

    with pytest.raises(RecordError, match="nothing was deleted"):
        make_anew(home)


def test_a_folder_without_the_mark_is_left_alone(tmp_path):
    _site(tmp_path, demo=True)

    with pytest.raises(RecordError, match="it has no DEMO"):
        make_anew(tmp_path)
    assert sites.names(tmp_path) == ["harrowmint"]


def test_somebodys_own_file_in_a_demos_folder_is_kept(home):
    (home / "notes.txt").write_text("mine")

    with pytest.raises(RecordError, match="lies in it"):
        make_anew(home)
    assert (home / "notes.txt").read_text() == "mine"


def test_a_link_to_another_folder_is_not_followed(home, tmp_path):
    link = tmp_path / "link"
    link.symlink_to(home)

    with pytest.raises(RecordError, match="no folder of its own"):
        make_anew(link)
    assert (home / MARK).exists()
