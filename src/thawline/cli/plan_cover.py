"""`thawline plan cover`: who covers for somebody ill, and what closes where nobody is."""

from collections.abc import Sequence
from datetime import time
from pathlib import Path
from textwrap import indent
from typing import Any

from thawline.adapters.sites import folder_of
from thawline.adapters.team_tables import TEAM, Team, read_team
from thawline.base.errors import RecordError
from thawline.base.findings import Finding, Level
from thawline.base.instants import local_date, local_time
from thawline.base.roles import Role
from thawline.cli.answers import Answer
from thawline.cli.asking import moment, site_named
from thawline.cli.options import Where
from thawline.cli.surroundings import home
from thawline.cli.text import counted, day_name, wrapped
from thawline.plan.cover import Gap, Member, Span, found_in, gaps

NOW = Where()
# What stops without anybody in a role: common practice.
CLOSES = {
    Role.REGISTRAR: "the front desk: nobody is let in",
    Role.SCREENER: "screening, and vaccinating once those screened have had their dose",
    Role.PREPARER: "the draw table: no vial is opened and no dose drawn",
    Role.VACCINATOR: "the chairs: nobody is vaccinated",
    Role.OBSERVER: (
        "vaccinating: no dose for whom nobody would watch; somebody stays with those who sit "
        "there until they may leave"
    ),
    Role.RUNNER: "nothing by itself: name who carries holds and recalls to every table",
    Role.SITE_LEAD: "the site: it does not open until somebody leads it",
    Role.VACCINE_COORDINATOR: (
        "arrivals, answers to holds and the close-out; what is held stays held"
    ),
    Role.CLINICAL_LEAD: "clearing of referrals: those referred get no dose here today",
}
_NOTHING = "nothing that people notice today"
_ALWAYS = (
    "Look besides that at every hour somebody is there who can give epinephrine; else "
    "vaccinating pauses."
)


def cover(*ill: str, team: str | None = None, where: Where = NOW) -> Answer:
    """
    Say who is signed off and free to cover for somebody ill, and what closes; records nothing.

    thawline plan cover "Rowan Thistle" --site harrowmint --at 06:30
    thawline plan cover "Rowan Thistle" "Sorrel Kettlewick" --team team.toml

    Nobody is named for work they are not signed off for. Breaks are not looked at, nor who was
    briefed on the newest protocol.

    Parameters
    ----------
    ill
        Who does not come, by name.
    team
        The file of the day's team; left out, team.toml in the site's folder.
    """
    if not ill:
        raise RecordError("nobody is named", advice='thawline plan cover "Rowan Thistle"')
    site = site_named(where.site)
    at = moment(where.at, site.now(), site.zone)
    path = Path(team) if team else folder_of(home(), where.site) / TEAM
    there = read_team(path)
    if there.day != local_date(at, site.zone):
        raise RecordError(
            f"{path.name} is of {there.day}, not of {local_date(at, site.zone)}",
            advice="write the day's own, or ask with --at for its day",
        )
    since = local_time(at, site.zone)
    missing = found_in(there.members, ill)
    found = gaps(there.members, missing, since)
    alerts = (*_unsigned(there.members), *(_alert(gap) for gap in found if gap.closed))
    return Answer(
        data={
            "day": there.day.isoformat(),
            "at": f"{since:%H:%M}",
            "posts": [_gap_data(gap) for gap in found],
            "nothing_to_do": _idle(missing, found),
            "briefed": None,
        },
        text="\n".join(_text(there, since, missing, found)),
        alerts=alerts,
        not_known=("briefed",),
        found=True if any(gap.cover is None for gap in found) or alerts else None,
    )


def _unsigned(members: Sequence[Member]) -> tuple[Finding, ...]:
    """Return a stop for everybody on the roster in work they are not signed off for."""
    return tuple(
        Finding(
            Level.STOP,
            "not-signed-off",
            f"{each.name} is to work as {each.post.role} and is not signed off for it. They do "
            "not start; they are not counted here.",
        )
        for each in members
        if each.post and not each.works_signed_off
    )


def _alert(gap: Gap) -> Finding:
    when = ", ".join(map(_span, gap.closed))
    closes = CLOSES.get(gap.post.role, _NOTHING)
    says = f"no {gap.post.role} from {when}. It closes {closes}."
    return Finding(Level.ACT, "nobody-to-cover", says)


def _idle(missing: Sequence[Member], found: Sequence[Gap]) -> list[str]:
    busy = {gap.ill for gap in found}
    return [member.name for member in missing if member.name not in busy]


def _gap_data(gap: Gap) -> dict[str, Any]:
    return {
        "ill": gap.ill,
        "role": gap.post.role.value,
        **_span_data(gap.post.span),
        "cover": gap.cover,
        "also_free": list(gap.others),
        "may_move": list(gap.movable),
        "fewest_there": gap.stay,
        "closed": [_span_data(span) for span in gap.closed],
        "closes": CLOSES.get(gap.post.role, _NOTHING) if gap.closed else None,
    }


def _span_data(span: Span) -> dict[str, str]:
    return {"from": f"{span.starts:%H:%M}", "to": f"{span.ends:%H:%M}"}


def _text(
    team: Team, since: time, missing: Sequence[Member], found: Sequence[Gap]
) -> list[str]:
    lines = [f"{day_name(team.day)}, from {since:%H:%M} on."]
    for gap in found:
        whose, *answers = sentences(gap)
        lines.append(wrapped(whose, 2))
        lines += [indent(wrapped(each, 2), "  ") for each in answers]
    lines += [
        wrapped(f"{name}: no work left that day, nothing to cover.", 2)
        for name in _idle(missing, found)
    ]
    lines.append(wrapped(_ALWAYS, 2))
    lines.append(
        wrapped("Not known: who was briefed on the newest protocol. Ask before they start.", 2)
    )
    return lines


def sentences(gap: Gap) -> list[str]:
    """Return what is said of one gap: whose work, who covers, and what closes."""
    whose = f"{gap.ill}: {gap.post.role}, {_span(gap.post.span)}."
    return [whose, *_answers(gap)]


def _answers(gap: Gap) -> list[str]:
    """Return what is said of one gap: who covers, who else could, what is left without."""
    lines = []
    if gap.cover:
        lines.append(f"Call {gap.cover}: signed off as {gap.post.role}, free all that time.")
    else:
        lines.append(f"Nobody else is signed off as {gap.post.role} and free all that time.")
    if gap.others:
        lines.append(f"Also signed off and free: {', '.join(gap.others)}.")
    if gap.movable and not gap.cover:
        lines.append(
            f"Signed off and at other work where others stay: {', '.join(gap.movable)}. One of "
            "them may move if the site lead says so."
        )
    many = counted(gap.stay, str(gap.post.role))
    if gap.stay:
        lines.append(f"Then at least {many} at any moment.")
    elif not gap.cover:
        when = ", ".join(map(_span, gap.closed))
        lines.append(f"Closed {when}: {CLOSES.get(gap.post.role, _NOTHING)}.")
    return lines


def _span(span: Span) -> str:
    return f"{span.starts:%H:%M} to {span.ends:%H:%M}"
