"""`thawline screening`: decided, asked at a terminal, cleared, and printed on a card."""

from datetime import date
from functools import partial

import pytest
from tests.cast import BRYONY, PINS, ROWAN, SORREL
from tests.cli.people import ADA, BEN, CLEO, EVERYBODY, answered

from thawline.adapters import rule_files
from thawline.base.errors import UnsaidError
from thawline.cli import main, screening_acts, screening_dialogue
from thawline.cli.screening_dialogue import Dialogue

DECIDE = ("screening", "decide", "--rules", "field-2021", "--on", "2021-02-03")
PUBLIC = "Not here today; the clinical lead will explain."


@pytest.fixture
def people(clinic, tmp_path):
    """The clinic with three people booked and a clinical lead known by a PIN."""
    book = tmp_path / "booked.csv"
    book.write_text(EVERYBODY)
    clinic.run("booking", "load", str(book), "--by", ROWAN)
    clinic.run("site", "pin", BRYONY, PINS[BRYONY], "--role", "clinical lead")
    return clinic


def _asked(place, person, *words, by=SORREL):
    return place.ask("screening", "ask", person, "--others", "no", *words, "--by", by)


def test_the_answer_has_the_keys_it_promises(capsys):
    code, answer = answered(capsys, *DECIDE, "--others", "no", "--answer", "Q5=yes")

    assert (code, answer["ok"], answer["not_known"]) == (0, True, [])
    assert answer["data"] == {
        "outcome": "contraindicated",
        "observe_min": None,
        "until": None,
        "reasons": [
            {
                "item": "Q5",
                "says": "Severe allergic reaction to something other than a vaccine: "
                "no dose of this vaccine.",
            }
        ],
        "advice": "Primary care can say where the vaccine may be given.",
    }
    assert (answer["protocol"]["id"], answer["protocol"]["version"]) == ("field", 1)


def test_a_question_without_an_answer_is_listed_and_there_is_no_outcome(capsys):
    code, answer = answered(capsys, *DECIDE, "--answer", "Q1=no", "--age", "40", "--dose", "1")

    assert (code, answer["ok"], answer["data"]["outcome"]) == (1, False, None)
    assert answer["not_known"][:3] == ["Q3", "Q4", "Q5"]
    assert not {"Q1", "Q2", "Q15", "Q17", "Q21"} & set(answer["not_known"])


def test_a_wait_says_from_which_day_and_an_illness_that_nobody_knows(capsys):
    _, dated = answered(capsys, *DECIDE, "--others", "no", "--answer", "Q13=2021-01-01")
    _, ill = answered(capsys, *DECIDE, "--others", "no", "--answer", "Q10=yes")

    assert (dated["data"]["outcome"], dated["data"]["until"]) == ("not-today", "2021-04-01")
    assert dated["not_known"] == []
    assert (ill["data"]["until"], ill["not_known"]) == (None, ["until"])


def test_without_rules_the_national_text_of_that_day_answers(capsys):
    found = [
        answered(
            capsys, "screening", "decide", "--on", on, "--others", "no", "--answer", "Q2=yes"
        )
        for on in ("2020-06-01", "2021-03-01", "2021-12-31", "2022-01-01")
    ]

    assert [answer["data"]["outcome"] for _, answer in found] == [
        *("contraindicated", "contraindicated", "contraindicated", "refer")
    ]
    assert [answer["protocol"]["version"] for _, answer in found] == [1, 1, 1, 2]


