"""What one worrying answer comes to under a shipped rule set in force on a day."""

from datetime import UTC, date, datetime, time

from thawline.adapters import rule_files
from thawline.base.instants import instant
from thawline.rules.questions import by_item
from thawline.screen.answers import read_answers
from thawline.screen.asking import Person
from thawline.screen.decision import decided


def screened(rules: str, on: date, *answers: str, person: Person | None = None):
    """Return the decision; every other question is answered no."""
    asked = rule_files.load_questions(rules, instant(datetime.combine(on, time.max, UTC)))
    given = read_answers(answers, by_item(asked.asked), on)
    return decided(asked.asked, given, on, person or Person(), others_no=True)


def came_to(rules: str, on: date, *answers: str) -> tuple[str, int | None]:
    """Return the outcome and the minutes to stay."""
    found = screened(rules, on, *answers)
    return found.outcome.bare, found.observe_min


def under(name: str):
    """Return the questions of a shipped file as they stand in it."""
    return rule_files.load_questions(name).asked
