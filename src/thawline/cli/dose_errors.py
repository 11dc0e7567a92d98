"""What `thawline dose error` and `dose card` show: guidance, a draft, the technique."""

from decimal import Decimal

from thawline.app import calculators, needle_sticks
from thawline.base.errors import RuleError
from thawline.base.instants import read_date
from thawline.base.quantities import microlitres
from thawline.cli.acting import doing, recorded
from thawline.cli.answers import Answer
from thawline.cli.asking import site_named
from thawline.cli.options import Acting
from thawline.cli.reading import rules_for
from thawline.cli.text import wrapped
from thawline.give.deviations import report_draft

CAUTION = "Licensed practice decides; the card is a reminder."


def answer(
    what: str, given: str, first: str | None, volume_ml: Decimal | None, protocol: str | None
) -> Answer:
    """Return what to do after an error, with its report draft."""
    given_on = read_date(given)
    first_on = None if first is None else read_date(first)
    rules = rules_for(protocol, calculators.asked_at(given_on, None, None))
    volume = None if volume_ml is None else microlitres(volume_ml)
    slip = calculators.Slip(what, given_on, first_on, volume)
    found = calculators.after_error(slip, rules.protocol)
    version = f"{rules.ref.id} version {rules.ref.version}"
    draft = report_draft(found, given_on, version)
    return Answer(
        data={
            "what": found.what.value,
            "repeat": found.repeat.value if found.repeat else None,
            "repeat_not_before": found.not_before.isoformat() if found.not_before else None,
            "says": found.says,
            "tell": found.tell,
            "item": found.item,
            "draft": list(draft),
        },
        text="\n".join(wrapped(line, indent=2) for line in draft),
        alerts=found.findings,
        not_known=[] if found.repeat else ["repeat"],
        protocol=rules.ref,
    )


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
        kept = {"recorded": True, "wasted": False, "at_once": list(needle_sticks.AT_ONCE)}
        return Answer(kept, f"Private card kept; no drawn dose {code} to waste\n{says}")
    data = {"wasted": True, "at_once": list(needle_sticks.AT_ONCE)}
    return recorded(outcome, site, f"Private card kept; {code} wasted\n{says}", data)


def exposures(acting: Acting) -> Answer:
    """Return the private exposure cards for the clinical lead."""
    site = site_named(acting.site)
    cards = needle_sticks.cards(site, acting.by, acting.pin)
    lines = ["; ".join(f"{name} {value}" for name, value in card.items()) for card in cards]
    return Answer({"exposures": cards}, "\n".join(lines) or "No exposure card")
