"""Files on the disk, read in blocks: the answer is that of the whole, whatever the size."""

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from tests.exchange.loggers.layouts import CHICAGO, layout
from tests.store.records import FRIDGE

from thawline.adapters import logger_blocks
from thawline.adapters.logger_blocks import FileQuestion, fold_file
from thawline.base.errors import ExchangeError
from thawline.exchange.loggers.layout import Unit
from thawline.exchange.loggers.plain_plan import Why
from thawline.store.exposure import Question, Verdict, exposure
from thawline.store.kinetic import described
from thawline.store.readings import readings
from thawline.store.tidy import tidied

START = datetime(2026, 2, 3, tzinfo=UTC)
MINUTE = 60_000
ASKED = FileQuestion(Question(FRIDGE, 500), 83.144)


def lines(temps, minutes=5, start=START):
    return [
        f"{start + timedelta(minutes=minutes * place):%Y-%m-%d %H:%M},{temp:.1f}"
        for place, temp in enumerate(temps)
    ]


def noisy(count=3_000):
    dice = np.random.default_rng(28)
    return (6 + np.cumsum(dice.normal(0, 0.3, count)) % 4).tolist()


def saved(tmp_path, text, name="fridge.csv"):
    path = tmp_path / name
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return path


@pytest.fixture(params=["by columns", "line by line"])
def either_reader(request, monkeypatch):
    """Small blocks, so that a small file has many; and each of the two readers."""
    monkeypatch.setattr(logger_blocks, "BLOCK", 4_096)
    if request.param == "line by line":
        monkeypatch.setattr(logger_blocks, "COMPILED_FROM", 0)


@pytest.mark.usefixtures("either_reader")
def test_a_file_in_blocks_says_what_the_whole_record_says(tmp_path):
    temps = noisy()
    path = saved(tmp_path, "\n".join(["time,°C", *lines(temps)]) + "\n")
    at = [int(START.timestamp() * 1000) + place * 5 * MINUTE for place in range(len(temps))]
    tidy = tidied(readings(at, [round(float(f"{temp:.1f}") * 1000) for temp in temps]))

    folded = fold_file(path, layout(first_line=2), ASKED)

    assert folded.answer.exposure == exposure(tidy, ASKED.question)
    assert folded.answer.description == described(tidy, 83.144)
    assert (folded.lines, folded.reported_count) == (len(temps), 0)
    assert (folded.answer.found.first_ms, folded.answer.found.last_ms) == (at[0], at[-1])


@pytest.mark.usefixtures("either_reader")
def test_a_deviating_line_is_read_by_whoever_can_and_keeps_its_place(tmp_path):
    temps = noisy(1_000)
    written = lines(temps)
    for place in (700, 703, 704):
        written[place] = written[place].replace(",", ",approx. ")

    def read_line(odd):
        at, temp = odd.text.decode().split(",approx. ")
        return int(datetime.fromisoformat(f"{at}+00:00").timestamp() * 1000), int(
            float(temp) * 1000
        )

    asked = FileQuestion(ASKED.question, 83.144, read_line=read_line)
    whole = fold_file(saved(tmp_path, "\n".join(lines(temps)) + "\n", "w"), layout(), ASKED)
    mended = fold_file(saved(tmp_path, "\n".join(written) + "\n"), layout(), asked)

    assert mended.answer.exposure == whole.answer.exposure
    assert mended.answer.found.disorder.count == 0


@pytest.mark.usefixtures("either_reader")
def test_lines_that_nobody_reads_are_reported_and_blank_ones_say_nothing(tmp_path):
    text = "\n".join([*lines([5.0] * 300), "", "Highest,5.0,Lowest,5.0", "Checked by R. T."])

    folded = fold_file(saved(tmp_path, text + "\n\n"), layout(), ASKED)

    assert [odd.line for odd in folded.reported] == [302, 303]
    assert folded.answer.exposure.instants == 300


@pytest.mark.usefixtures("either_reader")
def test_a_last_line_without_an_end_may_be_cut_off_and_is_handed_back(tmp_path):
    text = "\n".join(lines([5.0] * 300))

    (odd,) = fold_file(saved(tmp_path, text), layout(), ASKED).reported

    assert (odd.line, odd.why, odd.text) == (300, Why.NO_END, b"2026-02-04 00:55,5.0")


@pytest.mark.usefixtures("either_reader")
def test_readings_out_of_order_by_more_than_a_block_are_put_in_order_in_memory(tmp_path):
    written = lines(noisy(1_000))
    forwards = saved(tmp_path, "\n".join(written) + "\n", "forwards")
    backwards = saved(tmp_path, "\n".join(reversed(written)) + "\n", "backwards")

    there, back = (fold_file(path, layout(), ASKED).answer for path in (forwards, backwards))

    assert there.exposure == back.exposure
    assert (there.found.disorder.count, back.found.disorder.count) == (0, 999)


