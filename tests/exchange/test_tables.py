"""Text files cut into rows: delimiters, quotation marks, lines, and what is too much."""

import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from thawline.base.errors import ExchangeError
from thawline.exchange.columns import recogniser
from thawline.exchange.tables import MOST_BYTES, text_table

KNOWN = recogniser({})


def _table(text, **asked):
    return text_table(text.encode(), KNOWN, **asked)


@pytest.mark.parametrize(
    ("mark", "name"), [(",", "comma"), (";", "semicolon"), ("\t", "tab"), ("|", "bar")]
)
def test_the_delimiter_is_the_one_under_which_the_header_makes_sense(mark, name):
    table = _table(f"name{mark}date{mark}time\nAnn{mark}2026-02-03{mark}09:30\n")

    assert table.read_as == (name, "UTF-8")
    assert table.rows[1].cells == ("Ann", "2026-02-03", "09:30")


def test_commas_inside_a_semicolon_file_do_not_mislead():
    table = _table("name;slot\nRainmoor, Hazel;2026-02-03 09:30\n")

    assert table.rows[1].cells == ("Rainmoor, Hazel", "2026-02-03 09:30")


def test_a_declared_separator_is_taken_and_is_no_row():
    table = _table("sep=;\r\nname;time\r\nAnn;09:30\r\n")

    assert [row.line for row in table.rows] == [2, 3]
    assert table.read_as[0] == "semicolon"


@pytest.mark.parametrize("ending", ["\n", "\r\n", "\r"])
def test_lines_may_end_as_on_any_machine(ending):
    table = _table(ending.join(["name,time", "Ann,09:30", "", "Ben,09:40"]))

    assert [row.line for row in table.rows] == [1, 2, 4]


def test_a_quoted_cell_may_hold_the_delimiter_a_line_end_and_quotes():
    table = _table('name,time,needs\n"Testwick, ""Bry""\nony",09:30,x\nBen,09:40,y\n')

    assert table.rows[1].cells[0] == 'Testwick, "Bry" ony'
    assert [row.line for row in table.rows] == [1, 2, 4]


def test_empty_cells_at_the_end_of_a_row_do_not_count():
    assert _table("name,time,,\nAnn,09:30,,,\n").rows[1].cells == ("Ann", "09:30")


def test_letters_that_look_like_line_ends_stay_inside_the_cell():
    table = _table("name,time\nAnn\u2028Lee,09:30\n")

    assert [row.line for row in table.rows] == [1, 2]


def test_two_delimiters_that_make_equal_sense_are_asked_about():
    with pytest.raises(ExchangeError, match="cannot tell the delimiter") as caught:
        _table("name;time,date\n")

    assert "--delimiter" in caught.value.advice


@pytest.mark.parametrize("asked", ["semicolon", ";", "SEMICOLON"])
def test_the_delimiter_asked_for_is_taken(asked):
    assert _table("name;time,date\n", delimiter=asked).rows[0].cells == ("name", "time,date")


@pytest.mark.parametrize(
    ("text", "asked", "says"),
    [
        ("x;y\n1;2\n", {}, "no line with known column names"),
        ("name,time\n", {"delimiter": "§"}, "unknown delimiter"),
        ('name,time\nAnn,"09:30\nBen,09:40\n', {}, "line 2: quotation marks"),
        ('name,time\n"' + ("x" * 60_000 + "\n") * 3, {}, "line 2: quotation marks"),
        ("name,time\n" + "x" * 70_000 + "\n", {}, "line 2 is longer than"),
        ("name,time\n" + "," * 600 + "x\n", {}, "more than 500 columns"),
    ],
    ids=[
        "no header",
        "strange delimiter",
        "open quote",
        "long open quote",
        "long line",
        "too wide",
    ],
)
def test_a_file_that_cannot_be_cut_is_refused_with_its_line(text, asked, says):
    with pytest.raises(ExchangeError, match=says):
        _table(text, **asked)


def test_a_ten_megabyte_line_is_refused_without_being_cut():
    with pytest.raises(ExchangeError, match="line 2 is longer"):
        _table("name,time\n" + "a," * 5_000_000)


def test_a_file_beyond_the_limit_is_refused_unread():
    with pytest.raises(ExchangeError, match="longer than 20 MB"):
        text_table(b"name,time\n" * (MOST_BYTES // 10 + 1), KNOWN)


CELL = st.text(st.characters(exclude_categories=["Cc", "Cs", "Z"]), min_size=1, max_size=8)


@given(st.lists(st.lists(CELL, min_size=2, max_size=2), max_size=6), st.sampled_from(",;\t|"))
def test_what_a_csv_writer_writes_is_read_back(rows, mark):
    file = io.StringIO()
    csv.writer(file, delimiter=mark).writerows([["name", "time"], *rows])

    table = _table(file.getvalue(), delimiter=mark)

    assert [list(row.cells) for row in table.rows[1:]] == rows
