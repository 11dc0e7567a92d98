"""The team of the demo's day, all invented: sign-offs, and who works when, as a site's file."""

from datetime import date
from pathlib import Path

from thawline.adapters.team_tables import TEAM
from thawline.base.roles import Role
from thawline.demo.staff import at_work

EARLY, LATE = ("07:00", "15:30"), ("10:30", "19:00")
_AT_A_STATION = (
    Role.REGISTRAR,
    Role.SCREENER,
    Role.PREPARER,
    Role.VACCINATOR,
    Role.OBSERVER,
    Role.RUNNER,
)
# Besides their own work; nobody prepares or vaccinates who does not do it every day.
_ALSO = {
    Role.SCREENER: (Role.REGISTRAR,),
    Role.VACCINATOR: (Role.OBSERVER, Role.SCREENER),
    Role.RUNNER: (Role.OBSERVER,),
}


def write_team(folder: Path, place: str, day: date, seed: int) -> None:
    """Write the file of a day; the last runner has the day off."""
    people = [(role, name) for role in _AT_A_STATION for name in at_work(seed, place, role)]
    tables = [f"day = {day.isoformat()}\n"]
    for number, (role, name) in enumerate(people):
        roles = ", ".join(f'"{each}"' for each in (role, *_ALSO.get(role, ())))
        table = f'[[team]]\nname = "{name}"\nsigned_off = [{roles}]\n'
        if number + 1 < len(people):
            starts, ends = (EARLY, LATE)[number % 2]
            table += f'works = "{role}"\nfrom = "{starts}"\nto = "{ends}"\n'
        tables.append(table)
    (folder / TEAM).write_text("\n".join(tables))
