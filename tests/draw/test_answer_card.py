"""The card that a person points at, and the slip they take along; widths and both languages."""

import pytest

from thawline.adapters import rule_files
from thawline.draw.answer_card import CardLine, Slip, answer_card, referral_slip
from thawline.rules.questions import told

SHIPPED = [
    CardLine(q.item, told(q, q.ask), told(q, q.ask, "es"), q.wait is not None)
    for q in rule_files.load_questions("later-2022").asked
]
PREGNANT = CardLine("Q8", "Are you pregnant?", "¿Está embarazada?")
SERUM = CardLine("Q13", "A serum?", "¿Un suero?", wants_day=True)


@pytest.mark.parametrize(("large", "width"), [(False, 80), (True, 40)])
def test_no_line_of_the_card_is_wider_than_its_paper(large, width):
    lines = answer_card(SHIPPED, "Later guidance " * 12, large=large).splitlines()

    assert max(len(line) for line in lines) == width
    assert not [line for line in lines if line != line.rstrip()]


def test_english_and_spanish_stand_side_by_side():
    lines = answer_card([PREGNANT], "foot").splitlines()

    assert "Point to your answer.                     Señale su respuesta." in lines
    assert "Are you pregnant?                         ¿Está embarazada?" in lines


def test_in_large_print_spanish_stands_below_and_each_answer_has_its_line():
    lines = answer_card([PREGNANT], "foot", large=True).splitlines()
    place = lines.index("Are you pregnant?")

    assert lines[place + 2] == "¿Está embarazada?"
    assert lines[place + 4 : place + 7] == [
        "[ Yes / Sí ]",
        "[ No / No ]",
        "[ Not sure / No sé ]",
    ]


def test_each_question_has_its_place_its_item_and_three_answers():
    text = answer_card([PREGNANT, SERUM], "foot")

    assert "1/2" + " " * 75 + "Q8" in text
    assert text.count("[ Yes / Sí ]        [ No / No ]        [ Not sure / No sé ]") == 2


def test_only_a_question_that_waits_asks_for_a_day():
    assert "on which day?" not in answer_card([PREGNANT], "foot")
    assert answer_card([PREGNANT, SERUM], "foot").count("¿qué día?") == 1


def test_the_answers_are_drawn_five_rows_high_with_their_words():
    text = answer_card([PREGNANT], "foot", large=True)

    assert "#   #  #####   ####  ####  #####\n # #   #      #     #        #" in text
    assert "\nNot sure            No sé\n" in text


def test_a_question_nobody_translated_shows_a_question_mark():
    assert "Cold today?                               ?" in answer_card(
        [CardLine("Q9", "Cold today?", None)], "foot"
    )


def test_the_slip_names_items_and_no_answer():
    slip = Slip("harrowmint", "DEMO-000002", "Tue 3 Feb 2026, 09:12", "Sorrel", ["Q8", "Q16"])
    text = referral_slip(slip)

    assert "Q8 Q16" in text
    assert "DEMO-000002" in text
    assert "pregnan" not in text.lower()
    assert max(len(line) for line in text.splitlines()) == 80
