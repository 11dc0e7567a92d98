"""Signed heads: what exactly is signed, and how a hash is read aloud."""

import json
from uuid import UUID

import pytest
from msgspec import MsgspecError
from tests.reference.ledger_bytes import PUBLISHED

from thawline.base.instants import from_ms
from thawline.ledger.entries import Head
from thawline.ledger.heads import (
    counted_kinds,
    read_statement,
    short,
    signed_message,
    statement,
)

HEADS = json.loads(PUBLISHED.read_text())["heads"]


@pytest.mark.parametrize("vector", HEADS)
def test_the_published_statement_comes_out_byte_by_byte(vector):
    said = json.loads(vector["statement"])
    head = Head(said["epoch"], said["seq"], bytes.fromhex(said["hash"]))

    told = statement(UUID(said["site"]), head, from_ms(said["at_ms"]), said["counts"])

    assert told.decode() == vector["statement"]
    assert signed_message(told).hex() == vector["signed"]


def test_a_statement_reads_back():
    said = read_statement(HEADS[0]["statement"].encode())

    assert (said.epoch, said.seq, said.counts) == (1, 6, {"fact": 5, "refusal": 1})


def test_what_is_no_statement_is_not_read_as_one():
    with pytest.raises(MsgspecError):
        read_statement(b'{"seq": 6}')


def test_kinds_are_counted_on_from_the_last_statement():
    assert counted_kinds({"fact": 5, "note": 1}, ["fact", "refusal"]) == {
        "fact": 6,
        "note": 1,
        "refusal": 1,
    }


def test_a_hash_is_read_aloud_by_its_first_sixteen_digits():
    assert short(bytes.fromhex("0123456789abcdef" + "ff" * 24)) == "0123 4567 89ab cdef"
