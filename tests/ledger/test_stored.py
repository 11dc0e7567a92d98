"""An entry as bytes and back; most of it is held by the ports' own suite."""

from uuid import UUID

import pytest
from msgspec.structs import replace
from tests.acts import HELD, act, moved
from tests.fakes import SITE

from thawline.base.errors import RecordError
from thawline.base.instants import Occurred, from_ms
from thawline.ledger.canonical import body_bytes
from thawline.ledger.chain import NOTHING, chained
from thawline.ledger.entries import Decision, Head
from thawline.ledger.events import EpochBegan, VialPunctured
from thawline.ledger.stored import entry_of, event_of, header_of, kind_of, next_row
from thawline.rules.protocol import ProtocolRef

ASKED = "ab" * 32
RULES = ProtocolRef("example-10", 2, "cd" * 32)


def row_of(event, **more):
    return next_row(SITE, NOTHING, act(1, **more), Decision(event, (HELD,), RULES), ASKED)


def test_what_goes_in_comes_out():
    when = Occurred(from_ms(1_770_141_600_000), from_ms(1_770_141_660_000))
    entry = entry_of(
        row_of(moved("HK47M"), occurred=when, recorded_at=from_ms(1_770_141_700_000))
    )

    assert (entry.seq, entry.epoch, entry.id) == (1, 1, UUID(int=1))
    assert (entry.event, entry.findings, entry.protocol) == (moved("HK47M"), (HELD,), RULES)
    assert (entry.occurred, entry.recorded_at) == (when, from_ms(1_770_141_700_000))


def test_an_entry_carries_the_hash_of_its_row():
    row = row_of(moved("HK47M"))

    assert entry_of(row).hash == row.hash


def test_a_header_of_a_newer_version_says_what_to_install():
    row = replace(row_of(moved("HK47M")), header=b"{}")

    with pytest.raises(RecordError, match="header of entry 1: ") as refused:
        header_of(row)

    assert refused.value.advice == (
        "it was written by a newer thawline: install that one to read this ledger"
    )


def test_the_header_keeps_the_fingerprint():
    assert header_of(row_of(moved("HK47M"))).asked == ASKED


def test_an_event_that_begins_an_epoch_stands_in_it():
    began = EpochBegan(parent_epoch=1, parent_seq=6, parent_hash="00" * 32, why="laptop fell")
    head = Head(1, 6, bytes(32))

    row = next_row(SITE, head, act(7), Decision(began), ASKED)
    after = next_row(SITE, row.head, act(8), Decision(moved("HK47M")), ASKED)

    assert (row.epoch, row.seq, after.epoch, after.seq) == (2, 7, 2, 8)


@pytest.mark.parametrize(
    ("kind", "body", "says"),
    [
        ("VialLost", b"{}", "unknown event: 'VialLost'"),
        ("VialPunctured", b"{}", "body of VialPunctured: .*`vial`"),
        ("VialPunctured", b'{"vial": 5}', "body of VialPunctured"),
        ("VialPunctured", b'{"vial":"HK47M","lid":1}', "unknown field `lid`"),
        ("VialPunctured", b"{", "body of VialPunctured"),
    ],
)
def test_an_event_that_is_not_known_here_is_said_to_be_a_newer_ones(kind, body, says):
    with pytest.raises(RecordError, match=says) as unknown:
        event_of(kind, body)
    assert "newer thawline" in unknown.value.advice


def test_an_event_is_read_from_text_as_well():
    assert event_of("VialPunctured", '{"vial":"HK47M"}') == VialPunctured(vial="HK47M")


def test_a_header_that_cannot_be_read_names_its_entry():
    row = chained(SITE, Head(1, 1, bytes(32)), UUID(int=1), b"{}", b"{}")

    with pytest.raises(RecordError, match="header of entry 1"):
        header_of(row)


def test_the_name_of_an_event_is_read_without_the_rest_of_its_header():
    assert kind_of(row_of(moved("HK47M"))) == "VialMoved"


def test_a_header_without_the_name_of_an_event_names_its_entry():
    row = replace(row_of(moved("HK47M")), header=b"{}")

    with pytest.raises(RecordError, match="header of entry 1"):
        kind_of(row)


def test_an_entry_that_ended_before_it_began_is_refused():
    row = row_of(moved("HK47M"))
    header = header_of(row)
    wrong = replace(header, hi_ms=header.lo_ms - 1)

    with pytest.raises(RecordError, match="entry 1 ended before it began"):
        entry_of(replace(row, header=body_bytes(wrong)))


def test_a_header_under_another_entrys_id_is_refused():
    row = replace(row_of(moved("HK47M")), id=UUID(int=2).bytes)

    with pytest.raises(RecordError, match="entry 1 has the header of another entry"):
        entry_of(row)
