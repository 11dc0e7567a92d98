"""
2.5 h and "2.30 h" in minutes: 150, and 138 with a warning.

Row U9 of the project's cold-chain check values, section 1.4 (8), computed there; read on
2026-11-25. Tolerance: none.
"""

from thawline.adapters import rule_files
from thawline.rules.lengths import read_hours
from thawline.rules.reading import examined


def test_u9_two_and_a_half_hours_are_150_minutes_without_a_doubt():
    read = read_hours("2.5 h")

    assert (read.minutes, read.or_minutes) == (150, None)


def test_u9_2_30_h_is_138_minutes_and_may_be_meant_as_150():
    read = read_hours("2.30 h")

    assert (read.minutes, read.or_minutes) == (138, 150)


def test_u9_neither_is_taken_as_a_length_of_time_in_a_protocol():
    for written in (b"2.5 h", b"2.30 h"):
        raw = rule_files.shipped("published-2022").replace(b"PT2H30M", written)

        assert [fault.code for fault in examined(raw).faults] == ["ambiguous-duration"]
