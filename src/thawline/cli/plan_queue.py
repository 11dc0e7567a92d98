"""`thawline plan queue` and `chairs`: waiting at one station, chairs for those who stay."""

from thawline.base.findings import Finding, Level
from thawline.cli.answers import Answer
from thawline.plan.chairs import chairs_for, read_stays
from thawline.plan.waiting import Station, fewest_servers, served_within, waiting_at


def queue(
    *,
    per_hour: float,
    service_s: float,
    servers: int,
    within_s: float = 0,
    promise: float = 0.9,
) -> Answer:
    """
    Say how long people wait at one station in the long run, exactly; records nothing.

    thawline plan queue --per-hour 120 --service-s 180 --servers 8
    thawline plan queue --per-hour 65 --service-s 150 --servers 4 --within-s 300 --promise 0.9

    People come at random, each takes a random time (exponential), first come first served,
    for as long as it takes to settle. A rush, breaks and batches make it longer.

    Parameters
    ----------
    per_hour
        People who come in an hour.
    service_s
        Seconds that one of them takes, on average.
    servers
        How many serve at once.
    within_s
        The wait that is promised, in seconds; 0 promises no wait.
    promise
        The share of people for whom it is kept, for the fewest that must serve.
    """
    station = Station(per_hour, service_s, servers)
    found, share = waiting_at(station), served_within(station, within_s)
    fewest = fewest_servers(station, within_s, promise)
    people = f"{promise * 100:g} % of people"
    wanted = f"{fewest} keep the promise: {people} served within {within_s:g} s."
    values = {
        "p_wait": found.p_wait,
        "mean_wait_s": found.mean_wait_s,
        "mean_in_system": found.mean_in_system,
        "utilisation": found.utilisation,
        "served_within_share": share,
        "fewest_servers": fewest,
    }
    if found.mean_wait_s is None:
        says = f"{servers} cannot serve {per_hour:g} people an hour: the line grows"
        return Answer(
            data=values,
            text=wanted,
            alerts=[Finding(Level.ACT, "too-few-servers", says)],
            not_known=("mean_wait_s", "mean_in_system"),
        )
    return Answer(
        data=values,
        text=(
            f"{found.p_wait:.1%} wait, {found.mean_wait_s:.0f} s on average over all; "
            f"{found.mean_in_system:.1f} people there; each serves {found.utilisation:.0%} of "
            f"the time.\n{share:.1%} are served within {within_s:g} s. {wanted}"
        ),
    )


def chairs(*, per_hour: float, stay: str, cover: float) -> Answer:
    """
    Say how many chairs the observation area needs at a moment; records nothing.

    thawline plan chairs --per-hour 65 --stay "15 min 95 %, 30 min 5 %" --cover 0.99
    thawline plan chairs --per-hour 150 --stay "15 min 100 %" --cover 0.95

    The highest of a whole day is more than this; size a hall on the simulated peak.

    Parameters
    ----------
    per_hour
        People who come in an hour.
    stay
        How long they stay, with the share of them, 100 % together.
    cover
        The chance that the chairs are enough, at any one moment.
    """
    found = chairs_for(per_hour, read_stays(stay), cover)
    return Answer(
        data={"mean": found.mean, "chairs": found.chairs},
        text=(
            f"{found.mean:.1f} people there on average; {found.chairs} chairs are enough in "
            f"{cover:.1%} of moments. The highest of a day is more."
        ),
    )
