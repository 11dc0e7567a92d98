"""The words an entry may hold are those that are typed: no other can be corrected into it."""

import pytest
from tests.app.chairs import MARSH, a_chair, asked, needle
from tests.cast import HAZEL

from thawline.app.consents import consent
from thawline.app.mending import correct
from thawline.base.errors import RecordError
from thawline.ledger.known_words import WORDS
from thawline.ledger.observation_events import MomentStamped
from thawline.ledger.person_events import ConsentAnswered, FollowUpCalled, PersonArrived
from thawline.ledger.screening_events import ScreeningAnswered, ScreeningCleared
from thawline.ledger.standby_events import StandbyCalled
from thawline.observe.emergency import STAMPS
from thawline.person.desk import BORN, NAME, PHONE, Consent, Whose
from thawline.person.follow_up import About, Result
from thawline.person.standby import Answered
from thawline.rules.questions import Outcome


@pytest.mark.parametrize(
    ("event", "name", "typed"),
    [
        (PersonArrived, "agreed", (NAME, BORN, PHONE)),
        (PersonArrived, "differed", (NAME, BORN, PHONE)),
        (ConsentAnswered, "answer", tuple(Consent)),
        (ConsentAnswered, "whose", tuple(Whose)),
        (FollowUpCalled, "about", tuple(About)),
        (FollowUpCalled, "result", tuple(Result)),
        (StandbyCalled, "answer", tuple(Answered)),
        (ScreeningAnswered, "outcome", tuple(Outcome)),
        (ScreeningCleared, "outcome", tuple(Outcome)),
        (MomentStamped, "what", STAMPS),
    ],
    ids=lambda each: each if isinstance(each, str) else getattr(each, "__name__", ""),
)
def test_the_words_of_the_record_are_those_that_are_typed(event, name, typed):
    assert WORDS[event, name] == typed


def test_a_consent_is_not_corrected_into_a_word_that_no_check_can_read():
    day, _, (syringe, *_) = a_chair()
    said = ConsentAnswered(person=MARSH, answer="no", whose="self")
    consent(day.site, day.doing("08:50"), said)
    wrong = str(day.entries()[-1].seq)

    with pytest.raises(RecordError, match="answer cannot be 'maybe'"):
        correct(day.site, day.doing(by=HAZEL, why="typo"), wrong, {"answer": "maybe"})

    assert not asked(day, needle(code=syringe), "09:00").may
