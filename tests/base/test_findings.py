"""Findings are put worst first and otherwise keep their order."""

import pytest

from thawline.base.findings import Finding, Level, has_stop, worst_first

CHECK = Finding(Level.CHECK, "extra-dose", "an eleventh dose")
ACT = Finding(Level.ACT, "damaged", "one corner wet")
STOP = Finding(Level.STOP, "held", "shaken", "V1")
OTHER_STOP = Finding(Level.STOP, "past-use-by", "past", "C4")


def test_stops_come_before_acts_before_checks():
    assert worst_first([CHECK, STOP, ACT, OTHER_STOP]) == (STOP, OTHER_STOP, ACT, CHECK)


@pytest.mark.parametrize(
    ("findings", "stops"), [((), False), ((CHECK, ACT), False), ((CHECK, STOP), True)]
)
def test_only_a_stop_means_do_not_use(findings, stops):
    assert has_stop(findings) is stops