def test_a_protocol_answers_by_its_own_copy_and_a_file_by_its_path(capsys, tmp_path):
    path = tmp_path / "ours.toml"
    path.write_bytes(rule_files.shipped("field-2021"))
    for rules in ("example-10", "example-10-v2", str(path)):
        words = ("screening", "decide", "--rules", rules, "--on", "2026-02-03")
        _, answer = answered(capsys, *words, "--others", "no", "--answer", "Q8=yes")

        assert answer["data"]["outcome"] == "refer"


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["--answer", "Q99=yes"], "no question 'Q99' in these rules"),
        (["--answer", "Q1=yes", "--answer", "Q1=no"], "Q1 has two answers: yes and no"),
        (["--answer", "Q13=2021-02-04"], "Q13: 2021-02-04 has not come yet on 2021-02-03"),
        (["--answer", "Q13=soon"], "Q13: not an answer: 'soon'"),
        (["--age", "130"], "an age of 130 years"),
        (["--age", "-1"], "an age of -1 years"),
        (["--dose", "3"], "dose must be 1 or 2: 3"),
        (["--age", "40", "--answer", "Q15=yes"], "Q15=yes, and what is known"),
    ],
)
def test_bad_input_is_said_with_its_value(capsys, words, says):
    code, answer = answered(capsys, *DECIDE, *words)

    assert code == 3
    assert answer["error"]["says"].startswith(says)
    assert answer["error"]["try"]


@pytest.mark.parametrize(
    ("words", "code"),
    [
        (["screening", "decide", "--on", "2021-02-03", "--others", "yes"], 2),
        (["screening", "decide", "--on", "2021-02-03", "--rules", "nowhere"], 5),
        (["screening", "decide", "--on", "2021-02-30"], 3),
        (["screening", "decide"], 2),
        (["screening", "card", "--rules", "field"], 0),
        (["screening", "card", "--dose", "0"], 3),
    ],
)
def test_each_trouble_has_its_exit_code(capsys, words, code):
    assert answered(capsys, *words)[0] == code


def test_the_text_leads_with_what_to_do(capsys):
    main([*DECIDE, "--others", "no"])
    main([*DECIDE, "--others", "no", "--answer", "Q14=2021-02-01"])
    main([*DECIDE, "--answer", "Q4=yes"])
    said = capsys.readouterr().out

    assert said.startswith("Give, and stay 15 min.\nNot today. Not before 2021-02-15.\n  Q14")
    assert "No outcome yet. Not answered: Q1, Q2, Q3, Q5," in said
    assert "So far: refer." in said


def test_a_rule_set_is_checked_like_a_protocol(capsys, tmp_path):
    path = tmp_path / "ours.toml"
    raw = rule_files.shipped("national-2021").decode()
    path.write_text(
        raw.replace('wait = "P90D"', 'wait = "P9D"').replace("age_below", "age_under")
    )
    code, answer = answered(capsys, "protocol", "check", str(path))
    found = {(f["code"], f["item"]) for f in answer["data"]["findings"]}

    assert code == 1
    assert {("differs-from-source", "Q13"), ("unknown-key", "Q15")} <= found
    assert answered(capsys, "protocol", "check", "national-2021")[0] == 0


def test_a_rule_set_is_not_adopted_as_a_protocol(people):
    code, _, err = people.run("protocol", "adopt", "field-2021", "--by", ROWAN)

    assert code == 3
    assert "screening questions only" in err


def test_asked_by_options_the_answers_are_recorded(people):
    code, answer = _asked(people, ADA, "--answer", "Q16=yes")

    assert (code, answer["data"]["outcome"], answer["data"]["observe_min"]) == (0, "give", 15)
    assert answer["data"]["record"]["reasons"] == ["Q16=give-15"]
    assert "Needle of 23 gauge" in answer["data"]["advice"]


def test_a_worrying_answer_shows_nothing_but_the_public_sentence(people):
    words = ("screening", "ask", ADA, "--others", "no", "--answer", "Q8=yes", "--by", SORREL)
    code, out, err = people.run(*words)

    assert (code, err) == (1, "")
    assert out.strip() == f"|| Act: {PUBLIC}"


def test_a_milder_screening_typed_in_later_shows_no_leave_to_have_the_dose(people):
    words = ("screening", "ask", ADA, "--others", "no", "--by", SORREL)
    people.run(*words, "--answer", "Q8=yes")

    code, out, _ = people.run(*words, "--at", "11:50")

    assert code == 1
    assert f"{ADA} was screened otherwise at 12:00" in out
    assert "May have the dose" not in out


