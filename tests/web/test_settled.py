"""Pages that add a whole day up look for news once a second; whoever touches one sees all."""

from tests.cast import ROWAN, SORREL, at
from tests.web.hall import text
from tests.web.test_draw_table import on_the_table

from thawline.app import vials
from thawline.base.instants import Instant, from_ms, to_ms
from thawline.base.roles import Role
from thawline.ledger.entries import Head
from thawline.web.settled import settled

NOON = at("12:00")


class Book:
    """Something that has heads."""


def head(seq: int) -> Head:
    return Head(1, seq, b"")


def later(ms: int) -> Instant:
    return from_ms(to_ms(NOON) + ms)


def test_a_page_that_asks_by_itself_goes_by_the_first_head_of_the_second():
    ledger = Book()
    assert settled(ledger, head(1), NOON, by_itself=True) == head(1)
    assert settled(ledger, head(2), later(600), by_itself=True) == head(1)
    assert settled(ledger, head(2), later(1000), by_itself=True) == head(2)


def test_the_second_of_each_page_of_sums_begins_at_a_moment_of_its_own():
    ledger = Book()
    pages = ("vials", "today", "close-out")
    new = {}
    for ms in range(0, 3000, 100):
        for page in pages:
            new.setdefault(page, []).append(
                settled(ledger, head(ms + 1), later(ms), page, by_itself=True).seq
            )
    begins = {
        page: [seq for seq in dict.fromkeys(seen) if seq > 1000] for page, seen in new.items()
    }
    assert begins == {"vials": [1001, 2001], "today": [1401, 2401], "close-out": [1701, 2701]}


def test_whoever_touches_it_sees_the_newest_and_so_does_everybody_after():
    ledger = Book()
    settled(ledger, head(1), NOON, by_itself=True)

    assert settled(ledger, head(2), later(300), by_itself=False) == head(2)
    assert settled(ledger, head(3), later(600), by_itself=True) == head(2)


def test_a_ledger_that_was_set_back_is_seen_at_once():
    ledger = Book()
    settled(ledger, head(9), NOON, by_itself=True)

    assert settled(ledger, head(4), later(300), by_itself=True) == head(4)


def test_today_says_nothing_new_within_a_second_and_a_draw_table_does(hall):
    [code] = on_the_table(hall)
    lead = hall.browser(ROWAN, Role.SITE_LEAD, Role.PREPARER, station="table-1")
    tags = {path: hall.get(lead, path)["ETag"] for path in ("/today", "/draw-table")}
    vials.open_vial(hall.site, hall.doing(SORREL, station="table-1"), code)

    def news(path: str) -> int:
        return hall.get(lead, path, HTTP_IF_NONE_MATCH=tags[path]).status_code

    assert (news("/today"), news("/draw-table")) == (304, 200)
    opened = text(hall.get(lead, "/today"))
    assert hall.get(lead, "/today")["ETag"] != tags["/today"], opened[:200]
    assert news("/today") == 200
