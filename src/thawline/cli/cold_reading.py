"""`thawline cold reading`: what somebody read on a display, or at a table."""

from thawline.app.hand_reading import Display, record_reading
from thawline.cli.acting import doing, recorded
from thawline.cli.answers import Answer
from thawline.cli.asking import site_named
from thawline.cli.options import Acting, Celsius, Yes

NOBODY = Acting()


def reading(
    unit: str,
    *,
    now_c: Celsius,
    min_c: Celsius = None,
    max_c: Celsius = None,
    reset: Yes = False,
    acting: Acting = NOBODY,
) -> Answer:
    """
    Record what a display or a thermometer shows: now, and least and most since the last reset.

    thawline cold reading fridge-1 --now-c 5.1 --min-c 3.9 --max-c 7.2 --reset --by Rowan
    thawline cold reading table-1 --now-c 25.6 --by "Rowan Thistle"

    Least or most outside the band is an excursion: at least one reading out, for how long is
    not known. A table out of its range holds every vial and syringe that may be there.

    Parameters
    ----------
    unit
        The unit or table, as thawline site show names it.
    now_c
        What it shows now, in degrees Celsius.
    min_c
        The least since the last reset.
    max_c
        The most since the last reset.
    reset
        The display was reset now: least and most begin anew.
    """
    assert now_c is not None  # noqa: S101  it has no default
    site = site_named(acting.site)
    read = Display(now_c, min_c, max_c, reset)
    outcome = record_reading(site, doing(site, acting), unit, read)
    parts = [f"{now_c} °C now"]
    parts += [] if min_c is None else [f"least {min_c} °C"]
    parts += [] if max_c is None else [f"most {max_c} °C"]
    parts += ["reset"] if reset else []
    return recorded(outcome, site, f"{unit}: {', '.join(parts)}")
