"""Reads one of the invented files beside this module, by the pure part alone."""

from pathlib import Path
from zoneinfo import ZoneInfo

from thawline.base.instants import from_ms, written
from thawline.exchange.loggers.asked import Asked
from thawline.exchange.loggers.detect import layout_of
from thawline.exchange.loggers.lines import blocks_of
from thawline.exchange.loggers.rows import chosen_probe, read_record

FILES = Path(__file__).parent / "files"
CHICAGO = ZoneInfo("America/Chicago")


def bytes_of(name):
    return (FILES / name).read_bytes()


def read(raw, **asked):
    """Return the layout and the record in a file's bytes, local in Chicago unless it says."""
    said = Asked(**{"zone": CHICAGO, "zone_is": "the site's", **asked})
    layout = layout_of(raw, said)
    blocks = blocks_of([raw], layout.encoding)
    return layout, read_record(blocks, layout, chosen_probe(layout, said.probe))


def reading(record, place):
    """Return one reading as (time in UTC, thousandths of a degree Celsius)."""
    at, temp = record.readings.at_ms[place], record.readings.temp_mc[place]
    return written(from_ms(int(at))).removesuffix("+00:00"), int(temp)
