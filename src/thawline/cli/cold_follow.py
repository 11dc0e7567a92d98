"""`thawline cold follow`: a logger's folder, each reading once, an alert a line."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Annotated

from cyclopts import Parameter

from thawline.adapters.followed_folder import changes, folder_named, reading, stamps
from thawline.app.followed_readings import FollowedReadings
from thawline.app.following import Follower, Line
from thawline.app.ports import Site
from thawline.app.units import unit_of
from thawline.app.watching import watched
from thawline.base.errors import UnsaidError
from thawline.base.findings import Finding, Level
from thawline.base.instants import local_date
from thawline.cli.answers import BARS, Answer
from thawline.cli.asking import site_named
from thawline.cli.logger_options import AS_IT_IS, FileLayout, asked_of
from thawline.cli.printing import demo_mark, say
from thawline.cli.text import clock_time, counted, wrapped
from thawline.store.units import Followed

Yes = Annotated[bool, Parameter(negative="")]


@Parameter(name="*")
@dataclass(frozen=True, kw_only=True)
class Following:
    """
    What is followed, by whom and how.

    Parameters
    ----------
    unit
        The storage unit, as thawline cold units names it.
    by
        Who follows it.
    hold
        Hold on record what was inside when the unit is out; else the command for it is said.
    once
        Read what is there, say what stands, and end.
    poll
        Look at intervals: for a folder, as on a share, of which the system tells no changes.
    site
        The site's name; not needed where there is only one.
    """

    unit: str
    by: str = ""
    hold: Yes = False
    once: Yes = False
    poll: Yes = False
    site: str | None = None


def follow(folder: str, *, following: Following, layout: FileLayout = AS_IT_IS) -> Answer:
    """
    Follow a folder into which a logger drops files; say what changes, and whom to call.

    thawline cold follow /media/logger --unit freezer-1 --by "Rowan Thistle"
    thawline cold follow exports --unit fridge-1 --by "Rowan Thistle" --hold

    It calls nobody: somebody, or the site's own dialler, must hear of it. Any reading outside
    the band is an excursion, called or not, and with --hold what was inside is held from then
    on; it is never released by software. Stop it with Ctrl-C.

    Parameters
    ----------
    folder
        Where the logger, or its software, writes.
    """
    place, path = site_named(following.site), folder_named(folder)
    if not following.by.strip():
        raise UnsaidError("nobody is named who follows it", advice="add --by NAME")
    follower = _follower(place, following, layout)
    known = stamps(path)
    found = [*follower.begin(), *follower.look(known)]
    if following.once:
        return _answer(place, follower, found)
    say([*demo_mark(), *lines_of(found, place), f"following {path} for {following.unit}"])
    for changed in changes(path, known, poll=following.poll):
        seen = follower.without_folder(path) if changed is None else follower.look(changed)
        say(lines_of(seen, place))
    return _answer(place, follower, [])


def _follower(site: Site, asked: Following, layout: FileLayout) -> Follower:
    """Return what follows a unit; its silence means something where it is to send live."""
    unit, now = unit_of(site, asked.unit), site.now()
    live = unit.followed is Followed.LIVE or not asked.once
    what = watched(site, unit, now, sends=live)
    began = now if live else None
    kept = FollowedReadings(site, asked.by, layout.probe or "")
    return Follower(
        site,
        what,
        asked.by,
        reading(asked_of(layout, site.zone), layout.sheet),
        kept,
        began,
        holds=asked.hold,
    )


def lines_of(found: Iterable[Line], site: Site) -> Iterator[str]:
    """Yield each change as a line with its time, bars and level; the calls below it."""
    today = local_date(site.now(), site.zone)
    for line in found:
        at = clock_time(line.at, site.zone, today)
        yield wrapped(f"{at} {_worded(line)}", indent=4)
        yield from (f"    {below}" for below in line.below)


def _worded(line: Line) -> str:
    found: Finding | None = line.finding
    if found is None:
        return line.says
    item = f" (item {found.item})" if found.item else ""
    return f"{BARS[found.level]} {found.level.capitalize()}: {found.says}{item}"


def _answer(site: Site, follower: Follower, found: list[Line]) -> Answer:
    standing = follower.standing()
    unit = follower.what.unit.name
    alerts = [line.finding for line in found if line.finding is not None]
    says = f"{unit}: {counted(follower.new, 'new reading')}, {len(follower.seen):,} in all"
    return Answer(
        data={
            "site": site.name,
            "unit": unit,
            "new_readings": follower.new,
            "readings": len(follower.seen),
            "alerts_standing": [told.cause for told in standing],
        },
        text="\n".join([*lines_of(found, site), says]),
        found=bool(standing) or any(a.level is not Level.CHECK for a in alerts),
    )
