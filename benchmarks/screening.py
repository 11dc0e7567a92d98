"""
How long one screening decision takes on this machine, each rule set, most and least to say.

In time of the processor, so that other programs running beside it count less.

Held: 50 microseconds a decision. `python benchmarks/screening.py` on a quiet machine.
"""

import os
import sys
from datetime import date
from statistics import median
from time import process_time
from timeit import repeat

from thawline.adapters import rule_files
from thawline.rules.questions import by_item
from thawline.screen.answers import read_answers
from thawline.screen.asking import Person
from thawline.screen.decision import decided

MOST_US = 50
ROUNDS, EACH = 15, 5_000
TODAY = date(2021, 3, 1)
GROWN = Person(dose=1, age=40)
WORRYING = ("Q4=yes", "Q10=yes", "Q13=2021-02-01", "Q16=yes", "Q20=yes")


def main() -> int:
    """Measure, print the table, and return 1 if the figure is missed."""
    missed = 0
    for name in rule_files.rule_sets():
        asked = rule_files.load_questions(name).asked
        known = by_item(asked)
        no = read_answers([f"{item}=no" for item in known if item != "Q15"], known, TODAY)
        worried = {**no, **read_answers(WORRYING, known, TODAY)}
        for what, answers in (("all no", no), ("five worries", worried)):
            times = repeat(
                lambda q=asked, a=answers: decided(q, a, TODAY, GROWN),
                timer=process_time,
                number=EACH,
                repeat=ROUNDS,
            )
            took_us = median(times) / EACH * 1e6
            missed += took_us > MOST_US
            print(f"{name:<14}{what:<14}{took_us:6.1f} us, to hold {MOST_US} us")
    print(f"{os.cpu_count()} cores, load {os.getloadavg()[0]:.1f}, Python {sys.version[:6]}")
    return int(missed > 0)


if __name__ == "__main__":
    sys.exit(main())
