"""`thawline cold exposure`: a unit's excursions, and what they mean for what was inside."""

from thawline.app.excursions import exposure_of_unit, hold_exposed, warm_unit
from thawline.cli.acting import doing, recorded
from thawline.cli.answers import Answer
from thawline.cli.asking import moment, site_named
from thawline.cli.cold_exposure_pages import shown
from thawline.cli.options import Acting, Yes
from thawline.cli.vial_travel import out_data, out_text

NOBODY = Acting()


def exposure(
    unit: str,
    *,
    since: str | None = None,
    until: str | None = None,
    hold: Yes = False,
    acting: Acting = NOBODY,
) -> Answer:
    """
    Say when a unit was out, what was inside, for how long, and what the clocks become.

    thawline cold exposure fridge-1 --since 2026-02-02 --site harrowmint
    thawline cold exposure freezer-1 --hold --why "warm in the night" --by "Rowan Thistle"

    With --hold everything that may have been inside is held by one act, and the clocks of what
    was in a warm freezer start. Nothing is cleared: thawline vial release, by two people.

    Parameters
    ----------
    unit
        The unit or table, as thawline site show names it.
    since
        From when; the first reading on record if left out.
    until
        Until when; now if left out.
    hold
        Hold what was inside.
    """
    site = site_named(acting.site)
    now = site.now()
    began = None if since is None else moment(since, now, site.zone)
    ended = None if until is None else moment(until, now, site.zone)
    if not hold:
        found = exposure_of_unit(site, unit, began, ended or now, now)
        return shown(site, found, now)
    asked = doing(site, acting)
    warmed = warm_unit(site, asked, unit, began, ended)
    outcome, out = hold_exposed(site, asked, unit, began, ended)
    found = exposure_of_unit(site, unit, began, ended or now, now)
    page = shown(site, found, now)
    held = recorded(outcome, site, out_text(f"what was in {unit}", out), out_data(out))
    alerts = [*held.alerts, *(each for one in warmed for each in one.findings)]
    data = {**held.data, "exposure": page.data, "clocks_started": len(warmed)}
    text = f"{held.text}\n\n{page.text}"
    return Answer(data, text, alerts, page.not_known, held.protocol)
