"""
The advice on the last vial in the long run: `make advice` writes docs/evidence/last-vial.md.

Oddmoor's last hour as its record has it at 16:52, played 20,000 times by the advice and by
plain rules, on the same days.
"""

import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np

from thawline.app.last_vial import SLOT
from thawline.demo.district import SEED, ZONE
from thawline.demo.folder import make_anew
from thawline.demo.library import library
from thawline.plan.last_days import Played, always, drawn, played
from thawline.plan.last_hours import LastHours
from thawline.plan.last_vial import Rule, Step, solve
from thawline.plan.opening import Prices

DAYS = 20_000
PERSON_PRICES = (3.0, 5.0, 10.0)
WAIT_PRICE = 0.25
OUT = Path(__file__).parents[2] / "docs" / "evidence" / "last-vial.md"
HEAD = """---
orphan: true
---
# The last vial in the long run

`make advice` makes this page. Oddmoor Library's last hour of the demo as its record has it at
16:52 ({booked:.1f} people expected, {in_hand} doses in hand, {names} names on the standby
list), {days:,} days drawn with seed {seed}, the same days for each rule. Behind ± stands the
standard error. A dose wasted is priced 1, five minutes of waiting {wait:g}, a person asked to
come back as it says. *Dearer* is the mean difference to the advice, day by day; all invented.

| Person | Rule | Wasted | Asked back | Waiting min | Price | Exact price | Dearer |
|---|---|---|---|---|---|---|---|
"""
FOOT = """
"Exact price" is what the recursion of [the last vial](../background/last-vial.md) says, which
the played days use nothing of; z is at most {z:.1f}. Open when asked: a vial is brought when
somebody waits without a dose, while it can still be ready before the close; nobody is called.
Here that is too late for everybody.
"""


@dataclass(frozen=True)
class Line:
    """One rule's row: its name, what it came to, and the exact price where there is one."""

    name: str
    came_to: Played
    exact: float | None


def lines(hours: LastHours, prices: Prices) -> Iterator[Line]:
    """Yield the advice and the plain rules, played on the same days."""
    found = solve(hours, prices)
    days = drawn(hours, DAYS, np.random.default_rng(SEED))
    exact = found.first[found.best][0].price
    both, names = found.first[Step.BRING_AND_CALL]
    at_once = always(hours, first=Step.BRING_AND_CALL, names=names)
    plain: list[tuple[str, Rule, float | None]] = [
        ("by the advice", found.rule, exact),
        (f"bring one at once, call {names}", at_once, both.price),
        (
            "bring one at once, call nobody",
            always(hours, first=Step.BRING),
            None if found.bring_only is None else found.bring_only.price,
        ),
        ("open when asked", always(hours, first=Step.WAIT, when_asked=True), None),
        (
            "no other vial, ask to come back",
            always(hours, first=Step.WAIT),
            found.nothing.price,
        ),
    ]
    for name, rule, price in plain:
        yield Line(name, played(hours, rule, days, hours.takes), price)


def mean(values) -> str:
    """Return the mean with its standard error."""
    return f"{values.mean():.3f} ± {values.std(ddof=1) / len(values) ** 0.5:.3f}"


def rows(hours: LastHours, person: float) -> Iterator[tuple[str, float]]:
    """Yield each row of the table, and how many standard errors lie to the exact price."""
    prices = Prices(1.0, person, WAIT_PRICE)
    told = list(lines(hours, prices))
    best = told[0].came_to.price(prices)
    for line in told:
        came, price = line.came_to, line.came_to.price(prices)
        minutes = came.held * (SLOT.total_seconds() / 60)
        error = price.std(ddof=1) / DAYS**0.5
        away = 0.0 if line.exact is None else abs(price.mean() - line.exact) / error
        exact = "" if line.exact is None else f"{line.exact:.3f}"
        dearer = "" if line is told[0] else mean(price - best)
        cells = [f"{person:g}", line.name, mean(came.wasted), mean(came.away), mean(minutes)]
        yield f"| {' | '.join([*cells, mean(price), exact, dearer])} |", away


def page() -> tuple[str, float]:
    """Return the page, and the largest distance from an exact price in standard errors."""
    with TemporaryDirectory() as folder:
        home = Path(folder) / "demo"
        make_anew(home)
        last = library(home, SEED, ZONE).opening.last
    assert last is not None
    hours = last.hours
    table = [row for person in PERSON_PRICES for row in rows(hours, person)]
    worst = max(away for _, away in table)
    people = hours.to_come() @ np.arange(len(hours.to_come()))
    head = HEAD.format(
        booked=people, in_hand=hours.in_hand, names=len(hours.travel), days=DAYS, seed=SEED,
        wait=WAIT_PRICE,
    )  # fmt: skip
    return head + "\n".join(row for row, _ in table) + "\n" + FOOT.format(z=worst), worst


if __name__ == "__main__":
    text, worst = page()
    made = f"Made with Python {sys.version.split()[0]} and NumPy {np.__version__}.\n"
    OUT.write_text(f"{text}\n{made}", encoding="utf-8")
    sys.stdout.write(text)
    sys.exit(int(worst >= 4))
