"""
The open sea-surface series counted twice: by the cold store, and by polars on its own.

NERACOOS, through the package bokeh-sampledata (BSD-3): readings each half hour, 2016 to 2017,
with gaps and a contradicting duplicate. What it should give is in the project's cold-chain
check values, 7.2, and is typed from there; the runs are counted by polars.
"""

import gzip
from datetime import UTC, datetime
from importlib.resources import files

import numpy as np
import polars as pl
import pytest
from tests.store.records import FRIDGE

from thawline.adapters import rule_files
from thawline.rules.cold import Side
from thawline.store.device_alarms import device_answers
from thawline.store.exposure import Question, exposure
from thawline.store.kinetic import described
from thawline.store.readings import Readings, readings
from thawline.store.tidy import tidied

HALF_HOUR = 30 * 60_000


@pytest.fixture(scope="module")
def series():
    packed = files("bokeh_sampledata") / "_data" / "sea_surface_temperature.csv.gz"
    frame = pl.read_csv(gzip.decompress(packed.read_bytes()), new_columns=["at", "temp"])
    at = frame["at"].str.to_datetime(time_zone="UTC").dt.epoch("ms")
    return readings(at.to_numpy(), (frame["temp"] * 1000).round().cast(pl.Int32).to_numpy())


def ms(*parts):
    return int(datetime(*parts, tzinfo=UTC).timestamp() * 1000)


def runs(tidy, out):
    """Return (first, last, readings) of each run, by gaps and islands in polars."""
    at = tidy.settled.at_ms
    frame = pl.DataFrame({"at": at, "out": out}).with_columns(
        new=(
            (pl.col("out") != pl.col("out").shift(1))
            | (pl.col("at").diff() * 2 > 3 * tidy.interval_ms)
        ).fill_null(value=True)
    )
    islands = frame.with_columns(run=pl.col("new").cum_sum()).filter("out").group_by("run")
    found = islands.agg(pl.min("at").alias("first"), pl.max("at").alias("last"), pl.len())
    return [tuple(row[1:]) for row in found.sort("first").iter_rows()]


def test_polars_counts_the_same_excursions(series):
    tidy = tidied(series)
    found = exposure(tidy, Question(FRIDGE)).excursions

    for side, out in (
        (Side.ABOVE, tidy.settled.warmest_mc > 8_000),
        (Side.BELOW, tidy.settled.coldest_mc < 2_000),
    ):
        ours = [(e.from_ms, e.to_ms, e.readings) for e in found if e.side is side]
        assert ours == runs(tidy, out)


def test_polars_counts_the_same_time(series):
    tidy = tidied(series)
    frame = pl.DataFrame({"at": tidy.settled.at_ms, "temp": tidy.settled.warmest_mc})
    steps = frame.with_columns(
        length=pl.col("at").shift(-1) - pl.col("at"), next=pl.col("temp").shift(-1)
    ).filter(pl.col("length") * 2 <= 3 * tidy.interval_ms)
    out, after = pl.col("temp") > 8_000, pl.col("next") > 8_000

    found = exposure(tidy, Question(FRIDGE)).above

    assert found.hold_ms == steps.filter(out)["length"].sum()
    assert found.conservative_ms == steps.filter(out | after)["length"].sum()
    assert found.at_least_ms == steps.filter(out & after)["length"].sum()


def test_gaps_and_the_contradicting_duplicate(series):
    tidy = tidied(series)

    assert (tidy.interval_ms, tidy.raw, len(tidy.settled)) == (HALF_HOUR, 19_226, 19_225)
    assert [gap.missing for gap in tidy.gaps] == [1, 23]
    (twice,) = tidy.duplicates
    assert (twice.at_ms, set(twice.temps_mc)) == (ms(2017, 3, 21, 16, 30), {4_276, 4_289})


def test_eight_degrees_are_inside(series):
    tidy = tidied(series)

    assert np.count_nonzero(tidy.settled.warmest_mc == 8_000) == 5
    assert exposure(tidy, Question(FRIDGE)).outside == 10_700


def test_the_first_excursion(series):
    first = exposure(tidied(series), Question(FRIDGE)).excursions[0]

    assert (first.from_ms, first.to_ms) == (ms(2016, 4, 23, 9, 30), ms(2016, 4, 23, 14, 30))
    assert (first.readings, first.extreme_mc) == (11, 8_130)


def test_the_first_thirty_days_look_like_a_good_refrigerator(series):
    month = tidied(Readings(series.at_ms[:1_440], series.temp_mc[:1_440]))

    found = described(month, 83.144)

    assert exposure(month, Question(FRIDGE)).excursions == ()
    assert (found.min_c, found.max_c) == (4.055, 5.870)
    assert found.mean_c == pytest.approx(4.67988, abs=5e-6)
    assert found.mkt_c == pytest.approx(4.68417, abs=5e-6)


def test_a_device_waits_for_weeks_of_excursions(series):
    """No alarm of more than ten hours above 8 °C until 11 May; eleven excursions before."""
    tidy = tidied(series)
    rules = rule_files.load("published-2022").protocol.device_alarms

    (hot,) = device_answers(tidy, {"refrigerator_hot": rules["refrigerator_hot"]})
    found = exposure(tidy, Question(FRIDGE)).excursions
    alarmed = next(e for e in found if e.from_ms <= hot.sounded_at_ms <= e.to_ms)

    assert alarmed.from_ms == ms(2016, 5, 11, 14, 0)
    assert alarmed.readings == 199
    assert found.index(alarmed) == 11
