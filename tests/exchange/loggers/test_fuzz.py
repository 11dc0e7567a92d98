"""
Random logger files: read exactly, or refused; never read wrongly, never a crash.

Ten minutes of new ones with `make fuzz`; here the same few each time.
"""

from random import Random

from hypothesis import example, given, settings
from hypothesis import strategies as st
from tests.exchange.loggers.grammar import asks_everything, spoiled, written_file

from thawline.base.errors import ExchangeError
from thawline.exchange.loggers.asked import Asked
from thawline.exchange.loggers.detect import layout_of
from thawline.exchange.loggers.lines import blocks_of
from thawline.exchange.loggers.rows import chosen_probe, read_record

SEEDS = st.integers(0, 2**32)


def _read(raw, asked):
    layout = layout_of(raw, asked)
    blocks = blocks_of([raw], layout.encoding)
    return layout, read_record(blocks, layout, chosen_probe(layout, asked.probe))


def _readings(record):
    pairs = zip(record.readings.at_ms, record.readings.temp_mc, strict=True)
    return tuple((int(at), int(temp)) for at, temp in pairs)


@settings(max_examples=150)
@given(SEEDS)
@example(134)  # "Mar 01, 2019": March, and Tuesday in Spanish
def test_a_file_that_a_person_can_read_is_read_exactly_or_asked_about(seed):
    file = written_file(Random(seed))  # noqa: S311  files, not secrets
    try:
        _, record = _read(file.raw, file.asked)
    except ExchangeError:
        found = None
    else:
        found = _readings(record)

    told = found is not None and file.is_told_by(found)
    assert told or (found is None and not asks_everything(file))


@settings(max_examples=150)
@given(SEEDS)
def test_each_line_of_a_spoilt_file_is_a_reading_or_listed(seed):
    rng = Random(seed)  # noqa: S311  files, not secrets
    file = written_file(rng)
    raw = spoiled(rng, file.raw)
    try:
        layout, record = _read(raw, file.asked)
    except ExchangeError:
        return
    lines = [
        line
        for block in blocks_of([raw], layout.encoding)
        for number, line in enumerate(block.lines, block.first)
        if number >= layout.first_line and line.strip()
    ]

    assert len(record.readings) + record.counts.total() == len(lines)


@given(
    st.binary(max_size=300) | st.text("0123456789-/:., ;°CF\n", max_size=300).map(str.encode)
)
def test_whatever_bytes_come_they_are_read_or_refused(raw):
    try:
        _, record = _read(raw, Asked())
        told = str(len(record.readings) + record.counts.total())
    except ExchangeError as refused:
        told = refused.says

    assert told
