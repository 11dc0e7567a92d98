"""`thawline person`: who is in front of the desk, walk-ups, consent, what is kept put right."""

from cyclopts import App

from thawline.app import consents, meeting, walk_ups
from thawline.base.instants import read_date
from thawline.cli import person_pages
from thawline.cli.acting import doing, recorded
from thawline.cli.answers import Answer
from thawline.cli.asking import site_named
from thawline.cli.options import Acting
from thawline.ledger.person_events import ConsentAnswered
from thawline.person.likeness import Identity

app = App(name="person", help="People at the desk: compare, walk-ups, consent, whom to call.")
app.command("thawline.cli.person_calls:sheet", name="sheet")
app.command("thawline.cli.person_calls:called", name="called")
NOBODY = Acting()


@app.command
def meet(
    person: str = "",
    /,
    *,
    name: str = "",
    born: str | None = None,
    phone: str = "",
    acting: Acting = NOBODY,
) -> Answer:
    """
    Compare what somebody says of themselves with what is kept, by two identifiers.

    thawline person meet --name "Bryony Testwick" --born 1951-01-20 --by Rowan
    thawline person meet DEMO-004217 --name "Bryony Testwick" --phone 555-0142 --by Rowan

    They say or point to name and birth date; nobody reads them out. Without a code, everybody
    of that name is shown side by side where more than one may be meant; nothing is recorded.

    Parameters
    ----------
    person
        The person's code, from the list or the card; left out, looked for by the name.
    name
        The name as they say it.
    born
        The birth date as they say it, as in 1951-01-20.
    phone
        The phone number as they say it, where a third is needed.
    """
    site = site_named(acting.site)
    said = Identity(name, read_date(born) if born else None, phone)
    found = meeting.meet(site, doing(site, acting), said, person.strip() or None)
    return person_pages.met(site, found, said)


@app.command
def walk_up(
    person: str = "",
    /,
    *,
    name: str = "",
    born: str | None = None,
    phone: str = "",
    about: person_pages.About = person_pages.NOTHING,
    acting: Acting = NOBODY,
) -> Answer:
    """
    Take in somebody who comes without a place: a code, a place now, and their arrival.

    thawline person walk-up --name "Bryony Testwick" --born 1951-01-20 --by Rowan
    thawline person walk-up --name "Sorrel Loom" --first-dose 2026-01-06 --by Rowan

    No document is asked for; a phone number or birth date may be missing. Who may be on the
    list already is shown, and --another says that somebody looked and it is another person.

    Parameters
    ----------
    person
        The code of somebody on the list who has no place today.
    name
        The name they go by.
    born
        The birth date, as in 1951-01-20.
    phone
        The phone number.
    """
    site = site_named(acting.site)
    said = Identity(name, read_date(born) if born else None, phone)
    asked = person_pages.walk_up_of(said, person.strip() or None, about)
    return person_pages.taken_in(site, walk_ups.take_in(site, doing(site, acting), asked), said)


@app.command
def consent(
    person: str,
    answer: str,
    /,
    *,
    how: person_pages.How = person_pages.THEMSELVES,
    acting: Acting = NOBODY,
) -> Answer:
    """
    Record what was said to the dose of the day: yes, no, or a yes withdrawn.

    thawline person consent DEMO-004217 yes --edition 2026-01-15 --by Sorrel
    thawline person consent DEMO-004217 withdrawn --station chair-3 --by "Hazel Rainmoor"

    It counts on that day only. After a no the dose is refused, and a reason is never asked.

    Parameters
    ----------
    person
        The person's code.
    answer
        yes, no or withdrawn.
    """
    site = site_named(acting.site)
    said = ConsentAnswered(
        person=person.strip(),
        answer=answer,
        whose=how.whose,
        edition=how.edition,
        given_on=how.given_on,
        interpreter=how.interpreter,
    )
    outcome = consents.consent(site, doing(site, acting), said)
    return recorded(outcome, site, f"{said.person}: {answer}, said by {_who(how.whose)}")


def _who(whose: str) -> str:
    return "the person" if whose == "self" else f"the {whose}"


@app.command
def amend(
    person: str,
    /,
    *,
    name: str = "",
    born: str | None = None,
    phone: str = "",
    acting: Acting = NOBODY,
) -> Answer:
    """
    Put right the name, birth date or phone that is kept of somebody.

    thawline person amend DEMO-004217 --born 1951-02-10 --why "day and month" --by Rowan
    thawline person amend DEMO-004217 --phone 555-0143 --by Rowan

    The record has only which of them was changed. Whoever was met before is met again. It is
    not undone but amended again; cut off, it is finished by the same --id and values.

    Parameters
    ----------
    person
        The person's code.
    name
        The right name.
    born
        The right birth date, as in 1951-01-20.
    phone
        The right phone number.
    """
    site = site_named(acting.site)
    right = Identity(name, read_date(born) if born else None, phone)
    code = person.strip()
    outcome = consents.amend(site, doing(site, acting), code, right)
    return recorded(outcome, site, f"{code} put right; meet them again")
