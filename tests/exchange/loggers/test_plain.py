"""Plain logger files in bulk: every line is read whole or handed back, by both readers."""

import os
import subprocess
import sys
from datetime import UTC, datetime, timedelta, timezone

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from tests.exchange.loggers.layouts import CHICAGO, layout, read

from thawline.exchange.dates import DateOrder
from thawline.exchange.loggers.layout import Probe, Unit
from thawline.exchange.loggers.plain import read_block
from thawline.exchange.loggers.plain_arrays import read_arrays
from thawline.exchange.loggers.plain_plan import WHY, Why, fits, plan_of

BOTH = pytest.mark.parametrize(
    "reader", [read_block, read_arrays], ids=["line by line", "by columns"]
)


def ms(*parts, **more):
    return int(datetime(*parts, tzinfo=UTC, **more).timestamp() * 1000)


WRITTEN = [
    ("2026-02-03 04:05,5.1\n", {}, ms(2026, 2, 3, 4, 5), 5_100),
    ("2026-02-03T04:05:06,5\n", {}, ms(2026, 2, 3, 4, 5, 6), 5_000),
    ("2026-02-03 04:05:06.250,-0.5\n", {}, ms(2026, 2, 3, 4, 5, 6, 250_000), -500),
    (
        "03.02.2026;04:05;7;+5,25\r\n",
        {
            "columns": (0, 1),
            "column": 3,
            "delimiter": ";",
            "order": DateOrder.DMY,
            "decimal_comma": True,
        },
        ms(2026, 2, 3, 4, 5),
        5_250,
    ),
    (
        "1\t02/03/2026\t12:05 AM\t-12.125\r\n",
        {
            "columns": (1, 2),
            "column": 3,
            "delimiter": "\t",
            "order": DateOrder.MDY,
            "twelve_hours": True,
        },
        ms(2026, 2, 3, 0, 5),
        -12_125,
    ),
    (
        "02/03/2026 12:05:09 pm,5.0\n",
        {"order": DateOrder.MDY, "twelve_hours": True},
        ms(2026, 2, 3, 12, 5, 9),
        5_000,
    ),
    ("5.0,2026-02-03 04:05\n", {"columns": (1,), "column": 0}, ms(2026, 2, 3, 4, 5), 5_000),
    ("2026-02-03 04:05, 5.0 \n", {}, ms(2026, 2, 3, 4, 5), 5_000),
    ("2026-02-03 04:05:00Z,5.0\n", {"offset_in_text": True}, ms(2026, 2, 3, 4, 5), 5_000),
    (
        "2026-02-03 04:05:00-06:00,5.0\n",
        {"offset_in_text": True},
        ms(2026, 2, 3, 10, 5),
        5_000,
    ),
    ("2026-02-03 04:05+0530,5.0\n", {"offset_in_text": True}, ms(2026, 2, 2, 22, 35), 5_000),
    ("2026-02-03 04:05,5.0\n", {"zone": CHICAGO}, ms(2026, 2, 3, 10, 5), 5_000),
    ("2026-07-03 04:05,5.0\n", {"zone": CHICAGO}, ms(2026, 7, 3, 9, 5), 5_000),
    (
        "2026-02-03 04:05,5.0\n",
        {"zone": timezone(timedelta(hours=-6))},
        ms(2026, 2, 3, 10, 5),
        5_000,
    ),
    ("2026-02-03 04:05,41\n", {"unit": Unit.FAHRENHEIT}, ms(2026, 2, 3, 4, 5), 5_000),
    ("2026-02-03 04:05,46\n", {"unit": Unit.FAHRENHEIT}, ms(2026, 2, 3, 4, 5), 7_778),
    ("2026-02-03 04:05,-40\n", {"unit": Unit.FAHRENHEIT}, ms(2026, 2, 3, 4, 5), -40_000),
    ("2026-02-03 04:05,31.9\n", {"unit": Unit.FAHRENHEIT}, ms(2026, 2, 3, 4, 5), -56),
]


@BOTH
@pytest.mark.parametrize(("text", "form", "at_ms", "temp_mc"), WRITTEN)
def test_a_line_is_read_as_it_is_written(reader, text, form, at_ms, temp_mc):
    block = read(reader, text, layout(**form))

    assert (block.raw.at_ms.tolist(), block.raw.temp_mc.tolist()) == ([at_ms], [temp_mc])
    assert (block.odd, block.lines, block.used) == ((), 1, len(text))


