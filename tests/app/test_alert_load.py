"""How much was said on a day, by the hour and the level; the findings are the rules' own."""

from datetime import date

from tests.cast import CHICAGO, a_day

from thawline.app import holds, vials
from thawline.app.alert_load import alert_load

TUESDAY, WEDNESDAY = date(2026, 2, 3), date(2026, 2, 4)


def load(day, on: date = TUESDAY):
    with day.site.ledger.view() as view:
        return alert_load(view, on, CHICAGO)


def test_each_hold_is_one_stop_in_its_hour():
    day = a_day()
    [code] = day.ready("06:35")
    before = load(day)
    holds.hold(day.site, day.doing("09:10", why="shaken"), [code])
    holds.hold(day.site, day.doing("09:50", why="particles"), [code])
    after = load(day)
    assert (after.stops - before.stops, after.all - before.all) == (2, 2)
    assert [hour.stop for hour in after.hours if hour.starts.hour == 15] == [2]  # 09 in UTC-6


def test_an_extra_dose_is_a_check():
    day = a_day()
    code = day.opened("07:00")
    vials.draw(day.site, day.doing("08:00"), code, 9)  # eight are counted on, nine may be
    [hour] = [hour for hour in load(day).hours if hour.starts.hour == 14]
    assert (hour.stop, hour.act, hour.check, hour.all) == (0, 0, 1, 1)


def test_another_day_has_its_own_load():
    day = a_day()
    [code] = day.ready("06:35")
    holds.hold(day.site, day.doing("09:10", why="shaken"), [code])
    assert load(day, WEDNESDAY).all == 0


def test_alerts_of_the_cold_store_are_counted_apart():
    day = a_day()
    assert (load(day).raised, load(day).taken_on) == (0, 0)
