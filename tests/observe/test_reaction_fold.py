"""Notes of reactions and errors, as the ledger's entries make them."""

from msgspec.structs import replace
from tests.cast import at
from tests.vial.entries import entry

from thawline.base.instants import to_ms
from thawline.ledger.events import VialPunctured
from thawline.ledger.reaction_events import ErrorNoted, ReactionNoted, ReportTold
from thawline.observe.reaction_fold import NOTE, Note, Told

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


def test_a_reaction_keeps_all_that_was_noted_of_it_with_when_and_by_whom():
    began, began_by = to_ms(at("10:00")), to_ms(at("10:05"))
    written = replace(NOTED, began_ms=began, began_by_ms=began_by, dose="d1")
    state = NOTE.step("n1", None, entry(written, 7, by="Sorrel Kettlewick"))

    assert state == Note(
        person="DEMO-000001",
        what="faint",
        at_ms=to_ms(at("12:07")),
        by="Sorrel Kettlewick",
        serious=("hospital",),
        began_ms=began,
        began_by_ms=began_by,
        dose="d1",
    )


def test_an_error_keeps_whether_the_dose_is_repeated_and_by_which_item():
    written = replace(WRONG, repeat="by-schedule", item="B9")
    state = NOTE.step("n2", None, entry(written, 7, by="Sorrel Kettlewick"))

    assert state == Note(
        person="DEMO-000002",
        what="too-early",
        at_ms=to_ms(at("12:07")),
        by="Sorrel Kettlewick",
        given_on="2026-03-03",
        repeat="by-schedule",
        item="B9",
    )


def test_an_uncertain_time_of_a_note_or_a_report_counts_as_its_later_end():
    noted, told = (
        replace(entry(event, minute), lo_ms=to_ms(at("11:00")))
        for minute, event in enumerate((NOTED, ReportTold(note="n1", to="lead")))
    )
    note = NOTE.step("n1", NOTE.step("n1", None, noted), told)

    assert (note.at_ms, note.told[0].at_ms) == (to_ms(at("12:00")), to_ms(at("12:01")))


def test_a_note_that_nobody_reported_has_told_nobody():
    assert (_folded(NOTED).told, _folded(WRONG).told) == ((), ())


def test_a_report_changes_nothing_of_the_note_itself():
    told = _folded(NOTED, ReportTold(note="n1", to="health unit"))

    assert replace(told, told=()) == _folded(NOTED)
    assert told.told == (Told("health unit", to_ms(at("12:01"))),)


def test_each_who_was_told_is_kept_with_the_time():
    first, second = ReportTold(note="n1", to="health unit"), ReportTold(note="n1", to="lead")
    note = _folded(NOTED, first, second)

    assert [told.to for told in note.told] == ["health unit", "lead"]
    assert note.told[0].at_ms < note.told[1].at_ms


def test_a_report_of_a_note_that_was_struck_out_stands_by_itself():
    note = _folded(ReportTold(note="n1", to="health unit"))

    assert note == Note(
        person="?",
        what="?",
        at_ms=to_ms(at("12:00")),
        by="Hazel Rainmoor",
        told=(Told("health unit", to_ms(at("12:00"))),),
    )
    assert not note.is_error
    assert [told.to for told in NOTE.step("n1", note, entry(NOTED)).told] == ["health unit"]
    assert [told.to for told in NOTE.step("n2", note, entry(WRONG)).told] == ["health unit"]


def test_only_notes_and_reports_touch_a_note():
    assert NOTE.keys(NOTED) == ("n1",)
    assert NOTE.keys(WRONG) == ("n2",)
    assert NOTE.keys(ReportTold(note="n3", to="lead")) == ("n3",)
    assert NOTE.kinds == {ReactionNoted, ErrorNoted, ReportTold}
    assert NOTE.keys(VialPunctured(vial="HK47M")) == ()
