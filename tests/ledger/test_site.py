"""What the ledger keeps of the site itself: protocols, codes given out, days closed."""

from tests.vial.entries import NOON, folded, taken_out

from thawline.base.instants import to_ms
from thawline.ledger import events as ev
from thawline.ledger.site import KEY, SITE, Adopted, SiteState
from thawline.rules.protocol import ProtocolRef

ADOPTED = ev.ProtocolAdopted(
    protocol_id="small", version=1, sha256="ab" * 32, effective_from_ms=5
)
CLOSED = ev.DayClosed(
    day="2026-02-03",
    second="Bryony Testwick",
    received=40,
    given=30,
    wasted=2,
    missing=0,
    left=8,
    head="cd" * 32,
)


def state(*events):
    return folded(SITE, *events).get(KEY)


def test_a_site_nobody_touched_has_no_state():
    assert state() is None
    assert state(ev.Noted(says="a remark"), ev.VialPunctured(vial="HK47M")) is None


def test_adopted_versions_are_kept_in_the_order_they_were_adopted():
    tomorrow = to_ms(NOON) + 86_400_000
    second = ev.ProtocolAdopted(
        protocol_id="small", version=2, sha256="cd" * 32, effective_from_ms=tomorrow
    )

    assert state(ADOPTED, second).adopted == (
        Adopted(ProtocolRef("small", 1, "ab" * 32), 5, to_ms(NOON)),
        Adopted(ProtocolRef("small", 2, "cd" * 32), tomorrow, tomorrow),
    )


def test_only_vials_that_come_out_of_a_carton_use_up_codes():
    moved = ev.VialMoved(vials=("HK47M",), to="table", lot="ZZ-1041", expiry="2026-08")

    found = state(taken_out("HK47M", "CM62T"), moved, taken_out("RA93P"))

    assert found.coded == 3


def test_vials_that_come_from_outside_get_codes_here_and_those_of_another_site_have_theirs():
    outside = ev.VialsArrived(vials=("HK47M",), lot="ZZ-1041", expiry="2026-08", doses=10)
    sent = ev.VialsArrived(
        vials=("CM62T",), lot="ZZ-1041", expiry="2026-08", doses=10, from_site="oddmoor"
    )

    assert state(outside, sent).coded == 1


def test_closed_days_are_listed():
    assert state(ADOPTED, CLOSED) == SiteState(
        adopted=state(ADOPTED).adopted, coded=0, closed=("2026-02-03",)
    )
