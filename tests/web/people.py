"""People at a served site: booked, compared, screened; everybody is invented."""

from tests.cast import BRYONY, HAZEL, ROWAN, at

from thawline.app import meeting, screenings, vials
from thawline.app.acts import act
from thawline.app.doses import told
from thawline.app.ports import Name
from thawline.app.receiving import Label, receive_frozen
from thawline.base.instants import to_ms
from thawline.ledger.entries import Decision, Kind
from thawline.ledger.events import EarlierDoseTold, PersonBooked
from thawline.receive.inspection import Arrival

LOT = "ZZ-1041"
MARSH, FEN, HEATH = "P-000001", "P-000002", "P-000003"
MARSH_NAME, MARSH_BORN = "Marigold Anvilgarth", "1984-05-06"


def booked(hall, person: str = MARSH, wall: str = "12:00", **more) -> str:
    """Give somebody a place on the Tuesday, and keep a name."""
    name = more.pop("name", Name(MARSH_NAME, MARSH_BORN, "555-0142"))
    if name is not None:
        hall.site.people.put(person, name)
    event = PersonBooked(
        person=person, slot_ms=to_ms(at(wall)), **{"dose_number": 1, "language": "es", **more}
    )
    command = {"command": "booking", "person": person}
    act(hall.site, hall.doing(), command, lambda _: Decision(event), kind=Kind.FACT)
    return person


def had_first(hall, person: str, day: str) -> None:
    """Let somebody have had a first dose elsewhere."""
    told(hall.site, hall.doing(), EarlierDoseTold(person=person, given_on=day))


def compared(hall, person: str = MARSH) -> None:
    """Let the desk compare somebody by name and birth date."""
    meeting.hear(hall.site, hall.doing(), person, meeting.Heard(("name", "born")))


def screened(hall, person: str = MARSH, *answers: str) -> None:
    """Let somebody answer every question with no, but for those named."""
    doing = hall.doing(BRYONY)
    screenings.answer(hall.site, doing, person, list(answers), others_no=True)


def ready(hall, count: int = 1, station: str = "table-1") -> list[str]:
    """Return vials that stand on the table since 06:35, thawed in the refrigerator."""
    label, doing = Label(LOT, "2026-08"), hall.doing
    receive_frozen(hall.site, doing(wall="01:00"), label, "freezer-1", Arrival(40, 40, None))
    out = vials.take_out(hall.site, doing(wall="04:00"), LOT, "freezer-1", count, "fridge")
    codes = list(out.event.vials)
    vials.move(hall.site, doing(wall="06:35", station=station), codes, "table")
    return codes


def syringes(hall, count: int = 2, station: str = "table-1") -> list[str]:
    """Return drawn syringes of a vial that was opened at 10:02."""
    codes, doing = ready(hall, station=station), hall.doing
    vials.open_vial(hall.site, doing(HAZEL, wall="10:02", station=station), codes[0])
    drawn = vials.draw(hall.site, doing(HAZEL, wall="10:05", station=station), codes[0], count)
    return list(drawn.event.syringes)


def events(hall, kind: type) -> list:
    """Return the events of a kind, in the ledger's order."""
    return [each.event for each in hall.entries() if isinstance(each.event, kind)]


__all__ = ["BRYONY", "HAZEL", "ROWAN"]
