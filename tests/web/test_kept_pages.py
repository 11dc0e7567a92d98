"""Which pages a tablet keeps for the time the server is away: a station's own, never a name."""

from tests.cast import HAZEL, ROWAN
from tests.web.hall import text
from tests.web.people import MARSH, MARSH_NAME, booked, compared, screened, syringes

from thawline.app.doses import give
from thawline.app.in_hand import Needle
from thawline.base.roles import Role


def keeps(answer) -> bool:
    return answer.headers.get("Thawline-Keep") == "yes"


def test_the_draw_table_is_kept(hall):
    browser = hall.browser(HAZEL, Role.PREPARER, station="table-1")
    assert keeps(hall.get(browser, "/draw-table"))


def test_the_journal_and_the_front_desk_are_not(hall):
    browser = hall.browser(ROWAN, Role.REGISTRAR)
    assert not keeps(hall.get(browser, "/front-desk"))
    assert not keeps(hall.get(browser, "/journal"))


def test_the_observation_area_is_kept_while_it_is_empty_and_not_once_a_name_stands_there(hall):
    browser = hall.browser("Fern Chalkbeck", Role.OBSERVER)
    assert keeps(hall.get(browser, "/observation-area"))
    booked(hall)
    compared(hall)
    screened(hall)
    code = syringes(hall)[0]
    give(hall.site, hall.doing(HAZEL, wall="12:00"), Needle(MARSH, code, arm="left"))
    page = hall.get(browser, "/observation-area")
    assert MARSH_NAME in text(page)
    assert not keeps(page)
