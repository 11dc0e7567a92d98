"""Every event by the name that it has in the ledger."""

from thawline.ledger import (
    alert_events,
    events,
    observation_events,
    person_events,
    reaction_events,
    screening_events,
    second_dose_events,
    standby_events,
    trip_events,
)

_MODULES = (
    *(events, alert_events, observation_events, screening_events),
    *(person_events, reaction_events, second_dose_events, standby_events, trip_events),
)

EVENTS: dict[str, type[events.Event]] = {
    kind.__name__: kind
    for kind in events.Event.__subclasses__()
    if kind.__module__ in {module.__name__ for module in _MODULES}
}
"""Every event by the name it has in the ledger."""
