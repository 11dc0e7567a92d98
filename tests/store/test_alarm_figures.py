"""From a protocol's tables to whole numbers, always rounded to the stricter side."""

from decimal import Decimal

from thawline.base.durations import read_allowance
from thawline.rules.cold import Alarm, Logging
from thawline.rules.protocol import Band
from thawline.store.alarm_figures import alarm_figures


def band(low, high):
    return Band(
        item="S2",
        low_c=Decimal(low),
        high_c=Decimal(high),
        low_f=Decimal(36),
        high_f=Decimal(46),
        source="demo",
    )


def alarm(**more):
    figures = {"delay": "PT5M", "dead_band_c": Decimal("0.5"), **more}
    timed = {k: read_allowance(v) if isinstance(v, str) else v for k, v in figures.items()}
    return Alarm(item="A1", band="refrigerator", source="demo", **timed)


def test_figures_become_thousandths_of_a_degree_and_of_a_second():
    logging = Logging(
        item="L1", interval_most=read_allowance("PT30M"), accuracy_c=Decimal(1), source="demo"
    )

    found = alarm_figures(band("2", "8"), alarm(calls_next_after="PT10M"), logging)

    assert (found.low_mc, found.high_mc, found.dead_band_mc) == (2_000, 8_000, 500)
    assert (found.delay_ms, found.next_call_ms) == (300_000, 600_000)
    assert (found.silent_ms, found.silent_item) == (1_800_000, "L1")


def test_without_a_time_of_its_own_an_alert_clears_after_its_delay():
    assert alarm_figures(band("2", "8"), alarm()).clears_ms == 300_000
    assert alarm_figures(band("2", "8"), alarm(clears_after="PT20M")).clears_ms == 1_200_000


def test_finer_figures_than_a_thousandth_are_taken_on_the_strict_side():
    found = alarm_figures(band("2.0001", "7.9999"), alarm(dead_band_c=Decimal("0.0001")))

    assert (found.low_mc, found.high_mc, found.dead_band_mc) == (2_001, 7_999, 1)


def test_both_ends_of_the_band_are_inside():
    found = alarm_figures(band("2", "8"), alarm())

    inside = [found.inside(t) for t in (1_999, 2_000, 8_000, 8_001)]
    assert inside == [False, True, True, False]