def test_a_file_too_long_to_be_put_in_order_is_refused_with_the_way_out(tmp_path, monkeypatch):
    monkeypatch.setattr(logger_blocks, "WHOLE_MOST", 500)
    monkeypatch.setattr(logger_blocks, "BLOCK", 4_096)
    path = saved(tmp_path, "\n".join(reversed(lines([5.0] * 1_000))) + "\n")

    with pytest.raises(ExchangeError, match=r"fridge\.csv") as refused:
        fold_file(path, layout(), ASKED)

    assert "sort the file" in refused.value.advice


@pytest.mark.usefixtures("either_reader")
def test_the_interval_is_that_of_the_whole_file_and_not_of_its_first_block(tmp_path):
    first = lines([5.0] * 250, minutes=1)
    later = lines([5.0] * 2_000, minutes=10, start=START + timedelta(days=1))

    folded = fold_file(saved(tmp_path, "\n".join([*first, *later]) + "\n"), layout(), ASKED)

    assert folded.interval_ms == 10 * MINUTE
    assert folded.answer.found.gap_count == 1


def test_a_stated_interval_stands_and_the_one_in_the_header_too(tmp_path):
    path = saved(tmp_path, "\n".join(lines([5.0] * 10, minutes=10)) + "\n")
    headed = layout(stated_interval=timedelta(minutes=5))

    assert fold_file(path, headed, ASKED).answer.found.gap_count == 9
    asked = FileQuestion(ASKED.question, interval_ms=10 * MINUTE)
    assert fold_file(path, headed, asked).answer.found.gap_count == 0


def test_a_display_of_whole_fahrenheit_is_noticed_by_the_end_of_the_file(tmp_path):
    text = "".join(f"2026-02-03 00:{place:02d},{41 + place % 6}\n" for place in range(30))

    folded = fold_file(saved(tmp_path, text), layout(unit=Unit.FAHRENHEIT), ASKED)

    assert folded.half_step_mc == 278
    assert folded.answer.exposure.undecidable == 5
    assert folded.answer.exposure.verdict is Verdict.NOT_KNOWN


def test_a_byte_order_mark_and_a_header_are_stepped_over(tmp_path):
    marked = b"\xef\xbb\xbf" + "\n".join(lines([5.0] * 3)).encode() + b"\n"
    headed = b"made up\r\nserial,1\r\n\r\n" + "\r\n".join(lines([5.0] * 3)).encode() + b"\r\n"

    assert fold_file(saved(tmp_path, marked), layout(), ASKED).answer.found.raw == 3
    folded = fold_file(saved(tmp_path, headed), layout(first_line=4), ASKED)
    assert (folded.answer.found.raw, folded.reported) == (3, ())


def test_a_file_over_a_change_of_the_clocks_hands_back_the_hour_that_comes_twice(tmp_path):
    start = datetime(2026, 10, 31, 20, tzinfo=UTC)
    path = saved(tmp_path, "\n".join(lines([5.0] * 24, minutes=30, start=start)) + "\n")

    folded = fold_file(path, layout(zone=CHICAGO), ASKED)

    assert [odd.why for odd in folded.reported] == [Why.TWICE] * 2
    assert folded.answer.exposure.unknown_ms > 0


def test_a_file_over_many_years_is_read_in_its_zone(tmp_path):
    written = [f"{year}-07-01 12:00,5.0" for year in range(2001, 2049)]

    folded = fold_file(saved(tmp_path, "\n".join(written) + "\n"), layout(zone=CHICAGO), ASKED)

    assert (folded.answer.found.raw, folded.reported_count) == (48, 0)


def test_a_layout_that_is_not_the_files_is_refused_at_once(tmp_path):
    text = "\n".join(lines([5.0] * 5_000)).replace(",", ";")

    with pytest.raises(ExchangeError, match=r"line 1: (not as many columns|written otherwise)"):
        fold_file(saved(tmp_path, text + "\n"), layout(columns=(1,), column=0), ASKED)


def test_a_file_without_line_ends_is_no_text_of_a_logger(tmp_path):
    with pytest.raises(ExchangeError, match="line 1 has more than 1,048,576 bytes"):
        fold_file(saved(tmp_path, bytes(3 << 20)), layout(), ASKED)


@pytest.mark.parametrize("text", ["", "time,°C\n", "time,°C\n\n\n"])
def test_a_file_without_readings_is_not_known(tmp_path, text):
    folded = fold_file(saved(tmp_path, text), layout(first_line=2), ASKED)

    assert folded.answer.exposure.verdict is Verdict.NOT_KNOWN
    assert (folded.interval_ms, folded.answer.found.first_ms) == (None, None)


def test_a_file_that_grows_while_it_is_read_is_read_as_it_was(tmp_path, monkeypatch):
    monkeypatch.setattr(logger_blocks, "BLOCK", 4_096)
    path = saved(tmp_path, "\n".join(lines([5.0] * 2_000)) + "\n")
    read_arrays = logger_blocks.read_arrays

    def growing(*given):
        with path.open("a") as file:
            file.write("2026-12-31 00:00,9.9\n")
        return read_arrays(*given)

    monkeypatch.setattr(logger_blocks, "read_arrays", growing)
    source = logger_blocks._pieces(path, layout(), logger_blocks._nobody)

    assert sum(len(piece.raw) for piece in source) == 2_000
