"""The screening acts at a site: questions asked, a referral cleared, its slip printed."""

from dataclasses import replace

from thawline.app import screenings
from thawline.app.at_the_desk import LATER_WORD
from thawline.base.errors import NotFoundError
from thawline.base.instants import from_ms, local_date
from thawline.cli.acting import doing, recorded
from thawline.cli.answers import Answer
from thawline.cli.asking import site_named
from thawline.cli.options import Acting
from thawline.cli.screening_dialogue import Dialogue, at_keyboard
from thawline.cli.screening_pages import decision_values, unknowns
from thawline.cli.text import clock_time, day_name
from thawline.draw.answer_card import Slip, referral_slip
from thawline.ledger.screening_events import ScreeningAnswered
from thawline.rules.questions import Outcome
from thawline.screen.clearing import CLEARED

Asking = tuple[list[str], bool, int | None, str | None]
"""The answers typed, whether the others are no, which dose, which language stands first."""

_MAY = {
    "en": "May have the dose today. Stay {} minutes after it.",
    "es": "Hoy puede recibir la dosis. Quédese {} minutos después.",
}


def ask(person: str, asking: Asking, acting: Acting) -> Answer:
    """Ask at the terminal what has no answer yet, and record what it comes to."""
    typed, others_no, dose, language = asking
    site = site_named(acting.site)
    act = doing(site, acting)
    code = person.strip()
    known = screenings.interview(site, code, act.at, dose)
    spoken = language or known.language
    if at_keyboard() and not others_no:
        answered = {text.partition("=")[0].strip().upper() for text in typed}
        left = [question for question in known.to_ask if question.item not in answered]
        typed = [*typed, *Dialogue(spoken, known.today).ask(left)]
    outcome, found = screenings.answer(site, act, code, typed, dose=dose, others_no=others_no)
    data = {} if found is None else decision_values(found)
    counts = not any(each.code == LATER_WORD for each in outcome.findings)
    says = _public(outcome.event, spoken) if counts else ""
    answer = recorded(outcome, site, says, data)
    return replace(answer, not_known=[] if found is None else unknowns(found))


def _public(event: object, language: str) -> str:
    """
    Return what a public screen may say: no item, no answer, no reason.

    The English sentence of a worrying answer is the alert above it.
    """
    if not isinstance(event, ScreeningAnswered):
        return ""
    stay = Outcome(event.outcome).observe_min
    if stay is None:
        return screenings.PUBLIC["es"] if language == "es" else ""
    said = {each: text.format(stay) for each, text in _MAY.items()}
    return said["en"] if language == "en" else f"{said['es']}\n{said['en']}"


def clear(person: str, acting: Acting) -> Answer:
    """Clear a referral of today by the clinical lead's own PIN."""
    site = site_named(acting.site)
    code = person.strip()
    outcome = screenings.clear(site, doing(site, acting), code, acting.pin)
    stay = CLEARED.observe_min
    return recorded(outcome, site, f"{code} may have the dose today and stays {stay} min")


def slip(person: str, name: str | None) -> Answer:
    """Return the slip of today's screening, for the clinical lead."""
    site = site_named(name)
    code = person.strip()
    screening = screenings.today_of(site, code, site.now())
    if screening is None:
        raise NotFoundError(
            f"{code} has no screening of today", advice=f"thawline screening ask {code}"
        )
    reasons = screenings.answers_of(screening)
    at = from_ms(screening.hi_ms)
    day = local_date(at, site.zone)
    when = f"{day_name(day)} {day.year}, {clock_time(at, site.zone, day)}"
    text = referral_slip(Slip(site.name, code, when, screening.by, list(reasons)))
    return Answer({"person": code, "outcome": screening.outcome, "items": list(reasons)}, text)
