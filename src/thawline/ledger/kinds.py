"""Every event by the name that it has in the ledger."""

from thawline.ledger import (
    alert_events,
    carry_events,
    events,
    handover_events,
    observation_events,
    person_events,
    plan_events,
    reaction_events,
    screening_events,
    second_dose_events,
    standby_events,
    trip_events,
)

_MODULES = (
    *(events, alert_events, carry_events, handover_events, observation_events),
    *(
        screening_events,
        person_events,
        plan_events,
        reaction_events,
        second_dose_events,
        standby_events,
        trip_events,
    ),
)

EVENTS: dict[str, type[events.Event]] = {
    name: kind
    for module in _MODULES
    for name, kind in vars(module).items()
    if isinstance(kind, type)
    and kind.__module__ == module.__name__
    and kind is not events.Event
}
"""Every event by the name it has in the ledger."""
