"""
Forecast dates of two series, against the published example of a decision-support guide.

HL7 Immunization Decision Support Forecast (ImmDS) implementation guide 2.0.0, example of a
child born 2020-04-28 with a first hepatitis B dose that day; as the check tables of
2026-11-25 give it. Row 11 of the clinical check table. Its overdue and latest dates follow no
single rule and are not used. The published earliest date is the minimum interval without the
days of grace.
"""

from datetime import date

from thawline.rebook.dates import later

BORN = date(2020, 4, 28)


def test_the_second_hepatitis_b_dose_is_earliest_after_28_days_and_due_after_a_month():
    assert later(BORN, days=28) == date(2020, 5, 26)
    assert later(BORN, months=1) == date(2020, 5, 28)


def test_the_first_dtap_dose_is_earliest_after_six_weeks_and_due_after_two_months():
    assert later(BORN, weeks=6) == date(2020, 6, 9)
    assert later(BORN, months=2) == date(2020, 6, 28)
