"""What `thawline observe` shows: the people in the area, and the emergency card."""

from collections.abc import Sequence
from decimal import Decimal
from zoneinfo import ZoneInfo

from thawline.app.observing import Card
from thawline.base.instants import Instant, local_date, written
from thawline.cli.answers import Answer
from thawline.cli.text import clock_time, table, wrapped
from thawline.observe.emergency import card_lines
from thawline.observe.leaving import Leave
from thawline.rules.slips import shown


def area(
    here: Sequence[Leave], early: Sequence[tuple[str, Instant]], zone: ZoneInfo, now: Instant
) -> Answer:
    """Return the observation area: who may leave from when, and whom to call."""
    today = local_date(now, zone)
    rows = [
        [
            each.person,
            "?" if each.may_leave is None else clock_time(each.may_leave, zone, today),
            "yes" if each.may(now) else "no",
        ]
        for each in here
    ]
    calls = [f"Call {code}: left early {clock_time(at, zone, today)}" for code, at in early]
    shown = table(["person", "may leave from", "now"], rows) if rows else "Nobody is here"
    data = {
        "here": [
            {
                "person": each.person,
                "may_leave_from": None
                if each.may_leave is None
                else written(each.may_leave, zone),
                "may_leave": each.may(now),
                "item": each.item,
            }
            for each in here
        ],
        "to_call": [{"person": code, "left_at": written(at, zone)} for code, at in early],
    }
    unknown = [f"may_leave_from of {each.person}" for each in here if each.may_leave is None]
    alerts = [finding for each in here for finding in each.findings]
    return Answer(data, "\n".join([shown, *calls]), alerts, unknown)


def emergency(found: Card, mg: Decimal | None, volume_ml: Decimal | None) -> Answer:
    """Return the emergency card, with the calculator's line where a weight was given."""
    card = found.card
    lines = card_lines(card)
    text = [
        wrapped(f"{says} (item {item})" if item else says, indent=2) for says, item in lines
    ]
    if mg is not None and volume_ml is not None:
        by_weight = card.by_weight
        text.append(
            f"Calculator, licensed people only: {shown(mg)} mg = {shown(volume_ml)} mL, "
            f"at most {shown(by_weight.most_mg)} mg (item {by_weight.item})"
        )
    data = {
        "adult_mg": float(card.adult.mg),
        "mg_per_ml": float(card.drug.mg_per_ml),
        "by_weight_mg": None if mg is None else float(mg),
        "by_weight_ml": None if volume_ml is None else float(volume_ml),
        "lines": [{"says": says, "item": item or None} for says, item in lines],
    }
    return Answer(data, "\n".join(["ANAPHYLAXIS", *text]), protocol=found.protocol)
