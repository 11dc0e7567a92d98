"""`thawline demo`: build the invented district's Tuesday and show it."""

import sys

from cyclopts import App

from thawline.cli.answers import Answer
from thawline.cli.surroundings import home

app = App(name="demo", help="Build the invented district's Tuesday and show it.")
SEED = 28
_OWN_FOLDER = "thawline-demo"  # demo and live never share one


@app.default
def demo(*, seed: int = SEED) -> Answer:
    """
    Build the invented district's Tuesday, play it, close it, and show it.

    thawline demo --home build/demo
    thawline demo --home build/demo --seed 7

    The folder is made anew each time; one that holds anything else is left alone. The same
    seed gives the same day, the same page and the same ledger.

    Parameters
    ----------
    seed
        Where everything random begins.
    """
    from thawline.cli.demo_tour import tour, tour_data  # noqa: PLC0415  heavy, only here
    from thawline.cli.progress import Progress  # noqa: PLC0415
    from thawline.demo.building import build  # noqa: PLC0415

    progress = Progress(sys.stderr, "acts")
    built = build(home(_OWN_FOLDER), seed, progress.show)
    progress.end()
    return Answer(data=tour_data(built), text=tour(built), found=False)
