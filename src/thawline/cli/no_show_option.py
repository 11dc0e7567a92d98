"""The `--no-show` of the plans: a share that was typed, or a file with a share by group."""

import re
from pathlib import Path

from thawline.plan.no_show import NoShow, SaidBy, by_hand

_PERCENT = 100
_SHARE = re.compile(r"(-?\d+(?:[.,]\d+)?|nan|-?inf)\s?(%?)", re.ASCII | re.IGNORECASE)


def no_show_of(said: str) -> NoShow:
    """Return the no-show share that was typed, or those of the file that was named."""
    if match := _SHARE.fullmatch(said.strip()):
        number = float(match[1].replace(",", "."))
        return by_hand(number / _PERCENT if match[2] else number)
    from thawline.adapters import tables  # noqa: PLC0415  as needed
    from thawline.exchange import no_show_shares as table  # noqa: PLC0415  as needed

    shares = table.read_shares(tables.read_table(tables.read_bytes(said), table.recognises))
    return NoShow(shares, SaidBy.FILE, f"by group, from {Path(said).name}")
