"""A protocol file into types, or every fault with its line and key; all figures made up."""

import hashlib
from datetime import timedelta
from decimal import Decimal

import pytest
from tests.rules.made_up import PROTOCOL, changed, without

from thawline.base.durations import Allowance
from thawline.base.errors import RuleError
from thawline.rules.protocol import AfterOpening, Starts
from thawline.rules.reading import examined, read_protocol


def _refusal(raw):
    with pytest.raises(RuleError) as refused:
        read_protocol(raw)
    return refused.value


def _faults(*swaps):
    return [(fault.code, fault.key) for fault in examined(changed(*swaps)).faults]


def test_a_protocol_is_read_into_exact_figures():
    protocol = read_protocol(PROTOCOL.encode()).protocol

    assert protocol.product.dose_volume_ml.value == Decimal("0.4")
    assert protocol.clocks["open"].allows == Allowance(0, timedelta(hours=5))
    assert protocol.clocks["room"].starts_on is Starts.TO_TABLE
    assert protocol.caps["room_total"].counts == ("room", "open")


def test_a_protocol_knows_on_which_line_each_key_stands():
    assert read_protocol(PROTOCOL.encode()).lines["clocks.open.allows"] == 56


def test_the_hash_is_over_the_exact_bytes():
    ref = read_protocol(PROTOCOL.encode()).ref

    assert ref.sha256 == hashlib.sha256(PROTOCOL.encode()).hexdigest()
    assert ref.sha256 != read_protocol(PROTOCOL.encode() + b"\n").ref.sha256


def test_room_time_runs_on_after_opening_unless_the_file_says_it_stops():
    stops = ('allows = "PT10H"', 'after_open = "stops"\nallows = "PT10H"')

    clocks = [read_protocol(raw).protocol.clocks["room"] for raw in (changed(), changed(stops))]

    assert [clock.after_open for clock in clocks] == [AfterOpening.RUNS, AfterOpening.STOPS]


def test_a_refusal_names_line_and_key():
    refused = _refusal(changed(('allows = "PT5H"', 'allows = "5 h"')))

    assert (refused.line, refused.key) == (56, "clocks.open.allows")
    assert "'5 h'" in refused.says


def test_all_faults_are_listed_at_once_in_the_order_of_the_file():
    raw = changed(
        ('item = "S1"\n', ""), ("high_c = 9", 'high_c = "9"'), ("most = 2", "lots = 2")
    )

    faults = examined(raw).faults

    assert [(fault.line, fault.code) for fault in faults] == [
        (15, "missing-item"),
        (26, "wrong-type"),
        (75, "missing-item"),
        (77, "unknown-key"),
    ]


@pytest.mark.parametrize(
    ("old", "new", "code", "key"),
    [
        (
            'source = "tale"\n\n[bands.room]',
            "\n[bands.room]",
            "missing-source",
            "bands.refrigerator.source",
        ),
        ('item = "C4"\n', "", "missing-item", "clocks.open.item"),
        ("low_c = 3\n", "", "missing-item", "bands.refrigerator.low_c"),
        ("low_c = 3\n", "lowc = 3\nlow_c = 3\n", "unknown-key", "bands.refrigerator.lowc"),
        ("-06:00", "", "wrong-type", "protocol.effective_from"),
        ("2021-06-01T06:00:00-06:00", "2021-06-01", "wrong-type", "protocol.effective_from"),
        ("low_c = 3", "low_c = nan", "wrong-value", "bands.refrigerator.low_c"),
        ("low_c = 3", "low_c = -inf", "wrong-value", "bands.refrigerator.low_c"),
        ("low_c = 3", 'low_c = "3"', "wrong-type", "bands.refrigerator.low_c"),
        ("low_c = 3", "low_c = true", "wrong-type", "bands.refrigerator.low_c"),
        ("low_c = 3", "low_c = [3]", "wrong-type", "bands.refrigerator.low_c"),
        ("low_c = 3", "low_c = 3.1234567", "wrong-value", "bands.refrigerator.low_c"),
        ("low_c = 3", "low_c = 1e9", "wrong-value", "bands.refrigerator.low_c"),
        ("value = 8,", "value = 8.5,", "wrong-type", "product.doses_per_vial.value"),
        ("may = false", "may = 0", "wrong-type", "transport.punctured.may"),
        ('starts_on = "open"', 'starts_on = "opened"', "wrong-type", "clocks.open.starts_on"),
        (
            'counts = ["room", "open"]',
            'counts = "room"',
            "wrong-type",
            "caps.room_total.counts",
        ),
        ('allows = "PT5H"', "allows = 5", "wrong-type", "clocks.open.allows"),
        ('allows = "PT5H"', 'allows = "P1M"', "ambiguous-duration", "clocks.open.allows"),
        ("version = 2", "version = 0", "wrong-value", "protocol.version"),
        ("format = 1", "format = 2", "wrong-value", "format"),
        ("[transport.by.sledge]", '[transport.by."a b"]', "wrong-type", "transport.by.a b"),
        ("[thaw.room]", "[thaw.rum]", "unknown-key", "thaw.rum"),
    ],
)
def test_each_fault_of_form_has_its_code_and_key(old, new, code, key):
    assert (code, key) in _faults((old, new))


