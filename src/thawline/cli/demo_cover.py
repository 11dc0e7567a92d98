"""The tour's sick call: who covers for an observer, and what would close without."""

from datetime import time

from thawline.adapters import sites
from thawline.adapters.team_tables import TEAM, read_team
from thawline.base.roles import Role
from thawline.cli.demo_text import part
from thawline.cli.plan_cover import sentences
from thawline.cli.text import day_name
from thawline.demo.building import Built
from thawline.plan.cover import gaps

_CALL = time(6, 30)


def sick_call(built: Built) -> list[str]:
    """Return the call at 06:30: an observer is ill, and then the other one too."""
    team = read_team(built.home / sites.SITES / built.place.name / TEAM)
    observers = [m for m in team.members if m.post and m.post.role is Role.OBSERVER]
    (alone,) = gaps(team.members, observers[-1:], _CALL)
    open_too = [gap for gap in gaps(team.members, observers, _CALL) if gap.closed]
    return part(
        f"15. {day_name(built.day)} {_CALL:%H:%M}: an observer is ill, then the other one too",
        " ".join(sentences(alone)),
        *(" ".join(sentences(gap)) for gap in open_too),
    )
