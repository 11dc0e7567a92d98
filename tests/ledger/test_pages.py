"""The pages about the ledger say what it is."""

import json
import re
from pathlib import Path

from tests.acts import act, corrects, instead, moved, says
from tests.fakes import FakeLedger
from tests.reference.ledger_bytes import PUBLISHED

from thawline.ledger.corrections import counted
from thawline.ledger.heads import ENTRIES_BETWEEN, Statement
from thawline.ledger.stored import Header

DOCS = Path(__file__).parents[2] / "docs"
FORMAT = (DOCS / "reference" / "ledger-format.md").read_text()
HOW = (DOCS / "background" / "ledger.md").read_text()


def test_the_worked_example_of_the_format_has_its_published_hash():
    first = json.loads(PUBLISHED.read_text())["chain"]["entries"][0]

    assert first["hash"] in FORMAT
    assert f"`{first['header']}`" in FORMAT
    assert f"`{first['body']}`" in FORMAT


def test_every_key_of_header_and_statement_is_on_the_page():
    named = set(re.findall(r"`(\w+)`", FORMAT))

    assert {*Header.__struct_fields__, *Statement.__struct_fields__} <= named


def test_how_often_a_head_is_signed_is_on_the_page():
    assert f"every {ENTRIES_BETWEEN} entries" in FORMAT


def counted_vials(*events):
    """Return what the first entry counts as after these events."""
    ledger = FakeLedger()
    for number, event in enumerate(events, 1):
        ledger.record(act(number), says(event))
    with ledger.view() as view:
        now = counted(next(view.entries(most=1)), view.standing)
    return now.event.vials


def test_the_worked_example_of_corrections_comes_out():
    wrong, right = moved("HK47M"), corrects(1, **instead(moved("CM62T")))

    assert "1 counts as it was\nwritten, HK47M" in HOW
    assert counted_vials(wrong, right, corrects(2, undo=True)) == ("HK47M",)
    assert "to RA93P, 1 would count as RA93P" in HOW
    assert counted_vials(wrong, right, corrects(1, **instead(moved("RA93P")))) == ("RA93P",)
