"""`thawline screening`: decide by a rule set, ask a person, clear a referral, print cards."""

from typing import Annotated

from cyclopts import App, Parameter

from thawline.app.calculators import asked_at, person_of
from thawline.base.errors import UnsaidError
from thawline.base.instants import read_date
from thawline.cli.answers import Answer
from thawline.cli.options import Acting
from thawline.cli.reading import questions_for
from thawline.cli.screening_pages import card_answer, decided_answer
from thawline.rules.questions import by_item
from thawline.screen.answers import read_answers
from thawline.screen.decision import decided

app = App(name="screening", help="Screening: decide, ask, clear, print cards.")

Typed = Annotated[list[str] | None, Parameter(name="--answer", negative="")]
"""Answers as they are typed: Q5=yes, Q6=no, Q7=not-sure or Q13=2021-01-01; several times."""

ManyTyped = Annotated[
    list[str] | None, Parameter(name="--answer", negative="", consume_multiple=True)
]
"""The same, and several answers behind one --answer."""

NOBODY = Acting()


@app.command
def decide(
    *,
    on: str,
    answer: ManyTyped = None,
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
    _others(others)
    today = read_date(on)
    asked = questions_for(rules, asked_at(today, None, None))
    given = read_answers(answer or [], by_item(asked.asked), today)
    person = person_of(dose, age)
    decision = decided(asked.asked, given, today, person, others_no=others == "no")
    return decided_answer(decision, asked.ref)


@app.command
def ask(
    person: str,
    *,
    answer: Typed = None,
    others: str | None = None,
    dose: int | None = None,
    language: str | None = None,
    acting: Acting = NOBODY,
) -> Answer:
    """
    Ask a person the questions of the protocol in force, and record what they come to.

    thawline screening ask DEMO-004217 --by "Sorrel Kettlewick"
    thawline screening ask DEMO-004217 --answer Q16=yes --others no --by "Sorrel Kettlewick"

    At a terminal one question comes at a time; else every answer is given by --answer, or
    the rest by --others no. What the birth date and the doses on record say is not asked.

    Parameters
    ----------
    person
        The person's code.
    answer
        An item and its answer: Q5=yes, Q6=no, Q7=not-sure or Q13=2021-01-01; several times.
    others
        no: every question without an answer counts as no.
    dose
        Which dose it would be, 1 or 2; by the record if left out.
    language
        en or es, which stands first; by the booking if left out.
    """
    from thawline.cli.screening_acts import ask as ask_at  # noqa: PLC0415  only acts need it

    _others(others)
    if language not in (None, "en", "es"):
        raise UnsaidError(f"--language cannot be {language!r}", advice="en or es")
    asking = (answer or [], others == "no", dose, language)
    return ask_at(person, asking, acting)


@app.command
def clear(person: str, *, acting: Acting = NOBODY) -> Answer:
    """
    Record that the clinical lead decided a referral of today: give, and stay 30 minutes.

    thawline screening clear DEMO-004217 --by "Bryony Testwick" --pin 284651 --why risk-weighed
    thawline screening clear DEMO-004217 --by Bryony --pin 284651 --why asked-again

    By the clinical lead's own PIN. Reasons are asked-again, risk-weighed, not-as-told and
    other; more words are not kept. A wait, an age or a contraindication is never cleared.

    Parameters
    ----------
    person
        The person's code.
    """
    from thawline.cli.screening_acts import clear as clear_at  # noqa: PLC0415

    return clear_at(person, acting)


Flag = Annotated[bool, Parameter(negative="")]


@app.command
def card(
    person: str | None = None,
    *,
    rules: str | None = None,
    dose: int | None = None,
    age: int | None = None,
    large: Flag = False,
    site: str | None = None,
) -> Answer:
    """
    Print the card to point to an answer on; with a person, the slip of their referral.

    thawline screening card --rules example-10 --dose 1
    thawline screening card DEMO-004217 --site harrowmint

    English and Spanish, for whoever reads one of them, or sees or hears badly.

    Parameters
    ----------
    person
        The person's code: prints the slip of today's referral instead of the card.
    rules
        A rule set or protocol: a shipped name, an id or a file.
    dose
        Which dose, 1 or 2: only its questions.
    age
        An age in whole years: only its questions.
    large
        One column of 40 characters, to be printed twice as large.
    site
        The site's name; not needed where there is only one.
    """
    if person is not None:
        from thawline.cli.screening_acts import slip  # noqa: PLC0415  only here is a site opened

        return slip(person, site)
    return card_answer(questions_for(rules, None), person_of(dose, age), large=large)


def _others(others: str | None) -> None:
    if others not in (None, "no"):
        raise UnsaidError(f"--others cannot be {others!r}", advice="write --others no")
