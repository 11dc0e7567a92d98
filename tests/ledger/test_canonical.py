"""One spelling for each record; the published vectors come from tests/reference."""

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.reference.ledger_bytes import PUBLISHED, spelled, vectors

from thawline.base.errors import RecordError
from thawline.ledger.canonical import body_bytes, canonical, composed
from thawline.ledger.events import VialMoved

VECTORS = json.loads(PUBLISHED.read_text())
CANONICAL = VECTORS["canonical"]
COMPOSED = "compose it (NFC) first"
PLAINLY = "use text, whole numbers or true and false"
SMALLER = "keep numbers below 2^53"
PLAIN = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-(2**53) + 1, 2**53 - 1)
    | st.text(st.characters(exclude_categories=["Cs"])),
    lambda held: st.lists(held) | st.dictionaries(st.text(alphabet="aZé9_"), held),
)


def named(vector):
    return vector["name"]


def test_at_least_fifty_vectors_are_published():
    entries = VECTORS["chain"]["entries"]

    assert len(CANONICAL) + len(VECTORS["refused"]) + len(entries) >= 50


def test_the_published_vectors_are_those_of_the_second_implementation():
    assert vectors() == VECTORS


@pytest.mark.parametrize("vector", CANONICAL, ids=named)
def test_each_published_value_has_its_published_bytes(vector):
    assert canonical(vector["value"]) == bytes.fromhex(vector["bytes"])


@pytest.mark.parametrize("vector", CANONICAL, ids=named)
def test_published_bytes_read_back_as_the_value(vector):
    assert json.loads(bytes.fromhex(vector["bytes"])) == vector["value"]


@pytest.mark.parametrize("vector", VECTORS["refused"], ids=named)
def test_what_has_no_place_in_the_ledger_is_refused(vector):
    with pytest.raises(RecordError):
        canonical(json.loads(vector["json"]))


@pytest.mark.parametrize(
    ("value", "says", "advice"),
    [
        (0.5, "not a plain value: 0.5", PLAINLY),
        (float("nan"), "not a plain value: nan", PLAINLY),
        (b"bytes", "not a plain value: b'bytes'", PLAINLY),
        ({1: "one"}, "a key that is not text: 1", "name it in words"),
        (2**53, "a number that is too large: 9007199254740992", SMALLER),
        (-(2**53), "a number that is too large: -9007199254740992", SMALLER),
        (
            "Vele\u0301ny",
            r"text that is not composed: 'Vele\u0301ny'",
            "compose it (NFC) first",
        ),
        ("\ud83d", r"text with half a character in it: '\ud83d'", "type it again"),
        ([{"deep": [1.5]}], "not a plain value: 1.5", PLAINLY),
    ],
)
def test_the_refusal_names_what_is_wrong_and_what_to_do(value, says, advice):
    with pytest.raises(RecordError) as refused:
        canonical(value)

    assert (refused.value.says, refused.value.advice) == (says, advice)


@pytest.mark.parametrize("value", [2**53 - 1, -(2**53) + 1])
def test_the_largest_number_that_is_exact_everywhere_is_kept(value):
    assert canonical(value) == str(value).encode()


def test_text_is_composed_wherever_it_stands():
    assert composed({"a": ["e\u0301", {"b": "plain"}], "n": 1}) == {
        "a": ["\u00e9", {"b": "plain"}],
        "n": 1,
    }


def test_an_events_body_has_its_fields_in_order_and_its_lists_as_they_are():
    event = VialMoved(vials=("HK47M", "CM62T"), to="fridge", lot="ZZ-1041", expiry="2026-08")

    told = json.loads(body_bytes(event))

    assert list(told) == sorted(told)
    assert told["vials"] == ["HK47M", "CM62T"]


@given(PLAIN.map(composed))
def test_both_implementations_spell_alike(value):
    assert canonical(value).decode() == spelled(value)


@given(PLAIN.map(composed))
def test_what_is_written_reads_back_the_same(value):
    assert json.loads(canonical(value)) == value
