"""Thawed vials that came over from Quillbeck by cart with all that is known of them."""

from tests.cast import EXPIRY, LOT, at

from thawline.app.receiving import Label, Thawed
from thawline.vial.codes import vial_code

FOREIGN = vial_code(900, "quillbeck")
LABEL = Label(LOT, EXPIRY)
CAME = Thawed(
    doses=8,
    thawed_lo=at("01:00"),
    thawed_hi=at("01:10"),
    room_used_min=20,
    transport_used_min=35,
    trips_used=1,
    from_site="quillbeck",
    by_mode="cart",
    carried_min=35,
)
