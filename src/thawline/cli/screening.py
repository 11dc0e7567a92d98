"""`thawline screening`: decide by a rule set, ask a person, clear a referral, print cards."""

from typing import Annotated

from cyclopts import App, Parameter

from thawline.app.calculators import asked_at, person_of
from thawline.base.errors import UnsaidError
from thawline.base.instants import read_date
from thawline.cli.answers import Answer
from thawline.cli.reading import questions_for
from thawline.cli.screening_pages import decided_answer
from thawline.rules.questions import by_item
from thawline.screen import decided, read_answers

app = App(name="screening", help="Screening: decide, ask, clear, print cards.")

Typed = Annotated[list[str] | None, Parameter(name="--answer", negative="")]
"""Answers as they are typed: Q5=yes, Q6=no, Q7=not-sure or Q13=2021-01-01; several times."""


@app.command
def decide(
    *,
    on: str,
    answer: Typed = None,
    rules: str | None = None,
    others: str | None = None,
    dose: int | None = None,
    age: int | None = None,
) -> Answer:
    """
    Say what screening answers come to under a rule set; records nothing.

    thawline screening decide --rules field-2021 --on 2021-02-03 --others no --answer Q5=yes
    thawline screening decide --on 2021-03-31 --others no --answer Q13=2021-01-01 --dose 1

    A date means yes, then. Without --others no a question without an answer gives no outcome.

    Parameters
    ----------
    on
        The day of the answers, as 2021-02-03.
    answer
        An item and its answer: Q5=yes, Q6=no, Q7=not-sure or Q13=2021-01-01; several times.
    rules
        A rule set or protocol: a shipped name, an id or a file. Left out, the national text in
        force on that day.
    others
        no: every question without an answer counts as no.
    dose
        Which dose it would be, 1 or 2.
    age
        The person's age in whole years.
    """
    if others not in (None, "no"):
        raise UnsaidError(f"--others cannot be {others!r}", advice="write --others no")
    today = read_date(on)
    asked = questions_for(rules, asked_at(today, None, None))
    given = read_answers(answer or [], by_item(asked.asked), today)
    person = person_of(dose, age)
    decision = decided(asked.asked, given, today, person, others_no=others == "no")
    return decided_answer(decision, asked.ref)
