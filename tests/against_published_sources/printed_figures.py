"""The shipped files of published guidance, and one of them with a slip put into it."""

from decimal import Decimal

from thawline.adapters import rule_files
from thawline.rules.audit import audit
from thawline.rules.published import read_published
from thawline.rules.reading import examined
from thawline.rules.slips import shown


def figure(name, key):
    """Return a figure of a shipped file as the file writes it."""
    return shown(rule_files.load(name).leaves[key])


def band(name, which):
    """Return the four numbers of a band of a shipped file: low and high in °C, then in °F."""
    found = rule_files.load(name).protocol.bands[which]
    return found.low_c, found.high_c, found.low_f, found.high_f


def slips_in_band(which, low, high):
    """Return the codes for a band of the 2022 file whose ends are (°C, °F) pairs."""
    leaves = dict(zip(("low_c", "low_f", "high_c", "high_f"), (*low, *high), strict=True))
    raw = rule_files.shipped("published-2022").decode()
    head, mark, rest = raw.partition(f"[bands.{which}]\n")
    table, end, tail = rest.partition("source = ")
    kept = [line for line in table.splitlines() if line.partition(" = ")[0] not in leaves]
    numbers = [f"{key} = {Decimal(str(value))}" for key, value in leaves.items()]
    changed = head + mark + "\n".join([*kept, *numbers]) + "\n" + end + tail
    found = audit(examined(changed.encode()), read_published(rule_files.references()))
    return {slip.code for slip in found if slip.key.startswith(f"bands.{which}.")}
