"""`thawline demo`: build the invented district's Tuesday and show it."""

import re
import sys

from cyclopts import App

from thawline.base.errors import RecordError
from thawline.cli.answers import Answer
from thawline.cli.surroundings import home

app = App(name="demo", help="Build the invented district's Tuesday and show it.")
SEED = 28
HALL = "harrowmint"
_OWN_FOLDER = "thawline-demo"  # demo and live never share one


@app.default
def demo(*, seed: int = SEED, until: str | None = None) -> Answer:
    """
    Build the invented district's Tuesday, play it, close it, and show it.

    thawline demo --home build/demo
    thawline demo --home build/rehearsal --until 13:37

    The folder is made anew each time; one that holds anything else is left alone. The same
    seed gives the same day, the same page and the same ledger.

    Parameters
    ----------
    seed
        Where everything random begins.
    until
        Stop at this time of the Tuesday, for a rehearsal: the present goes on from there.
    """
    if until is not None:
        return _rehearsal(seed, until)
    from thawline.cli.demo_tour import tour, tour_data  # noqa: PLC0415  heavy, only here
    from thawline.cli.progress import Progress  # noqa: PLC0415
    from thawline.demo.building import build  # noqa: PLC0415

    progress = Progress(sys.stderr, "acts")
    built = build(home(_OWN_FOLDER), seed, progress.show)
    progress.end()
    return Answer(data=tour_data(built), text=tour(built), found=False)


def _rehearsal(seed: int, until: str) -> Answer:
    """Build the hall until a time of the day; the rest is played by those who rehearse."""
    from thawline.cli.progress import Progress  # noqa: PLC0415
    from thawline.demo.building import build_until  # noqa: PLC0415

    progress = Progress(sys.stderr, "acts")
    folder = home(_OWN_FOLDER)
    over = build_until(folder, seed, _wall_s(until), progress.show)
    progress.end()
    says = f"DEMO. The invented Tuesday, played until {until}; it is that time there now."
    return Answer(
        data={"site": HALL, "until": over.isoformat(), "demo": True},
        text=f"{says}\nNext: thawline serve --home {folder}",
        found=False,
    )


def _wall_s(text: str) -> int:
    """Return the seconds after midnight of a time of day."""
    match = re.fullmatch(r"([01]?\d|2[0-3]):([0-5]\d)", text, re.ASCII)
    if match is None:
        raise RecordError(f"not a time of day: {text!r}", advice="write it as 13:37")
    return (int(match[1]) * 60 + int(match[2])) * 60