def test_somebody_who_speaks_spanish_is_told_in_spanish(people):
    words = ("screening", "ask", BEN, "--others", "no", "--by", SORREL)
    _, out, _ = people.run(*words, "--answer", "Q8=yes")
    people.clock("12:01")  # asked again after it
    _, given, _ = people.run(*words)

    assert "Hoy no, aquí no; la dirección clínica se lo explicará." in out
    assert "Quédese 15 minutos después." in given


def test_nothing_is_asked_where_nobody_sits_at_a_terminal(people):
    code, out, err = people.run("screening", "ask", ADA, "--by", SORREL)

    assert (code, out) == (2, "")
    assert err.startswith("Not answered: Q1, Q3, Q4,")


def test_at_a_terminal_only_what_is_open_is_asked(people, monkeypatch):
    monkeypatch.setattr(screening_acts, "at_keyboard", lambda: True)
    monkeypatch.setattr(screening_acts, "Dialogue", partial(Dialogue, read=lambda: "2"))
    code, _, err = people.run("screening", "ask", CLEO, "--answer", "Q1=no", "--by", SORREL)

    assert code == 0
    assert err.count("1 Yes   2 No   3 Not sure") == 14
    assert "1/14  Q3" in err


def test_the_chair_goes_by_the_recorded_screening(people):
    _asked(people, ADA, "--answer", "Q8=yes")
    _, before = people.ask("dose", "check", "--person", ADA, "--vial", "HK47M")
    clear = ("screening", "clear", ADA, "--by", BRYONY, "--pin", PINS[BRYONY])
    code, cleared = people.ask(*clear, "--why", "risk-weighed")
    _, after = people.ask("dose", "check", "--person", ADA, "--vial", "HK47M")

    assert "screened-not-to-give" in [alert["code"] for alert in before["alerts"]]
    assert (code, cleared["data"]["record"]["outcome"]) == (0, "give-30")
    assert not {"screened-not-to-give", "not-screened"} & {a["code"] for a in after["alerts"]}


def test_only_the_clinical_leads_own_pin_clears(people):
    _asked(people, ADA, "--answer", "Q8=yes")
    words = ("screening", "clear", ADA, "--why", "risk-weighed")
    by_rowan = people.run(*words, "--by", ROWAN, "--pin", PINS[ROWAN])
    without = people.run(*words, "--by", BRYONY)

    assert (by_rowan[0], without[0]) == (7, 7)
    assert "not known here as the clinical lead" in by_rowan[1]


def test_a_role_that_there_is_not_is_refused(people):
    code, _, err = people.run("site", "pin", ROWAN, PINS[ROWAN], "--role", "boss")

    assert (code, "clinical lead" in err) == (3, True)


def test_the_slip_of_a_referral_names_items_only(people):
    _asked(people, BEN, "--answer", "Q8=yes")
    code, out, _ = people.run("screening", "card", BEN)

    assert code == 0
    assert "DEMO-000002" in out
    assert "Items / Preguntas     Q8" in out
    assert "pregnan" not in out.lower()


def test_whoever_was_not_screened_has_no_slip(people):
    code, _, err = people.run("screening", "card", CLEO)

    assert (code, "has no screening of today" in err) == (5, True)


def test_the_card_has_the_questions_of_the_dose(people):
    first, second = (
        people.ask("screening", "card", "--rules", "example-10", "--dose", dose)[1]["data"]
        for dose in ("1", "2")
    )

    assert len(first["questions"]) == 16
    assert {q["item"] for q in second["questions"]} - {
        q["item"] for q in first["questions"]
    } == {*("Q2", "Q17", "Q18", "Q19", "Q22", "Q23")}


def test_the_card_says_that_its_spanish_is_a_draft(people):
    _, out, _ = people.run("screening", "card", "--rules", "example-10")

    assert "Spanish:\ndraft, not reviewed / español: borrador, sin revisar." in out
    assert max(len(line) for line in out.splitlines()) == 80


