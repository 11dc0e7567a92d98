"""Small clinic days whose course can be followed by hand, and one of many people; made up."""

from datetime import timedelta

from thawline.plan.chairs import Stay
from thawline.plan.clinic_day import ClinicDay, ClinicStation, Line, Vials
from thawline.plan.quantile_tables import constant, lognormal, normal

NONE = timedelta(0)
ON_TIME = normal(NONE, NONE)


def minutes(many):
    return timedelta(minutes=many)


def seconds(many):
    return timedelta(seconds=many)


def station(takes=10, servers=(1,), name="desk", **more):
    """Return a station at which every turn takes so many minutes."""
    return ClinicStation(name, constant(minutes(takes)), servers, **more)


def day(bookings, *stations, slot=10, stay=15, **more):
    """Return a day on which everybody comes on time and stays for so many minutes."""
    settings = {"no_show": 0.0, "punctuality": ON_TIME, **more}
    return ClinicDay(
        bookings=tuple(bookings), slot=minutes(slot), stations=stations or (station(),),
        stays=(Stay(minutes(stay), 1.0),), **settings,
    )  # fmt: skip


def busy_day(**more):
    """Return a day of 600 bookings at four stations with times by chance."""
    stations = (
        ClinicStation("desk", lognormal(seconds(60), 0.5), (2,)),
        ClinicStation("screening", lognormal(seconds(105), 0.6), (3,)),
        ClinicStation("vaccinating", lognormal(seconds(150), 0.5), (4,)),
    )
    settings = {
        "stations": stations, "no_show": 0.08, "punctuality": normal(minutes(-5), minutes(8)),
        "walk_ups": (0.5,) * 40, **more,
    }  # fmt: skip
    return ClinicDay(
        bookings=(15,) * 40, slot=minutes(10),
        stays=(Stay(minutes(15), 0.95), Stay(minutes(30), 0.05)), **settings,
    )  # fmt: skip


def special_day():
    """Return the same day with a lunch break, a group briefing and a plan of thawed vials."""
    vials = Vials(10, minutes(60), tuple(minutes(6 * k) for k in range(58)))
    stations = (
        ClinicStation("desk", lognormal(seconds(60), 0.5), (2, 2, 2, 1, 0, 1, 3)),
        ClinicStation("briefing", constant(minutes(5)), (2,), 12, minutes(4)),
        ClinicStation("screening", lognormal(seconds(105), 0.6), (3,)),
        ClinicStation("vaccinating", lognormal(seconds(150), 0.5), (4, 5, 4), vials=vials),
    )
    return busy_day(stations=stations)


def split_day():
    """Return the busy day with a desk for booked people and one for the others."""
    law = lognormal(seconds(170), 0.5)
    one = ClinicStation("desk", lognormal(seconds(60), 0.5), (2,), line=Line.BOOKED)
    two = ClinicStation("walk-up desk", law, (1, 2, 1), line=Line.WALK_UPS)
    return busy_day(stations=(one, two, *busy_day().stations[1:]))
