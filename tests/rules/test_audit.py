"""The whole audit: everything at once, worst first, each with its line; figures made up."""

from decimal import Decimal

from tests.rules.made_up import PROTOCOL, audited, changed, published

from thawline.rules.audit import audit, figure_keys, must_be_answered
from thawline.rules.reading import examined


def test_faults_and_slips_come_together_worst_first_and_by_line():
    raw = changed(
        ("low_f = 37", "low_f = 36"),
        ("value = 0.4,", "value = 4,"),
        ('item = "C4"\n', ""),
    )

    found = [(slip.level.value, slip.line, slip.code) for slip in audited(raw)]

    assert found == [
        ("stop", 11, "volume-sum"),
        ("stop", 11, "differs-from-source"),
        ("stop", 53, "missing-item"),
        ("check", 28, "legacy-rounding"),
    ]


def test_a_limit_that_cannot_be_read_is_reported_once():
    found = audited(changed(('allows = "PT5H"', 'allows = "5.30 h"')))

    assert [(slip.code, slip.key) for slip in found] == [
        ("ambiguous-duration", "clocks.open.allows")
    ]
    assert "5.30 h is 318 min; 5 h 30 min is 330 min" in found[0].says


def test_a_table_that_is_missing_is_reported_once():
    raw = PROTOCOL.replace("[thaw.room]", "[thaw.rooom]").encode()

    assert [(slip.code, slip.key) for slip in audited(raw)] == [
        ("missing-item", "thaw.room"),
        ("unknown-key", "thaw.rooom"),
    ]


def test_a_slip_carries_item_value_and_unit():
    (slip,) = audited(changed(("low_f = 37", "low_f = 39")))

    assert (slip.item, slip.value, slip.unit) == ("S2", Decimal(39), "F")
    assert slip.with_line == "line 28: 3 °C is 37.4 °F, not 39 °F (1.6 off)"


def test_a_faulty_file_without_lines_is_reported_without_them():
    slips = audit(examined(b""), published())

    assert {slip.line for slip in slips} == {None}
    assert slips[0].with_line == slips[0].says


def test_a_file_about_another_product_says_that_nothing_is_compared():
    found = audited(changed(("version = 2", 'version = 2\ncompared_with = "nothing"')))

    assert [(slip.code, slip.level.value, slip.line) for slip in found] == [
        ("differs-from-source", "check", 7)
    ]


def test_an_unknown_edition_stops():
    found = audited(changed(("version = 2", 'version = 2\ncompared_with = "three"')))

    assert [(slip.level.value, slip.says) for slip in found] == [
        ("stop", "no published edition 'three'; known: one, two, nothing")
    ]


def test_figures_are_the_numbers_and_lengths_that_carry_an_item():
    keys = figure_keys(examined(PROTOCOL.encode()).leaves)

    assert len(keys) == 34
    assert "protocol.version" not in keys
    assert "transport.punctured.may" not in keys


def test_something_to_look_at_need_not_be_answered():
    assert not must_be_answered(audited(changed(("low_f = 37", "low_f = 36"))))
    assert must_be_answered(audited(changed(("low_f = 37", "low_f = 39"))))
