"""What everything that keeps names does; the people are invented."""

from dataclasses import replace

import pytest
from tests.fakes import FakePeople

from thawline.adapters.db.identity import DbPeople, create
from thawline.app.ports import Amending, Name
from thawline.base.errors import RecordError
from thawline.person.likeness import Identity

BRYONY = Name("Bryony Testwick", born="1951-04-09", phone="555-0142", language="en")
SORREL = Name("Sorrel Kettlewick", mail="sorrel@example.org")


@pytest.fixture(params=["in memory", "on disk"])
def people(request, tmp_path):
    if request.param == "in memory":
        yield FakePeople()
        return
    create(tmp_path)
    kept = DbPeople(tmp_path, bytes(range(32)))
    yield kept
    kept.close()


def test_a_name_is_given_back_as_it_was_kept(people):
    people.put("DEMO-000001", BRYONY)

    assert people.get("DEMO-000001") == BRYONY


def test_many_names_can_be_kept_at_once(people):
    assert people.add_all({"DEMO-000001": BRYONY, "DEMO-000002": SORREL}) == {}

    assert people.get("DEMO-000002") == SORREL


def test_where_one_code_stands_for_somebody_already_no_name_is_kept(people):
    people.add_all({"DEMO-000001": BRYONY})

    taken = people.add_all({"DEMO-000001": SORREL, "DEMO-000002": SORREL})

    assert taken == {"DEMO-000001": BRYONY}
    assert people.get("DEMO-000001") == BRYONY
    assert people.get("DEMO-000002") is None


def test_a_code_that_was_erased_can_be_given_again(people):
    people.add_all({"DEMO-000001": BRYONY})
    people.erase("DEMO-000001")

    assert people.add_all({"DEMO-000001": SORREL}) == {}


def test_nobody_has_an_unknown_code(people):
    assert people.get("DEMO-000009") is None


def test_a_name_is_changed_from_what_it_is_by_then(people):
    people.put("DEMO-000001", BRYONY)

    people.change("DEMO-000001", lambda name: replace(name, phone=f"{name.phone}-9"))
    people.change("DEMO-000009", lambda name: replace(name, phone="never"))

    assert people.get("DEMO-000001") == replace(BRYONY, phone="555-0142-9")
    assert people.get("DEMO-000009") is None


def test_a_change_that_fails_leaves_the_name_as_it_was_and_lets_others_write(people):
    def fails(_name):
        raise RecordError("no such person")

    people.put("DEMO-000001", BRYONY)
    with pytest.raises(RecordError):
        people.change("DEMO-000001", fails)
    people.put("DEMO-000002", SORREL)

    assert people.get("DEMO-000001") == BRYONY


def test_values_that_wait_for_the_record_are_kept_beside_the_name(people):
    waits = replace(BRYONY, amending=(Amending("01936b1e", {"born": "1951-04-10"}),))

    people.put("DEMO-000001", waits)

    assert people.get("DEMO-000001") == waits


def test_a_name_can_be_replaced(people):
    people.put("DEMO-000001", BRYONY)
    people.put("DEMO-000001", SORREL)

    assert people.get("DEMO-000001") == SORREL


def test_an_erased_name_is_gone_and_the_others_stay(people):
    people.put("DEMO-000001", BRYONY)
    people.put("DEMO-000002", SORREL)

    assert people.erase("DEMO-000001") is True
    assert people.erase("DEMO-000001") is False
    assert people.get("DEMO-000001") is None
    assert people.get("DEMO-000002") == SORREL


def test_people_are_found_by_a_part_of_their_name_in_the_order_of_their_codes(people):
    people.put("DEMO-000002", SORREL)
    people.put("DEMO-000001", BRYONY)

    assert [code for code, _ in people.find("WICK")] == ["DEMO-000001", "DEMO-000002"]
    assert people.find("kettle") == [("DEMO-000002", SORREL)]
    assert people.find("nobody") == []


def test_accents_make_no_difference_when_looking_for_somebody(people):
    people.put("DEMO-000003", Name("Séamas Ó Cárthaigh"))

    assert [code for code, _ in people.find("seamas o car")] == ["DEMO-000003"]
    assert [code for code, _ in people.find("SÉAMAS")] == ["DEMO-000003"]


def test_no_more_people_are_shown_than_were_asked_for(people):
    for number in range(30):
        people.put(f"DEMO-{number:06}", BRYONY)

    assert len(people.find("testwick")) == 20
    assert len(people.find("testwick", most=3)) == 3


@pytest.mark.parametrize("text", ["", "br", "  b "])
def test_two_letters_are_too_few_to_look_for(people, text):
    people.put("DEMO-000001", BRYONY)

    with pytest.raises(RecordError, match="too short"):
        people.find(text)


@pytest.mark.parametrize(
    ("kept", "said"),
    [
        ("Bo Li", "Bo Li"),
        ("Bo Li", "li bo"),
        ("王 伟", "王 伟"),
        ("O", "o"),
        ("Séamas Ó Cárthaigh", "O Carthaigh, Seamas"),
        ("Ольга Я", "я ольга"),
    ],
    ids=["short", "the other order", "non-Latin", "one letter", "accents", "capitals"],
)
def test_everybody_of_a_name_is_found_however_short_it_is(people, kept, said):
    people.put("DEMO-000002", Name(kept, born="1970-01-01"))
    people.put("DEMO-000001", Name(kept))
    people.put("DEMO-000003", BRYONY)

    assert [code for code, _ in people.may_be(Identity(said))] == ["DEMO-000001", "DEMO-000002"]


@pytest.mark.parametrize("name", ["", "-", " . "])
def test_a_name_without_letters_is_nobodys(people, name):
    people.put("DEMO-000001", Name(name))

    assert people.may_be(Identity(name)) == []
