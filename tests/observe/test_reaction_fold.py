"""Notes of reactions and errors, as the ledger's entries make them."""

from tests.vial.entries import entry

from thawline.ledger.events import VialPunctured
from thawline.ledger.reaction_events import ErrorNoted, ReactionNoted, ReportTold
from thawline.observe.reaction_fold import NOTE

NOTED = ReactionNoted(note="n1", person="DEMO-000001", what="faint", serious=("hospital",))
WRONG = ErrorNoted(note="n2", person="DEMO-000002", what="too-early", given_on="2026-03-03")


def _folded(*events):
    state = None
    for minute, event in enumerate(events):
        state = NOTE.step(event.note, state, entry(event, minute))
    return state


def test_a_note_says_who_what_and_how_serious():
    note = _folded(NOTED)

    assert (note.person, note.what, note.serious) == ("DEMO-000001", "faint", ("hospital",))
    assert not note.is_error


def test_an_error_has_the_day_of_its_dose():
    note = _folded(WRONG)

    assert note.is_error
    assert note.given_on == "2026-03-03"


def test_each_who_was_told_is_kept_with_the_time():
    first, second = ReportTold(note="n1", to="health unit"), ReportTold(note="n1", to="lead")
    note = _folded(NOTED, first, second)

    assert [told.to for told in note.told] == ["health unit", "lead"]
    assert note.told[0].at_ms < note.told[1].at_ms


def test_a_report_of_a_note_that_was_struck_out_stands_by_itself():
    note = _folded(ReportTold(note="n1", to="health unit"))

    assert (note.person, [told.to for told in note.told]) == ("?", ["health unit"])
    assert [told.to for told in NOTE.step("n1", note, entry(NOTED)).told] == ["health unit"]
    assert [told.to for told in NOTE.step("n2", note, entry(WRONG)).told] == ["health unit"]


def test_only_notes_and_reports_touch_a_note():
    assert NOTE.keys(NOTED) == ("n1",)
    assert NOTE.keys(VialPunctured(vial="HK47M")) == ()
