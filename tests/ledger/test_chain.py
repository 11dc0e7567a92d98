"""The chain: what is hashed, and what is noticed when something was changed."""

import json
from uuid import UUID

import pytest
from msgspec.structs import replace
from tests.reference.ledger_bytes import PUBLISHED

from thawline.base.findings import Level
from thawline.ledger.chain import NOTHING, breaks, chained, is_whole, link
from thawline.ledger.entries import Head

CHAIN = json.loads(PUBLISHED.read_text())["chain"]
SITE = UUID(CHAIN["site"])


def built():
    """Return the rows of the published chain, built from their headers and bodies."""
    rows, before = [], NOTHING
    for entry in CHAIN["entries"]:
        place = Head(entry["epoch"], entry["seq"], before.hash)
        parts = (entry["header"].encode(), entry["body"].encode())
        rows.append(chained(SITE, place, UUID(int=entry["seq"]), *parts))
        before = rows[-1].head
    return rows


def codes(rows, before=NOTHING):
    return [finding.code for finding in breaks(SITE, rows, before)]


def test_the_published_chain_comes_out_hash_by_hash():
    assert [row.hash.hex() for row in built()] == [each["hash"] for each in CHAIN["entries"]]
    assert [row.prev.hex() for row in built()] == [each["prev"] for each in CHAIN["entries"]]


def test_a_chain_as_it_was_written_has_no_break():
    assert codes(built()) == []


def test_a_chain_may_be_looked_at_from_the_middle():
    rows = built()

    assert codes(rows[4:], before=rows[3].head) == []


@pytest.mark.parametrize(
    "change",
    [
        {"body": b"{}"},
        {"header": b"{}"},
        {"body_sha256": bytes(32)},
        {"hash": bytes(32)},
        {"prev": bytes(32)},
        {"epoch": 2},
    ],
    ids=lambda change: next(iter(change)),
)
def test_a_changed_row_is_named(change):
    rows = built()
    rows[2] = replace(rows[2], **change)

    found = next(iter(breaks(SITE, rows)))

    assert (found.code, found.says) == ("ledger-changed", "entry 3 is not as it was written")


def test_another_sites_entry_is_not_one_of_ours():
    assert not is_whole(UUID(int=9), built()[0])


def test_a_missing_row_is_named():
    rows = built()
    del rows[4]

    (found,) = breaks(SITE, rows)

    assert (found.code, found.says) == ("ledger-gap", "entry 5 is missing before entry 6")


def test_a_row_that_follows_another_one_is_named():
    rows = built()
    place = Head(1, 3, bytes(32))
    rows[2] = chained(SITE, place, UUID(int=3), rows[2].header, rows[2].body)

    assert [(found.level, found.says) for found in breaks(SITE, rows)] == [
        (Level.STOP, "entry 3 does not follow entry 2"),
        (Level.STOP, "entry 4 does not follow entry 3"),
    ]


@pytest.mark.parametrize(("epoch", "codes_found"), [(1, []), (2, []), (3, ["ledger-unlinked"])])
def test_an_epoch_follows_itself_or_the_one_before(epoch, codes_found):
    rows = built()[:1]
    place = Head(epoch, 2, rows[0].hash)

    rows.append(chained(SITE, place, UUID(int=2), b"{}", b"{}"))

    assert codes(rows) == codes_found


def test_an_epoch_never_goes_back():
    rows = built()
    place = Head(1, 11, rows[-1].hash)

    rows.append(chained(SITE, place, UUID(int=11), b"{}", b"{}"))

    assert codes(rows) == ["ledger-unlinked"]


def test_the_hash_depends_on_each_part():
    place = Head(1, 7, bytes(32))
    first = link(SITE, place, b"header", bytes(32))
    others = [
        link(UUID(int=1), place, b"header", bytes(32)),
        link(SITE, Head(2, 7, bytes(32)), b"header", bytes(32)),
        link(SITE, Head(1, 8, bytes(32)), b"header", bytes(32)),
        link(SITE, Head(1, 7, b"\x01" * 32), b"header", bytes(32)),
        link(SITE, place, b"headers", bytes(32)),
        link(SITE, place, b"header", b"\x01" * 32),
    ]

    assert first not in others
    assert len(set(others)) == 6
