"""
How random examples are drawn; everything else a test needs stands in the test.

The everyday loop draws the same examples each time, so a red test is red for everybody.
`make histories` draws new and long ones. Neither has a deadline: the machine may be busy.
"""

from hypothesis import Phase, settings

settings.register_profile("everyday", derandomize=True, deadline=None, database=None)
settings.register_profile(
    "histories", max_examples=2_000, stateful_step_count=200, deadline=None, print_blob=True
)
# Each break of the code runs them: fewer examples can only notice fewer breaks, and the
# smallest example that fails is of no use to anybody.
settings.register_profile(
    "mutants",
    max_examples=20,
    phases=[Phase.explicit, Phase.generate],
    derandomize=True,
    deadline=None,
    database=None,
)
settings.load_profile("everyday")