@pytest.mark.parametrize(
    "raw",
    [b"", b"bands = 3", b"protocol = []", b"needles = 1\n", b"bands = { frozen = 3 }"],
    ids=["empty", "bands a number", "heading a list", "needles a number", "a band a number"],
)
def test_tables_that_are_none_are_faults(raw):
    found = examined(raw)

    assert found.protocol is None
    assert len(found.faults) >= 8


def test_a_long_wrong_value_is_shown_shortened():
    (fault,) = examined(changed(("low_c = 3", f'low_c = "{"9" * 90}"'))).faults

    assert fault.says == f"bands.refrigerator.low_c cannot be '{'9' * 38}…"


def test_a_wrong_value_of_40_signs_is_shown_whole():
    (fault,) = examined(changed(("low_c = 3", f'low_c = "{"9" * 38}"'))).faults

    assert fault.says == f"bands.refrigerator.low_c cannot be '{'9' * 38}'"


def test_a_misspelt_key_is_answered_with_the_likely_one():
    fault = next(
        f for f in examined(changed(("low_c = 3", "lov_c = 3"))).faults if f.line == 26
    )

    assert fault.advice == "did you mean low_c?"


def test_a_strange_key_is_answered_with_the_known_ones():
    (fault,) = examined(changed(('item = "C4"\n', 'item = "C4"\nzzz = 1\n'))).faults

    assert fault.advice == "known here: item, starts_on, allows, source, stops_on, after_open"


def test_half_of_a_faulty_file_can_still_be_looked_at():
    found = examined(changed(('allows = "PT5H"', 'allows = "5 h"')))

    assert found.protocol is None
    assert found.leaves["clocks.room.allows"] == Allowance(0, timedelta(hours=10))


def test_a_file_without_a_needed_table_is_refused():
    assert "missing: thaw.room" in _refusal(without("[thaw.room]")).says


@pytest.mark.parametrize(
    ("raw", "key"),
    [
        (b"bands = 3\n", "bands"),
        (b"thaw = 3\n", "thaw"),
        (b"[bands]\nfrozen = 3\n", "bands.frozen"),
    ],
    ids=["of bands", "of thawing", "one band"],
)
def test_a_value_in_the_place_of_a_table_is_named(raw, key):
    fault = next(f for f in examined(raw).faults if f.key == key)

    assert (fault.says, fault.advice) == (f"{key} cannot be 3", "write a table")


AHEAD = '\n[predrawn]\nitem = "D6"\nmost_vials = {}\nmost_doses = 16\nsource = "tale"\n'


@pytest.mark.parametrize(
    ("count", "codes"), [(1_000_000, []), (1_000_001, ["wrong-value"])], ids=["full", "beyond"]
)
def test_a_million_is_the_largest_number_a_file_may_hold(count, codes):
    found = examined((PROTOCOL + AHEAD.format(count)).encode())

    assert [fault.code for fault in found.faults] == codes
