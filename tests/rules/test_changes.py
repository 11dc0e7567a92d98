"""What a new version changes and who must hear of it; figures made up."""

import pytest
from tests.rules.made_up import PROTOCOL, changed, without

from thawline.base.roles import Role
from thawline.rules.changes import Kind, brief_again, changes
from thawline.rules.reading import examined


def _changes(raw):
    return changes(examined(PROTOCOL.encode()).leaves, examined(raw).leaves)


def _shown(raw):
    return [(c.item, c.before, c.after, c.kind) for c in _changes(raw)]


def _briefed(raw):
    return {each.role: each.items for each in brief_again(_changes(raw))}


@pytest.mark.parametrize(
    ("old", "new", "change"),
    [
        ('allows = "PT5H"', 'allows = "PT4H"', ("C4", "PT5H", "PT4H", Kind.SHORTER)),
        ('allows = "PT5H"', 'allows = "PT6H"', ("C4", "PT5H", "PT6H", Kind.LONGER)),
        ('allows = "PT5H"', 'allows = "P1D"', ("C4", "PT5H", "P1D", Kind.LONGER)),
        ('allows = "P20D"', 'allows = "PT480H"', ("C1", "P20D", "PT480H", Kind.CHANGED)),
        ("value = 0.4,", "value = 4,", ("D2", "0.4", "4", Kind.CHANGED)),
        ("may = false", "may = true", ("T5", "may false", "may true", Kind.CHANGED)),
        (
            'takes = "PT3H"\nthen_room = "PT20M"',
            'takes = "PT4H"\nthen_room = "PT30M"',
            ("T1", "takes PT3H, then_room PT20M", "takes PT4H, then_room PT30M", Kind.LONGER),
        ),
        (
            'takes = "PT3H"\nthen_room = "PT20M"',
            'takes = "PT4H"\nthen_room = "PT10M"',
            ("T1", "takes PT3H, then_room PT20M", "takes PT4H, then_room PT10M", Kind.CHANGED),
        ),
        (
            "high_c = 21\nlow_f = 48\nhigh_f = 70",
            "high_c = 20\nlow_f = 48\nhigh_f = 68",
            ("S3", "high_c 21, high_f 70", "high_c 20, high_f 68", Kind.CHANGED),
        ),
        (
            'allows = "PT10H"',
            'after_open = "stops"\nallows = "PT10H"',
            ("C2", None, "after_open stops", Kind.CHANGED),
        ),
        (
            "An open vial has",
            "Each open vial has",
            (
                "C4",
                "An open vial has {clocks.open.allows}.",
                "Each open vial has {clocks.open.allows}.",
                Kind.TEXT,
            ),
        ),
        (
            'named_gap_above = "thawing"',
            'named_gap_above = "thaw"',
            ("S1", "named_gap_above thawing", "named_gap_above thaw", Kind.CHANGED),
        ),
    ],
)
def test_each_item_that_changed_is_named_with_its_way(old, new, change):
    assert _shown(changed((old, new))) == [change]


def test_the_same_file_changes_nothing():
    assert _shown(PROTOCOL.encode()) == []
    assert _briefed(PROTOCOL.encode()) == {}


def test_heading_and_comments_change_no_item():
    raw = changed(
        ("version = 2", "version = 3"),
        ("2021-06-01", "2021-06-02"),
        ("# ", "# "),
        protocol="# a\n" + PROTOCOL,
    )

    assert _shown(raw) == []


def test_moving_a_row_changes_nothing():
    row = '[[needles]]\nitem = "N2"\nshortest_in = 1\nlongest_in = 1\nsource = "tale"\n\n'
    after = PROTOCOL.replace("[[lesson]]", row + "[[lesson]]")
    before = PROTOCOL.replace("[[needles]]", row + "[[needles]]")

    found = changes(*(examined(text.encode()).leaves for text in (before, after)))

    assert found == ()


def test_a_limit_that_is_gone_and_one_that_is_new():
    assert _shown(without("[transport.trips]")) == [("T4", "2", None, Kind.REMOVED)]

    added = PROTOCOL + '\n[punctures]\nitem = "D5"\nmost = 12\nsource = "tale"\n'
    assert _shown(added.encode()) == [("D5", None, "12", Kind.ADDED)]


def test_a_new_source_alone_is_said_and_briefs_nobody():
    raw = changed(('allows = "PT5H"\nsource = "tale"', 'allows = "PT5H"\nsource = "tail"'))
    raw += b'\n[sources.tail]\nkind = "common practice"\n'

    assert _shown(raw) == [("C4", "source tale", "source tail", Kind.TEXT)]
    assert _briefed(raw) == {}


def test_a_source_that_is_worded_anew_belongs_to_no_item():
    raw = changed(
        ('kind = "invented for the demo"', 'kind = "invented for the demo"\nnote = "x"')
    )

    assert [(c.item, c.kind) for c in _changes(raw)] == [(None, Kind.TEXT)]
    assert _briefed(raw) == {}


def test_those_who_work_by_an_item_are_briefed_again():
    raw = changed(
        ('allows = "PT5H"', 'allows = "PT4H"'), ("shortest_in = 0.75", "shortest_in = 1")
    )

    assert _briefed(raw) == {
        Role.PREPARER: ("C4",),
        Role.VACCINATOR: ("C4", "N1"),
        Role.RUNNER: ("C4",),
        Role.VACCINE_COORDINATOR: ("C4",),
        Role.TRAINER: ("C4", "N1"),
    }


def test_a_lesson_that_is_worded_anew_briefs_the_trainer():
    assert _briefed(changed(("An open vial has", "Each open vial has"))) == {
        Role.TRAINER: ("C4",)
    }


def test_a_label_belongs_to_no_item():
    label = '\n[labels.held]\nsays.en = "HELD"\n'

    assert _shown((PROTOCOL + label).encode()) == [(None, None, "HELD", Kind.ADDED)]


def test_a_lesson_about_nothing_is_kept_apart():
    lesson = '\n[[lesson]]\nabout = []\nsays.en = "Wash your hands."\n'

    assert _shown((PROTOCOL + lesson).encode()) == [
        (None, None, "Wash your hands.", Kind.ADDED)
    ]


def test_a_way_of_carrying_that_is_no_longer_allowed_is_named():
    assert _shown(changed(('allows = "PT4H"\n', ""))) == [("T6", "PT4H", None, Kind.CHANGED)]


def test_a_lesson_about_what_has_no_item_belongs_to_none():
    lesson = '\n[[lesson]]\nabout = ["protocol"]\nsays.en = "Read it all."\n'

    assert [change.item for change in _changes((PROTOCOL + lesson).encode())] == [None]


def test_moving_a_lesson_changes_nothing():
    lesson = '[[lesson]]\nabout = ["thaw.room"]\nsays.en = "Leave it alone."\n\n'
    after = PROTOCOL.replace("[sources.tale]", lesson + "[sources.tale]")
    before = PROTOCOL.replace("[[lesson]]", lesson + "[[lesson]]")

    assert changes(*(examined(text.encode()).leaves for text in (before, after))) == ()
