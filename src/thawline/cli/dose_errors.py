"""What `thawline dose error` and `dose card` show: guidance, a draft, the technique."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from cyclopts import Parameter

from thawline.app import calculators, needle_sticks
from thawline.app.reactions import note_error
from thawline.base.errors import RuleError, UnsaidError
from thawline.base.instants import read_date
from thawline.base.quantities import microlitres
from thawline.cli.acting import doing, recorded
from thawline.cli.answers import Answer
from thawline.cli.asking import site_named
from thawline.cli.options import Acting, Number
from thawline.cli.reading import rules_for
from thawline.cli.text import wrapped
from thawline.give.deviations import Guidance, report_draft

CAUTION = "Licensed practice decides; the card is a reminder."


@Parameter(name="*")
@dataclass(frozen=True, kw_only=True)
class About:
    """
    What more is told of an error.

    Parameters
    ----------
    first
        The date of the first dose, for too-early and late.
    volume_ml
        How much went in, for too-little; left out: nobody knows.
    protocol
        A protocol id or file. Left out, it is the published guidance in force on the day.
    """

    first: str | None = None
    volume_ml: Number = None
    protocol: str | None = None

    def slip(self, what: str, given: str) -> calculators.Slip:
        """Return the error as it was told; RecordError for a date or volume that is none."""
        first = None if self.first is None else read_date(self.first)
        volume = None if self.volume_ml is None else microlitres(self.volume_ml)
        return calculators.Slip(what, read_date(given), first, volume)


NOTHING = About()


def answer(slip: calculators.Slip, protocol: str | None) -> Answer:
    """Return what to do after an error, with its report draft."""
    rules = rules_for(protocol, calculators.asked_at(slip.given_on, None, None))
    found = calculators.after_error(slip, rules.protocol)
    version = f"{rules.ref.id} version {rules.ref.version}"
    draft = report_draft(found, slip.given_on, version)
    return Answer(
        data=_data(found, draft),
        text="\n".join(wrapped(line, indent=2) for line in draft),
        alerts=found.findings,
        not_known=[] if found.repeat else ["repeat"],
        protocol=rules.ref,
    )


def noted(slip: calculators.Slip, person: str, protocol: str | None, acting: Acting) -> Answer:
    """Record an error of a person, and return what to do after it, with its report draft."""
    if protocol is not None:
        raise UnsaidError(
            "an error that is recorded is judged by the site's own version of that day",
            advice="leave --protocol out, or leave --person out to ask only",
        )
    site = site_named(acting.site)
    asked = doing(site, acting)
    outcome, found, version = note_error(site, asked, person, slip)
    draft = report_draft(found, slip.given_on, version)
    says = "\n".join(
        [
            f"{found.what.value}, {person}. Its report: thawline reaction report {asked.id}",
            *(wrapped(line, indent=2) for line in draft),
        ]
    )
    answer = recorded(outcome, site, says, _data(found, draft))
    return replace(answer, not_known=[] if found.repeat else ["repeat"])


def _data(found: Guidance, draft: Sequence[str]) -> dict[str, Any]:
    return {
        "what": found.what.value,
        "repeat": found.repeat.value if found.repeat else None,
        "repeat_not_before": found.not_before.isoformat() if found.not_before else None,
        "says": found.says,
        "tell": found.tell,
        "item": found.item,
        "draft": list(draft),
    }


def technique(protocol: str | None) -> Answer:
    """Return the site and technique card of a protocol."""
    rules = rules_for(protocol, None)
    steps = rules.protocol.technique
    if not steps:
        raise RuleError(
            f"protocol {rules.ref.id} version {rules.ref.version} has no technique card",
            advice="name one that has [technique.*], with --protocol",
        )
    volume = rules.protocol.product.dose_volume_ml
    lines = [(step.says.en, step.item) for step in steps.values()]
    lines.append((f"Volume of a dose: {volume.value:f} mL", volume.item))
    shown = [wrapped(f"{says} (item {item})", indent=2) for says, item in lines]
    return Answer(
        data={
            "lines": [{"says": says, "item": item} for says, item in lines],
            "caution": CAUTION,
        },
        text="\n".join([*shown, CAUTION]),
        protocol=rules.ref,
    )


def exposure(syringe: str, needle_used: str, source: str, acting: Acting) -> Answer:
    """Open a private exposure card and waste the dose; the answer says what to do at once."""
    site = site_named(acting.site)
    code = syringe.strip().upper()
    outcome = needle_sticks.stuck(site, doing(site, acting), code, needle_used, source)
    says = "\n".join(needle_sticks.AT_ONCE)
    if outcome is None:
        is_kept = not acting.dry_run
        kept = {"recorded": is_kept, "wasted": False, "at_once": list(needle_sticks.AT_ONCE)}
        card = "Private card kept" if is_kept else "Would keep a private card"
        return Answer(kept, f"{card}; no drawn dose {code} to waste\n{says}")
    data = {"wasted": True, "at_once": list(needle_sticks.AT_ONCE)}
    return recorded(outcome, site, f"Private card kept; {code} wasted\n{says}", data)


def exposures(acting: Acting) -> Answer:
    """Return the private exposure cards for the clinical lead."""
    site = site_named(acting.site)
    cards = needle_sticks.cards(site, acting.by, acting.pin)
    lines = ["; ".join(f"{name} {value}" for name, value in card.items()) for card in cards]
    return Answer({"exposures": cards}, "\n".join(lines) or "No exposure card")
