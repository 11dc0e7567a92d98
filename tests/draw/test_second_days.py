"""The calendar of second doses: numbers, shares, moves, closed days, and what nobody knows."""

from datetime import date, timedelta
from xml.etree import ElementTree as ET

from thawline.draw.ink import INK
from thawline.draw.second_days import Cell, SecondDays, Week, says_of, second_days_svg

MONDAY = date(2026, 3, 2)


def _week(*cells: Cell) -> SecondDays:
    days = [MONDAY + timedelta(days=each) for each in range(7)]
    rest = [Cell(day, 0, 0, None) for day in days[len(cells) :]]
    return SecondDays("Second doses", [Week("week of 2 Mar", [*cells, *rest])])


def _drawn(shown: SecondDays) -> ET.Element:
    return ET.fromstring(second_days_svg(shown))  # noqa: S314  our own picture


def _columns(root: ET.Element) -> list[float]:
    return [
        float(e.get("height")) for e in root.iter() if e.get("fill") == INK and e.get("height")
    ]


def _words(root: ET.Element) -> list[str]:
    return ["".join(each.itertext()) for each in root.iter() if each.tag.endswith("text")]


def test_a_column_is_the_share_of_the_places_that_are_taken():
    half, full = Cell(MONDAY, 50, 0, 100), Cell(MONDAY + timedelta(days=1), 120, 0, 100)
    one, other = _columns(_drawn(_week(half, full)))
    assert one * 2 == other


def test_a_day_of_which_nobody_knows_the_places_has_no_column_and_a_question_mark():
    root = _drawn(_week(Cell(MONDAY, 50, 0, None)))
    assert _columns(root) == []
    assert _words(root).count("of ?") == 1
    assert _words(root).count("?") == 6


def test_a_closed_day_says_so_in_a_word_and_is_hatched():
    root = _drawn(_week(Cell(MONDAY, 0, 0, 0)))
    assert "closed" in _words(root)
    assert any(each.tag.endswith("line") for each in root.iter())


def test_moved_ones_are_counted_in_bold():
    root = _drawn(_week(Cell(MONDAY, 50, 7, 100)))
    [moved] = [e for e in root.iter() if "".join(e.itertext()) == "7 moved"]
    assert moved.get("font-weight") == "bold"


def test_whoever_does_not_see_it_hears_each_day():
    assert says_of(Cell(MONDAY, 50, 7, 100)) == "Mon 2 Mar: 50 of 100, 7 moved here"
    assert says_of(Cell(MONDAY, 0, 0, 0)) == "Mon 2 Mar: 0 closed"
    assert says_of(Cell(MONDAY, 3, 0, None)) == "Mon 2 Mar: 3 places not known"


def test_an_invented_site_says_demo():
    shown = SecondDays("Second doses", [], demo=True)
    assert _words(_drawn(shown)) == ["DEMO  Second doses"]


def test_whoever_falls_due_without_a_place_is_counted_on_their_first_day():
    cell = Cell(MONDAY, 0, 0, None, 1204)
    assert _words(_drawn(_week(cell))).count("1,204 due") == 1
    assert says_of(cell) == ("Mon 2 Mar: 0 places not known, 1,204 fall due without a place")
