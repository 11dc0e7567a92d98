"""Values that no fact has. Two doses, two arms: common practice for this vaccine."""

import pytest

from thawline.base.errors import RecordError
from thawline.ledger.events import CountTaken, DoseGiven, DoseWasted
from thawline.ledger.fitting import refuse_unfit
from thawline.ledger.observation_events import KitChecked
from thawline.ledger.person_events import ConsentAnswered, PersonArrived
from thawline.ledger.screening_events import ScreeningAnswered
from thawline.ledger.second_dose_events import SecondDosesAssigned, SecondDosesMoved

GIVEN = {"person": "DEMO-000001", "lot": "ZZ-1041"}
WASTED = {"place": "vial:HK47M", "lot": "ZZ-1041", "cause": "spilled"}


@pytest.mark.parametrize(
    ("event", "name", "says", "advice"),
    [
        (
            DoseGiven(**GIVEN, dose_number=5),
            "dose_number",
            "dose_number cannot be 5",
            "one of 1, 2",
        ),
        (
            DoseGiven(**GIVEN, dose_number=0),
            "dose_number",
            "dose_number cannot be 0",
            "one of 1, 2",
        ),
        (
            DoseGiven(**GIVEN, dose_number=1, arm="leg"),
            "arm",
            "arm cannot be 'leg'",
            "one of left, right, -",
        ),
        (
            DoseGiven(**GIVEN, dose_number=1, volume_ul=0),
            "volume_ul",
            "volume_ul cannot be 0",
            "1 or more",
        ),
        (DoseWasted(**WASTED, doses=-1), "doses", "doses cannot be -1", "0 or more"),
        (
            ConsentAnswered(person="DEMO-000001", answer="maybe", whose="self"),
            "answer",
            "answer cannot be 'maybe'",
            "one of yes, no, withdrawn",
        ),
        (
            ConsentAnswered(person="DEMO-000001", answer="", whose="self"),
            "answer",
            "answer cannot be ''",
            "one of yes, no, withdrawn",
        ),
        (
            PersonArrived(person="DEMO-000001", agreed=("name", "face")),
            "agreed",
            "agreed cannot be 'face'",
            "one of name, born, phone",
        ),
        (
            ConsentAnswered(person="DEMO-000001", answer="no", whose="self", edition="May"),
            "edition",
            "edition cannot be 'May'",
            "write it as 2026-02-03",
        ),
        (
            KitChecked(doses=("3@2026-08-31", "two"), able=(), least=3),
            "doses",
            "doses cannot be 'two'",
            "write it as 3@2026-08-31",
        ),
        (
            KitChecked(doses=("3@2026-02-30",), able=(), least=3),
            "doses",
            "doses cannot be '3@2026-02-30'",
            "write it as 3@2026-08-31",
        ),
    ],
    ids=[
        *("dose 5", "dose 0", "leg", "no volume", "fewer than none"),
        *("no such answer", "an empty answer", "no such identifier", "no date"),
        *("no count in a kit", "no such day in a kit"),
    ],
)
def test_what_no_fact_has_is_refused_with_what_there_is(event, name, says, advice):
    with pytest.raises(RecordError) as refused:
        refuse_unfit(event, [name])

    assert (refused.value.says, refused.value.advice) == (says, advice)


@pytest.mark.parametrize(
    "event",
    [
        DoseGiven(**GIVEN, dose_number=1),
        DoseGiven(**GIVEN, dose_number=2, arm="right", volume_ul=1),
        DoseWasted(**WASTED, doses=0),
        PersonArrived(person="DEMO-000001", agreed=("name", "born"), differed=("phone",)),
        PersonArrived(person="DEMO-000001"),
        ConsentAnswered(person="DEMO-000001", answer="yes", whose="self"),
        KitChecked(doses=("3@2026-08-31",), able=(), least=3),
        ScreeningAnswered(person="DEMO-000001", outcome="give-15", answers=(), dose_number=1),
    ],
    ids=[
        *("nothing known", "all known", "none wasted", "compared", "not compared"),
        *("a yes without information", "a kit", "screened"),
    ],
)
def test_what_a_fact_may_have_is_let_through(event):
    assert refuse_unfit(event, event.__struct_fields__) is None


def test_only_the_fields_that_are_named_are_looked_at():
    """An old entry with a strange value can still be corrected in another field."""
    strange = DoseGiven(**GIVEN, dose_number=5)
    counted = CountTaken(place="vial:HK47M", lot="ZZ-1041", doses=3, book=-1)

    refuse_unfit(strange, ["arm"])
    refuse_unfit(counted, ["doses", "book"])

    with pytest.raises(RecordError):
        refuse_unfit(strange, ["arm", "dose_number"])


@pytest.mark.parametrize(
    ("event", "says"),
    [
        (SecondDosesAssigned(people=("A", "B"), slots_ms=(1,)), "2 people, and not one time"),
        (
            SecondDosesMoved(people=("A",), left_ms=(), slots_ms=(1,)),
            "1 people, and not one time",
        ),
        (SecondDosesAssigned(people=("B", "A"), slots_ms=(1, 2)), "out of order"),
        (SecondDosesAssigned(people=("A", "A"), slots_ms=(1, 2)), "stand twice"),
    ],
    ids=["no time", "no place that is left", "not in order", "twice"],
)
def test_places_that_are_not_one_for_each_person_are_refused(event, says):
    with pytest.raises(RecordError, match=says):
        refuse_unfit(event, ["slots_ms"])


def test_places_one_for_each_person_in_order_are_fit():
    event = SecondDosesMoved(people=("A", "B"), left_ms=(1, 1), slots_ms=(2, 3))

    assert refuse_unfit(event, ["slots_ms"]) is None