def _dialogue(*lines: str, language: str = "en"):
    typed = iter(lines)
    said: list[str] = []

    def read() -> str:
        try:
            return next(typed)
        except StopIteration:
            raise EOFError from None

    today = date(2026, 2, 3)
    return Dialogue(language, today, read=read, say=said.append), said


QUESTIONS = {q.item: q for q in rule_files.load_questions("field-2021").asked}
TWO = (QUESTIONS["Q1"], QUESTIONS["Q13"])


@pytest.mark.parametrize(
    ("typed", "reply"),
    [("1", "yes"), (" Sí ", "yes"), ("n", "no"), ("No sé", "not-sure"), ("?", "not-sure")],
)
def test_an_answer_is_a_number_or_a_word_of_either_language(typed, reply):
    dialogue, _ = _dialogue(typed, "2")

    assert dialogue.ask(TWO) == [f"Q1={reply}", "Q13=no"]


def test_a_slip_of_the_finger_is_asked_again_and_back_goes_back():
    dialogue, said = _dialogue("5", "1", "0", "2", "2")

    assert dialogue.ask(TWO) == ["Q1=no", "Q13=no"]
    assert said.count("Write 1, 2, 3 or 0.\n") == 1


def test_back_from_the_first_question_stays_there():
    dialogue, _ = _dialogue("0", "3", "2")

    assert dialogue.ask(TWO) == ["Q1=not-sure", "Q13=no"]


def test_a_yes_that_waits_is_asked_for_its_day():
    dialogue, said = _dialogue("2", "1", "2027-01-01", "2026-01-20")

    assert dialogue.ask(TWO) == ["Q1=no", "Q13=2026-01-20"]
    assert any("has not come yet" in line for line in said)


def test_a_day_nobody_knows_is_left_empty():
    dialogue, _ = _dialogue("2", "1", "")

    assert dialogue.ask(TWO) == ["Q1=no", "Q13=yes"]


def test_the_persons_language_stands_first_and_the_draft_is_marked():
    dialogue, said = _dialogue("2", "2", language="es")
    dialogue.ask(TWO)
    shown = said[1].splitlines()

    assert shown[1] == "1/2  Q1"
    assert shown[2].startswith("¿Ha tenido alguna vez")
    assert shown[2].endswith("[borrador / draft]")
    assert shown[3] == "Have you ever had a severe allergic reaction to a dose of this vaccine?"


def test_a_keyboard_that_goes_away_records_nothing():
    dialogue, _ = _dialogue("2")
    with pytest.raises(UnsaidError, match="nothing is recorded"):
        dialogue.ask(TWO)


def test_talk_goes_to_stderr_and_the_result_to_stdout(capsys):
    screening_dialogue.say("1 Yes > ")

    assert capsys.readouterr() == ("", "1 Yes > ")


def test_every_question_is_short_and_has_both_languages(capsys):
    for name in rule_files.rule_sets():
        _, answer = answered(capsys, "screening", "card", "--rules", name)
        asked = answer["data"]["questions"]

        assert not [q for q in asked if len(q["en"].split()) > 15 or not q["es"]]


def test_a_rule_set_is_shown_with_its_sources_and_as_a_file(capsys):
    main(["protocol", "show", "field-2021"])
    main(["protocol", "show", "later-2022", "--toml"])
    said = capsys.readouterr().out

    assert "Q8   Are you pregnant? Yes: refer. Not sure: refer. [field-practice]" in said
    assert "[field-practice] common practice: screening as sites" in said
    assert rule_files.shipped("later-2022").decode().strip() in said


def test_several_answers_may_stand_behind_one_option(capsys):
    one = answered(capsys, *DECIDE, "--answer", "Q4=yes", "Q7=no", "--others", "no")
    apart = answered(
        capsys, *DECIDE, "--answer", "Q4=yes", "--answer", "Q7=no", "--others", "no"
    )

    assert one == apart
