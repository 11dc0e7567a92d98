"""The picture of seen over expected, by its drawing rules: mark, range, arrows, words."""

from thawline.draw.seen_expected import Mark, Picture, forest_svg, forest_text

ABOVE = Mark("hall", "31 of 5.13", "31 seen", "more than chance explains", 6.0, 4.1, 8.6, True)  # noqa: FBT003
CHANCE = Mark("library", "0 of 1.7", "0 seen", "too few to tell", 0.0, 0.0, 2.2)
WIDE = Mark("gym", "1 of 0.01", "1 seen", "too few to tell", 50.0, 1.2, 300.0)
HIDDEN = Mark("hut", "-", "not shown", "not shown")
DRAWN = Picture("Fainting", [ABOVE, CHANCE, WIDE, HIDDEN], "Expected: doses times a rate.")


def _line(name):
    return next(line for line in forest_text(DRAWN) if line.startswith(name))


def test_more_than_chance_is_a_filled_mark_and_the_rest_a_hollow_one():
    assert "*" in _line("hall")
    assert "o" in _line("gym").removeprefix("gym").replace("of", "")
    assert "*" not in _line("gym")


def test_a_range_that_goes_on_ends_in_an_arrow():
    assert "<" in _line("library")
    assert ">" in _line("gym")
    assert "<" not in _line("hall")


def test_the_line_of_as_many_as_expected_is_under_its_label():
    head, first = forest_text(DRAWN)[0], _line("hall")

    assert head.index("1x") == first.index(":")


def test_what_is_hidden_has_a_name_and_no_range():
    assert _line("hut").split() == ["hut", "-"]


def test_the_page_has_a_solid_diamond_rings_arrows_and_the_counts():
    svg = forest_svg(DRAWN)

    assert svg.count("<polygon") == 3  # the diamond and two arrows
    assert svg.count("<circle") == 1  # a ratio of 0 lies beyond the axis
    assert "31 of 5.13" in svg
    assert "Expected: doses times a rate." in svg


def test_a_reader_hears_every_row():
    svg = forest_svg(DRAWN)
    told = svg[svg.index("<desc") : svg.index("</desc>")]

    assert all(mark.name in told and mark.says in told for mark in DRAWN.marks)


def test_a_mark_above_the_axis_stands_at_its_end_and_is_never_left_out():
    far = Mark("barn", "1 of 0.001", "1 seen", "more", 1000.0, 25.3, 5572.0, True)  # noqa: FBT003
    farther = Mark("shed", "3 of 0.001", "3 seen", "more", 3000.0, 619.0, 8767.0, True)  # noqa: FBT003
    drawn = Picture("Anaphylaxis", [far, farther], "Expected: doses times a rate.")

    assert [line[-2:] for line in forest_text(drawn)[1:3]] == ["*>", "*>"]
    assert forest_svg(drawn).count("<polygon") == 4  # two diamonds, two arrows
