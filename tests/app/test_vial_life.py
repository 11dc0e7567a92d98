"""What a vial lived through, asked of the small made-up protocol of the cast."""

from tests.cast import a_day, at

from thawline.app import holds, vials
from thawline.app.in_force import in_force
from thawline.app.standings import stood
from thawline.app.vial_life import life


def lived(day, code: str, when: str):
    """Return a vial's life until then."""
    with day.site.ledger.view() as view:
        rules = in_force(day.site, view, at(when))
        return life(view, rules, stood(view, rules, code, at(when)), at(when))


def stages(found) -> list[tuple[str, str]]:
    return [(each.state.value, each.since.isoformat()[11:16]) for each in found.stages]


def test_a_vial_goes_on_by_itself_when_the_protocols_times_are_over():
    day = a_day()
    [code] = day.ready("06:35")
    found = lived(day, code, "07:00")
    assert stages(found) == [
        ("thawing", "10:00"),
        ("chilled", "12:00"),
        ("warming", "12:35"),
        ("ready", "12:45"),
    ]


def test_a_hold_and_what_was_drawn_before_it_are_in_its_life():
    day = a_day()
    [code] = day.ready("06:35")
    vials.open_vial(day.site, day.doing("08:00"), code)
    vials.draw(day.site, day.doing("08:10", station="table-1"), code, 2)
    holds.hold(day.site, day.doing("08:20", why="shaken"), [code])
    found = lived(day, code, "09:00")
    assert stages(found)[-2:] == [("open", "14:00"), ("held", "14:20")]
    assert found.draws == (at("08:10"), at("08:10"))
    assert [each for each, _ in found.syringes] == [f"{code}-01", f"{code}-02"]


def test_the_last_stage_goes_on():
    day = a_day()
    [code] = day.thaw()
    found = lived(day, code, "04:30")
    assert [(each.state, each.until) for each in found.stages] == [("thawing", None)]
