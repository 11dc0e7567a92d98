"""Values that no fact has. Two doses, two arms: common practice for this vaccine."""

import pytest

from thawline.base.errors import RecordError
from thawline.ledger.events import CountTaken, DoseGiven, DoseWasted
from thawline.ledger.fitting import refuse_unfit
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
    ],
    ids=["dose 5", "dose 0", "leg", "no volume", "fewer than none"],
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
    ],
    ids=["nothing known", "all known", "none wasted"],
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
