"""The temperature trace in plain characters: the same logic as its SVG, at most 100 columns."""

import pytest
from tests.draw.traces import at_ms, night

from thawline.draw.trace import Gap, Outside
from thawline.draw.trace_text import KEY, WIDTH, trace_text
from thawline.rules.cold import Side
from thawline.store.readings import readings

SPIKE_AT = 77


def _row(lines, label):
    return next(line for line in lines if line.startswith(f"{label:>9} "))


def test_the_night_of_a_gap():
    lines = trace_text(night())

    assert (
        lines[0]
        == "Refrigerator 2, Tansy Ferry Fairground, Wed 4 Feb 22:00 to Thu 5 Feb 2026 04:00"
    )
    assert any("Not known" in line for line in lines)
    assert any("01:00 to 02:55" in line for line in lines)
    assert lines[-2:] == (
        "Time above 8 °C: at least 55 min, at most 2 h 50 min.",
        "46 vials are held.",
    )


@pytest.mark.parametrize("demo", [False, True], ids=["a site", "a demo"])
def test_no_line_is_wider_than_the_terminal(demo):
    assert all(len(line) <= WIDTH for line in trace_text(night(demo=demo)))


def test_time_out_of_band_is_marked_on_the_limit():
    limit = _row(trace_text(night()), "8 °C")

    # 90 columns for 360 minutes: from minute 295 to minute 350 is column 73 to column 87
    assert limit[10 + 73 : 10 + 88] == "=" * 15
    assert set(limit[10 : 10 + 73]) == {"-"}


def test_nothing_is_written_in_a_gap_but_its_hatch():
    inside = [line[10 + 46 : 10 + 73] for line in trace_text(night())[1:17]]

    assert not [part for part in inside if "*" in part]
    assert all("/" in part or "-" in part for part in inside)


def test_a_short_gap_asks():
    lines = trace_text(night(gaps=(Gap(at_ms(180), at_ms(181)),)))

    assert "?" in lines[1]


def test_a_spike_of_one_reading_reaches_its_own_row():
    minutes = list(range(360))
    record = readings(
        [at_ms(m) for m in minutes], [12_400 if m == SPIKE_AT else 5_000 for m in minutes]
    )
    lines = trace_text(night(record=record, gaps=(), outside=()))
    top = next(line for line in lines[1:] if "*" in line)

    assert top.index("*") == 10 + SPIKE_AT // 4


def test_hand_readings_are_hollow_here_too():
    lines = trace_text(night(by_hand=readings([at_ms(240)], [9_400])))

    assert any(line[10 + 60 : 10 + 61] == "o" for line in lines)


def test_a_demo_says_so_first():
    assert "DEMO" in trace_text(night(demo=True))[0]


def test_the_key_names_every_sign():
    assert all(sign in KEY for sign in "*o-=/.")


def test_many_runs_are_not_all_told():
    runs = tuple(Outside(Side.ABOVE, at_ms(n), at_ms(n)) for n in range(0, 60, 10))

    assert "and 2 more runs out of band" in trace_text(night(outside=runs))
