"""
Appointments as text and as calendar files, checked by RFC 5545 and read by icalendar.

Section numbers are those of RFC 5545. The library icalendar is an independent reader.
"""

from datetime import UTC, datetime

import icalendar
import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.cast import CHICAGO, at

from thawline.exchange.appointments import Appointment, calendar_file, reminder


def _appointment(place: str = "Quillbeck Gym", **more) -> Appointment:
    return Appointment(
        **{
            "uid": "6f1c",
            "starts": at("09:40", 7, 3),
            "given": at("18:00", 3, 3),
            "place": place,
            "zone": CHICAGO,
            **more,
        }
    )


def _event(text: str):
    (event,) = icalendar.Calendar.from_ical(text).walk("VEVENT")
    return event


def test_an_independent_reader_finds_the_same_time_place_and_words():
    event = _event(calendar_file(_appointment(), "en"))

    assert event.decoded("DTSTART") == datetime(2026, 3, 7, 15, 40, tzinfo=UTC)
    assert event.decoded("DTSTAMP") == datetime(2026, 3, 4, 0, 0, tzinfo=UTC)
    assert str(event["SUMMARY"]) == "Appointment at Quillbeck Gym"
    assert str(event["LOCATION"]) == "Quillbeck Gym"


def test_lines_end_in_crlf_and_what_3_6_requires_is_there():
    lines = calendar_file(_appointment(), "en").split("\r\n")

    assert lines[-1] == ""
    assert "\n" not in "".join(lines)
    assert {"VERSION:2.0", "UID:6f1c", "DTSTAMP:20260304T000000Z"} < set(lines)
    assert any(line.startswith("PRODID:") for line in lines)


@given(st.text(st.characters(blacklist_categories=["Cs", "Cc"]), min_size=1, max_size=120))
def test_any_name_of_a_place_comes_back_whole_and_no_line_is_over_75_octets(place):
    text = calendar_file(_appointment(place), "es")

    assert max(len(line.encode()) for line in text.split("\r\n")) <= 75
    assert str(_event(text)["LOCATION"]) == place


def test_commas_semicolons_and_backslashes_are_escaped_as_3_3_11_says():
    text = calendar_file(_appointment("A, B; C\\D"), "en")

    assert "LOCATION:A\\, B\\; C\\\\D\r\n" in text


@pytest.mark.parametrize(
    ("language", "says"),
    [
        (
            "en",
            "Reminder: you have an appointment at Quillbeck Gym on Saturday 7 March 2026 at "
            "9:40 am. If you cannot come, please tell us.",
        ),
        (
            "es",
            "[Borrador: traducción sin revisar] Recordatorio: tiene una cita en Quillbeck Gym "
            "el sábado 7 de marzo de 2026 a las 9:40 am. Si no puede venir, avísenos, por "
            "favor.",
        ),
    ],
)
def test_the_reminder_says_where_and_when_in_their_language(language, says):
    assert reminder(_appointment(), language) == says


@pytest.mark.parametrize("language", ["en", "es"])
def test_nothing_about_health_is_in_a_reminder_or_a_calendar(language):
    said = (
        reminder(_appointment(), language) + calendar_file(_appointment(), language)
    ).lower()

    assert not [
        word for word in ("vacc", "vacun", "dose", "dosis", "health") if word in said.lower()
    ]


@pytest.mark.parametrize(
    ("clock", "said"),
    [("00:05", "12:05 am"), ("11:59", "11:59 am"), ("12:00", "12:00 pm"), ("13:10", "1:10 pm")],
)
def test_the_time_is_said_as_on_public_cards(clock, said):
    assert f"at {said}." in reminder(_appointment(starts=at(clock, 5, 3)), "en")


def test_the_time_is_that_of_the_place_also_after_the_change_of_clocks():
    after = _appointment(starts=at("09:40", 9, 3))  # 15:40 UTC; Chicago is then five behind

    assert "Monday 9 March 2026 at 10:40 am" in reminder(after, "en")


def test_an_invented_appointment_says_demo():
    invented = _appointment(is_demo=True)

    assert reminder(invented, "en").startswith("DEMO. ")
    assert str(_event(calendar_file(invented, "en"))["SUMMARY"]).startswith("DEMO. ")
