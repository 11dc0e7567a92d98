"""The file of names: what can be read from it, and what is left once a name was erased."""

from concurrent.futures import ThreadPoolExecutor
from threading import Barrier

import apsw
import pytest
from tests.harness.disks import FailingDisk, Plan

from thawline.adapters.db.identity import IDENTITY, DbPeople, create
from thawline.app.ports import Name
from thawline.base.errors import BusyError, IndeterminateError, RecordError

KEY = bytes(range(32))
BRYONY = Name("Bryony Testwick", born="1951-04-09", phone="555-0142")


@pytest.fixture
def people(tmp_path):
    create(tmp_path)
    kept = DbPeople(tmp_path, KEY)
    yield kept
    kept.close()


def on_disk(folder):
    return b"".join(path.read_bytes() for path in folder.glob(f"{IDENTITY}*"))


def test_no_name_stands_in_the_file(people, tmp_path):
    people.put("DEMO-000001", BRYONY)

    for part in (b"Testwick", b"1951", b"555-0142"):
        assert part not in on_disk(tmp_path)


def test_the_key_of_an_erased_person_is_nowhere_in_the_file(people, tmp_path):
    people.put("DEMO-000001", BRYONY)
    asked = "SELECT wrapped_key FROM person"
    (wrapped,) = people._connection.execute(asked).fetchone()
    assert wrapped in on_disk(tmp_path)

    people.erase("DEMO-000001")

    assert wrapped not in on_disk(tmp_path)


def test_of_many_who_take_one_code_at_the_same_moment_one_gets_it(tmp_path):
    """Eight programs with files of their own, each with another name for each code."""
    create(tmp_path)
    programs = [DbPeople(tmp_path, KEY) for _ in range(8)]
    names = [Name(f"Person {number}") for number in range(8)]
    at_once = Barrier(len(programs))

    def take(number):
        at_once.wait()
        return not programs[number].add_all({"P-000001": names[number]})

    with ThreadPoolExecutor(len(programs)) as pool:
        got = list(pool.map(take, range(len(programs))))

    assert got.count(True) == 1
    assert programs[0].get("P-000001") == names[got.index(True)]
    for each in programs:
        each.close()


@pytest.fixture
def disk():
    made = FailingDisk("failing names")
    yield made
    made.unregister()


@pytest.mark.parametrize(
    ("plan", "error", "says"),
    [
        (Plan("sync", 1), IndeterminateError, "not known whether the name was kept"),
        (Plan("write", 1, apsw.FullError), BusyError, "disk is full; the name was not kept"),
        (Plan("write", 1, apsw.BusyError), BusyError, "another program holds the names"),
    ],
    ids=["a failed sync", "a full disk", "a held file"],
)
def test_a_name_that_may_not_have_been_kept_is_said_to_be_so(tmp_path, disk, plan, error, says):
    create(tmp_path)
    people = DbPeople(tmp_path, KEY, vfs=disk.name)
    disk.plan = plan

    with pytest.raises(error, match=says):
        people.put("DEMO-000001", BRYONY)
    disk.plan = None
    people.put("DEMO-000001", BRYONY)
    assert people.get("DEMO-000001") == BRYONY
    people.close()


def test_names_are_there_after_a_restart(people, tmp_path):
    people.put("DEMO-000001", BRYONY)
    people.close()

    again = DbPeople(tmp_path, KEY)

    assert again.get("DEMO-000001") == BRYONY
    again.close()


def test_another_sites_key_reads_no_name(people, tmp_path):
    people.put("DEMO-000001", BRYONY)

    other = DbPeople(tmp_path, bytes(32))
    with pytest.raises(RecordError, match="DEMO-000001 cannot be read"):
        other.get("DEMO-000001")
    other.close()


def test_a_name_moved_to_another_persons_row_is_not_read(people):
    people.put("DEMO-000001", BRYONY)
    people.put("DEMO-000002", Name("Sorrel Kettlewick"))
    people._connection.execute(
        "UPDATE person SET sealed_name = other.sealed_name, wrapped_key = other.wrapped_key"
        " FROM (SELECT * FROM person WHERE person = 'DEMO-000001') AS other"
    )

    with pytest.raises(RecordError, match="DEMO-000002"):
        people.get("DEMO-000002")


def test_the_file_of_names_is_never_made_anew(tmp_path):
    create(tmp_path)

    with pytest.raises(RecordError, match="is there already"):
        create(tmp_path)


def test_a_file_that_holds_no_names_is_refused(tmp_path):
    (tmp_path / IDENTITY).touch()

    with pytest.raises(RecordError, match="does not hold names"):
        DbPeople(tmp_path, KEY)


def test_a_missing_file_of_names_is_said(tmp_path):
    with pytest.raises(RecordError, match="cannot open"):
        DbPeople(tmp_path, KEY)


def test_an_exposure_card_is_kept_once_and_no_word_of_it_stands_in_the_file(people, tmp_path):
    assert people.exposures() == []
    people.keep_exposure("id-1", {"who": "Hazel Rainmoor"})
    people.keep_exposure("id-1", {"who": "somebody else"})

    assert people.exposures() == [{"who": "Hazel Rainmoor"}]
    assert b"Rainmoor" not in on_disk(tmp_path)
    assert people.find("rainmoor") == []


def test_another_sites_key_reads_no_exposure_card(people, tmp_path):
    people.keep_exposure("id-1", {"who": "Hazel Rainmoor"})
    other = DbPeople(tmp_path, bytes(32))
    with pytest.raises(RecordError, match="exposure card cannot be read"):
        other.exposures()
    other.close()
