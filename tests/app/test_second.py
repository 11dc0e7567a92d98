"""Who is due at a site, by its own protocol and its own calendar."""

from datetime import date

from tests.cast import a_day, at, small

from thawline.app.doses import told
from thawline.app.second import due_on
from thawline.ledger.events import EarlierDoseTold
from thawline.rules.reading import read_protocol


def _told(day, person: str, given_on: str) -> None:
    told(day.site, day.doing(), EarlierDoseTold(person=person, given_on=given_on))


def test_the_sites_own_protocol_says_who_is_due():
    day = a_day(vials=0)
    _told(day, "DEMO-000001", "2026-01-02")

    asked, found = due_on(day.site, date(2026, 1, 30))

    assert asked == date(2026, 1, 30)
    assert [each.person for each in found.due] == ["DEMO-000001"]
    assert due_on(day.site, date(2026, 1, 29))[1].due == ()


def test_left_out_the_day_is_today_at_the_site_and_not_in_utc():
    day = a_day(vials=0)
    day.now = at("22:30")

    assert due_on(day.site)[0] == date(2026, 2, 3)


def test_a_version_counts_from_its_own_day_on():
    day = a_day(vials=0)
    _told(day, "DEMO-000001", "2026-01-02")
    longer = small().raw.replace(b'"P28D"', b'"P40D"').replace(b"version = 1", b"version = 2")
    day.adopt(read_protocol(longer.replace(b"2026-01-19", b"2026-02-09")), by="Rowan Thistle")

    assert len(due_on(day.site, date(2026, 2, 8))[1].due) == 1
    assert len(due_on(day.site, date(2026, 2, 9))[1].due) == 0
