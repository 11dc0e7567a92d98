"""A remark about the site's own people is an entry of the journal like any other."""

import pytest
from tests.cast import BRYONY, a_day

from thawline.app.remarks import remark
from thawline.base.errors import UnsaidError
from thawline.ledger.entries import Kind
from thawline.ledger.events import Noted


def test_a_remark_says_what_by_whom_and_when():
    day = a_day(vials=0)
    remark(day.site, day.doing("12:00", by=BRYONY), "sign-off", "  two   words ")
    entry = day.entries()[-1]
    assert (entry.event, entry.by, entry.kind) == (Noted(says="two words"), BRYONY, Kind.NOTE)


def test_an_empty_remark_is_none():
    day = a_day(vials=0)
    with pytest.raises(UnsaidError):
        remark(day.site, day.doing("12:00"), "sign-off", " ")
