"""What everything that keeps readings does: once, whole, and vouched for by its digest."""

from hashlib import sha256
from struct import pack

import numpy as np
import pytest
from tests.fakes import FakeReadings

from thawline.adapters.db.readings import DbReadings
from thawline.base.errors import RecordError
from thawline.store.pieces import digest_of, packed
from thawline.store.readings import readings

FILE = b"time;temp\r\n2026-02-03 01:00;5,2\r\n"
FILE_SHA256 = sha256(FILE).hexdigest()
SEEN = readings([1_770_000_000_000, 1_770_000_300_000], [5200, -12_500])


@pytest.fixture(params=["in memory", "on disk"])
def store(request, tmp_path):
    return FakeReadings() if request.param == "in memory" else DbReadings(tmp_path)


def test_readings_are_given_back_as_they_were_kept(store):
    digest = store.keep(SEEN, FILE_SHA256, [FILE])

    found = store.get(digest)
    assert found.at_ms.tolist() == [1_770_000_000_000, 1_770_000_300_000]
    assert found.temp_mc.tolist() == [5200, -12_500]


def test_the_digest_is_that_of_the_documented_bytes(store):
    # docs/reference/ledger-format.md: 8 and 4 bytes, big end first, signed.
    rows = b"".join(
        pack(">qi", at_ms, temp_mc)
        for at_ms, temp_mc in ((1_770_000_000_000, 5200), (1_770_000_300_000, -12_500))
    )

    assert rows.hex() == "0000019c1c38a400000014500000019c1c3d37e0ffffcf2c"
    assert store.keep(SEEN, FILE_SHA256, [FILE]) == sha256(rows).hexdigest()


def test_the_same_again_changes_nothing(store):
    first = store.keep(SEEN, FILE_SHA256, [FILE])

    assert store.keep(SEEN, FILE_SHA256, [FILE[:10], FILE[10:]]) == first
    assert np.array_equal(store.get(first).at_ms, SEEN.at_ms)
    assert list(store.faults(first, FILE_SHA256)) == []


def test_a_file_that_changed_while_it_was_read_is_not_kept(store):
    with pytest.raises(RecordError, match="changed while it was read"):
        store.keep(SEEN, FILE_SHA256, [FILE, b"one more line"])

    assert len(list(store.faults(digest_of(packed(SEEN)), FILE_SHA256))) == 2


def test_readings_that_nobody_kept_are_said_to_be_missing(store):
    with pytest.raises(RecordError, match="are not there"):
        store.get("0" * 64)


def test_two_values_at_one_instant_are_both_kept(store):
    both = readings([0, 0], [5500, 5700])

    assert store.get(store.keep(both, FILE_SHA256, [FILE])).temp_mc.tolist() == [5500, 5700]
