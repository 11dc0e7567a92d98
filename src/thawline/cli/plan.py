"""`thawline plan`: what to thaw and when, who waits where, and what opened vials waste."""

from cyclopts import App

from thawline.base.errors import RecordError
from thawline.cli.answers import Answer
from thawline.plan.opened_waste import check_staffed, waste_of_bookings, waste_of_stream

app = App(name="plan", help="What to thaw and when; what an opened vial wastes.")
app.command("thawline.cli.plan_thaw:thaw", name="thaw")
app.command("thawline.cli.plan_opening:opening", name="opening")
app.command("thawline.cli.plan_clusters:clusters", name="clusters")
app.command("thawline.cli.plan_supplies:supplies", name="supplies")
app.command("thawline.cli.plan_queue:queue", name="queue")
app.command("thawline.cli.plan_queue:chairs", name="chairs")
app.command("thawline.cli.plan_staff:staff", name="staff")
app.command("thawline.cli.plan_cover:cover", name="cover")


@app.command
def waste(
    *,
    doses_per_vial: int,
    booked: int | None = None,
    no_show: float | None = None,
    expected: float | None = None,
    tables: int = 1,
    preparers: int | None = None,
) -> Answer:
    """
    Say how many doses are left over in opened vials at the end of a session; records nothing.

    thawline plan waste --booked 240 --no-show 0.08 --doses-per-vial 10
    thawline plan waste --expected 20 --doses-per-vial 10 --tables 4

    No vial is ended early by its clock here; with few people an hour more is wasted.

    Parameters
    ----------
    doses_per_vial
        Doses in a full vial.
    booked
        People booked; each comes or not by themselves.
    no_show
        The share of them that stays away, from 0 to 1.
    expected
        People expected on average, when they come without bookings.
    tables
        Tables that each open vials of their own.
    preparers
        People who draw up, one at a table; more tables than that are refused.
    """
    check_staffed(tables, preparers)
    if expected is not None and booked is None and no_show is None:
        opened = waste_of_stream(expected, doses_per_vial, tables)
    elif booked is not None and no_show is not None and expected is None:
        opened = waste_of_bookings(booked, no_show, doses_per_vial, tables)
    else:
        raise RecordError(
            "people are given either as bookings or as an average",
            advice="give --booked and --no-show, or --expected alone",
        )
    share = "?" if opened.waste_share is None else f"{opened.waste_share:.2%}"
    return Answer(
        data={
            "expected_wasted": opened.expected_wasted,
            "expected_vials": opened.expected_vials,
            "waste_share": opened.waste_share,
        },
        text=(
            f"{opened.expected_wasted:.2f} doses wasted on average, of "
            f"{opened.expected_vials:.2f} vials opened ({share} of their doses)."
        ),
        not_known=() if opened.waste_share is not None else ("waste_share",),
    )
