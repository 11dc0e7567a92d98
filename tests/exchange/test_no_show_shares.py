"""No-show shares by group, as a spreadsheet writes them."""

import pytest

from thawline.base.errors import ExchangeError
from thawline.exchange.no_show_shares import read_shares, recognises
from thawline.exchange.tables import text_table


def _shares(text):
    return read_shares(text_table(text.encode(), recognises))


def test_shares_are_read_with_point_comma_or_percent():
    text = "Grupo;Ausencias\nmayores;0,05\nteachers;0.1\nstudents;12 %\n*;8%\n"

    assert _shares(text) == {"mayores": 0.05, "teachers": 0.1, "students": 0.12, "*": 0.08}


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("group,no_show\nnurses,8\n", "line 2: a share of more than everybody"),
        ("group,no_show\nnurses,NaN\n", "line 2: not a share"),
        ("group,no_show\nnurses,-0.1\n", "line 2: not a share"),
        ("group,no_show\nnurses\n", "line 2: not a share"),
        ("group,no_show\na,0.1\na,0.2\n", "line 3: group 'a' for the second time"),
        ("group,rate\nnurses,0.1\n", "does not name a group and a no-show column"),
    ],
)
def test_a_share_that_cannot_be_one_is_refused_with_its_line(text, says):
    with pytest.raises(ExchangeError, match=says):
        _shares(text)


def test_everybody_may_come_or_stay_away():
    assert _shares("group,no_show\na,0\nb,1\n") == {"a": 0, "b": 1}