ODD = [
    ("2026-02-03 04:05,---", Why.TEMPERATURE),
    ("2026-02-03 04:05,", Why.TEMPERATURE),
    ("2026-02-03 04:05,5.", Why.TEMPERATURE),
    ("2026-02-03 04:05,.5", Why.TEMPERATURE),
    ("2026-02-03 04:05,5.1234", Why.TEMPERATURE),
    ("2026-02-03 04:05,1000", Why.TEMPERATURE),
    ("2026-02-03 04:05,41.0 F", Why.TEMPERATURE),
    ("2026-02-03 04:05,5.0x", Why.TEMPERATURE),
    ("2026-02-03 04:05,5.1.2", Why.TEMPERATURE),
    ("2026-02-03 04:05,-", Why.TEMPERATURE),
    ("2026-02-30 04:05,5.0", Why.DATE),
    ("2025-02-29 04:05,5.0", Why.DATE),
    ("2026-04-31 04:05,5.0", Why.DATE),
    ("2026-13-01 04:05,5.0", Why.DATE),
    ("2026-00-10 04:05,5.0", Why.DATE),
    ("2026-02-00 04:05,5.0", Why.DATE),
    ("2026/02-03 04:05,5.0", Why.DATE),
    ("03.02.2026 04:05,5.0", Why.DATE),
    ("3 Feb 2026 04:05,5.0", Why.DATE),
    ("0026-02-03 04:05,5.0", Why.DATE),
    ("2026-02-03 24:00,5.0", Why.CLOCK),
    ("2026-02-03 04:60,5.0", Why.CLOCK),
    ("2026-02-03 04:05:60,5.0", Why.CLOCK),
    ("2026-02-03 04.05,5.0", Why.CLOCK),
    ("2026-02-03,5.0", Why.CLOCK),
    ("2026-02-03 04:05,5.0,alarm", Why.COLUMNS),
    ("2026-02-03 04:05", Why.COLUMNS),
    ("", Why.COLUMNS),
    ("Highest 8.2 Lowest 2.1", Why.COLUMNS),
    ("2026-03-08 02:30,5.0", Why.NEVER),
    ("2026-11-01 01:30,5.0", Why.TWICE),
    ("1999-06-01 01:30,5.0", Why.FAR_AWAY),
    ("2051-06-01 01:30,5.0", Why.FAR_AWAY),
]


@pytest.mark.parametrize(("line", "why"), ODD)
def test_a_line_that_deviates_is_handed_back_with_its_number_and_the_reason(line, why):
    text = f"2026-02-03 04:00,5.0\n{line}\n2026-02-03 04:10,5.2\n"

    block = read(read_block, text, layout(zone=CHICAGO), line=12)

    (odd,) = block.odd
    assert (odd.line, odd.text.decode(), odd.before) == (13, line, 1)
    assert odd.why is why
    assert block.raw.temp_mc.tolist() == [5_000, 5_200]


@pytest.mark.parametrize(("line", "why"), ODD)
def test_reading_by_columns_hands_back_the_same_lines(line, why):
    text = f"2026-02-03 04:00,5.0\n{line}\n2026-02-03 04:10,5.2\n"

    block = read(read_arrays, text, layout(zone=CHICAGO), line=12)

    assert [(odd.line, odd.text.decode(), odd.before) for odd in block.odd] == [(13, line, 1)]
    assert block.odd[0].why in {why, Why.UNLIKE}
    assert block.raw.temp_mc.tolist() == [5_000, 5_200]


@BOTH
def test_twelve_hours_need_am_or_pm(reader):
    form = layout(twelve_hours=True)
    text = "2026-02-03 11:00 PM,5.0\n2026-02-03 13:00 PM,5.0\n2026-02-03 11:30,5.0\n"

    assert [odd.line for odd in read(reader, text, form).odd] == [2, 3]


@BOTH
@pytest.mark.parametrize("time", ["04:05", "04:05+2500", "04:05+06:60", "04:05 CST", "04:05+6"])
def test_a_time_that_should_carry_its_offset_and_does_not_is_handed_back(reader, time):
    text = f"2026-02-03 04:00+06:00,5.0\n2026-02-03 {time},5.0\n"

    assert [odd.line for odd in read(reader, text, layout(offset_in_text=True)).odd] == [2]


def test_very_many_odd_lines_are_handed_back_in_portions():
    text = "2026-02-03 04:05,5.0\n" + "nothing here,x\n" * 1_500

    block = read(read_block, text, layout())

    assert (len(block.odd), block.lines) == (1_000, 1_001)
    assert block.used == len(text) - 500 * len("nothing here,x\n")


def test_every_reason_has_words():
    assert set(WHY) == set(Why)


