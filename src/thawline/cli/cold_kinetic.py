"""The answer of `thawline cold kinetic`."""

from thawline.base.errors import RuleError
from thawline.base.findings import Finding, Level
from thawline.cli.answers import Answer
from thawline.cli.reading import rules_for
from thawline.store.stays import StaysDescription, described_stays, read_stays

CLEARS_NOTHING = "MKT, averages and alarm rules describe the record; they do not clear vaccine."


def stays_answer(text: str, protocol: str | None) -> Answer:
    """
    Return what describes stays, under the protocol's activation energy.

    Raises:
        RuleError: The protocol states none.
        RecordError: The stays cannot be read.
    """
    stays = read_stays(text)
    rules = rules_for(protocol, None)
    rule = rules.protocol.kinetic
    if rule is None:
        raise RuleError("the protocol states no activation energy", key="kinetic")
    found = described_stays(stays, float(rule.activation_energy_kj_per_mol))
    return Answer(
        data={
            "mkt_c": found.mkt_c,
            "mean_c": found.mean_c,
            "min_c": found.min_c,
            "max_c": found.max_c,
            "hours": found.hours,
            "mkt_c_not_known_because": found.refused,
        },
        text=f"{_says(found)}\n{CLEARS_NOTHING}",
        alerts=_alerts(found),
        not_known=("mkt_c",) if found.mkt_c is None else (),
        protocol=rules.ref,
    )


def _says(found: StaysDescription) -> str:
    ends = f"mean {found.mean_c:.2f} °C, {found.min_c:g} to {found.max_c:g} °C"
    if found.mkt_c is None:
        return f"No mean kinetic temperature: {found.refused}. {ends}, {found.hours:g} h."
    return f"Mean kinetic temperature {found.mkt_c:.2f} °C; {ends}, {found.hours:g} h."


def _alerts(found: StaysDescription) -> tuple[Finding, ...]:
    if not found.touched_freezing:
        return ()
    says = "a stay at or below 0 °C is among them, and the mean hides it: freezing is not in it"
    return (Finding(Level.CHECK, "touched-freezing", says),)
