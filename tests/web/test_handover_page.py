"""The handover page: spoken order, one press to take over."""

from tests.cast import BRYONY, ROWAN
from tests.web.hall import text
from tests.web.people import events, syringes

from thawline.base.roles import Role
from thawline.ledger.handover_events import HandoverAccepted


def test_it_is_spoken_in_one_order_open_held_warming_people_alerts(hall):
    vial = syringes(hall)[0].partition("-")[0]
    page = text(hall.get(hall.browser(ROWAN, Role.SITE_LEAD), "/handover"))
    words = ["Open vials: 1", vial, "Held: 0", "Warming: 0", "People.", "Alerts nobody"]
    places = [page.index(each) for each in words]
    assert places == sorted(places)
    assert "use by 16:02" in page
    assert "Drawn syringes lying: 2" in page


def test_whoever_comes_takes_over_from_whoever_goes(hall):
    lead = hall.browser(BRYONY, Role.CLINICAL_LEAD)
    after = hall.press(lead, "accept-handover", handed_by=ROWAN, _next="/handover")
    assert [each.handed_by for each in events(hall, HandoverAccepted)] == [ROWAN]
    assert f"taken over from {ROWAN}" in text(after)


def test_a_preparer_has_no_handover_page(hall):
    preparer = hall.browser("Rue Anvilgarth", Role.PREPARER)
    assert hall.get(preparer, "/handover").status_code == 403
    sent = hall.send(preparer, "accept-handover", {"handed_by": ROWAN})
    assert (sent.status_code, events(hall, HandoverAccepted)) == (403, [])