@pytest.mark.parametrize(
    ("others", "plain"),
    [
        ({}, True),
        ({"encoding": "utf-16"}, False),
        ({"encoding": "cp1252"}, True),
        ({"delimiter": ";", "decimal_comma": True}, True),
        ({"decimal_comma": True}, False),
        ({"delimiter": " "}, False),
        ({"delimiter": "§"}, False),
        ({"zone": None}, False),
        ({"zone": None, "offset_in_text": True}, True),
        ({"column": 0}, False),
    ],
)
def test_what_is_plain(others, plain):
    assert fits(layout(**others)) is plain


def test_several_probes_are_not_plain():
    form = layout()
    two = (form.probes[0], Probe(2, "glycol", Unit.CELSIUS))

    assert not fits(
        type(form)(**{**{f: getattr(form, f) for f in form.__slots__}, "probes": two})
    )


# --- both readers, and both ways of running one of them, on the same bytes ---


@st.composite
def padded_lines(draw):
    start = datetime(2026, draw(st.sampled_from([1, 3, 10, 11])), draw(st.integers(1, 28)))
    lines = []
    for place in range(draw(st.integers(1, 30))):
        at = start + timedelta(minutes=20 * place)
        temp = draw(st.integers(-999, 999)) / 10
        odd = draw(st.sampled_from(["", "", "", "", "x", ",1"]))
        lines.append(f"{at:%Y-%m-%d %H:%M},{temp}{odd}\n")
    return "2026-01-01 00:00,5.0\n" + "".join(lines)


@given(padded_lines())
def test_both_readers_agree(text):
    form = layout(zone=CHICAGO)
    one, other = read(read_block, text, form), read(read_arrays, text, form)

    assert one.raw.at_ms.tolist() == other.raw.at_ms.tolist()
    assert one.raw.temp_mc.tolist() == other.raw.temp_mc.tolist()
    assert [(odd.line, odd.text, odd.before) for odd in one.odd] == [
        (odd.line, odd.text, odd.before) for odd in other.odd
    ]


@settings(suppress_health_check=[HealthCheck.too_slow])
@given(st.text(alphabet="0123456789-/.:, TZAPM+;\n\r°", max_size=200))
def test_no_bytes_are_too_odd(text):
    whole = f"2026-02-03 04:05,5.0\n{text}\n"
    one, other = read(read_block, whole, layout()), read(read_arrays, whole, layout())

    assert one.lines == other.lines == whole.count("\n")
    assert len(one.raw) + len(one.odd) == one.lines
    assert set(other.raw.at_ms.tolist()) <= set(one.raw.at_ms.tolist())


SCRIPT = """
import hashlib, sys
from pathlib import Path
from zoneinfo import ZoneInfo
import numpy as np
from thawline.exchange.loggers.local_times import local_times
from thawline.exchange.loggers.plain import read_block
from thawline.exchange.loggers.plain_plan import Plan

plan = Plan(*map(int, sys.argv[2:]))
text = np.frombuffer(Path(sys.argv[1]).read_bytes(), dtype=np.uint8)
block = read_block(text, plan, local_times(ZoneInfo("America/Chicago")), 1)
odd = [(o.line, o.text, int(o.why), o.before) for o in block.odd]
bits = block.raw.at_ms.tobytes() + block.raw.temp_mc.tobytes() + repr(odd).encode()
print(len(block.raw), len(odd), hashlib.sha256(bits).hexdigest())
"""
_DICE = np.random.default_rng(28)
MIXED = "".join(
    f"{datetime(2026, 2, 27) + timedelta(minutes=7 * place):%Y-%m-%d %H:%M:%S},"
    f"{_DICE.normal(5, 4):.{place % 4}f}{'?' * (place % 97 == 5)}\n"
    for place in range(3_000)
)


@pytest.mark.slow
def test_compiled_and_plain_python_give_the_same_bits(tmp_path):
    """Two processes, one source; over the night of 8 March 2026, when an hour is missing."""
    (tmp_path / "mixed.csv").write_text(MIXED)
    plan = map(str, plan_of(layout(), MIXED.partition("\n")[0].encode()))
    words = [sys.executable, "-c", SCRIPT, str(tmp_path / "mixed.csv"), *plan]
    answers = []
    for disabled in ("0", "1"):
        settings = {**os.environ, "NUMBA_DISABLE_JIT": disabled}
        done = subprocess.run(  # noqa: S603  our own words
            words, env=settings, capture_output=True, check=True
        )
        answers.append(done.stdout.decode().split())

    assert answers[0] == answers[1]
    assert int(answers[0][0]) + int(answers[0][1]) == 3_000
