"""
Was it in range, for how long, and what do we not know? The cold store.

Readings say what a probe saw at an instant and nothing about the time between. Everything
here keeps the two apart: what was seen, what it is at least and at most, what is not known.
"""

# The public names are the modules: a door that imported them would bring NumPy into every
# command that asks for the name of a refrigerator.
__all__ = [
    "alarm_figures",
    "alert_fold",
    "alerts",
    "bounds",
    "calls",
    "device_alarms",
    "displays",
    "exposure",
    "faults",
    "first_order",
    "fold",
    "inside",
    "kinetic",
    "lasting",
    "limits",
    "nights",
    "one_side",
    "pieces",
    "readings",
    "reporting",
    "rounds",
    "running",
    "stays",
    "stretch",
    "tidy",
    "tidy_blocks",
    "time_out",
    "units",
    "warming",
    "watching",
]
