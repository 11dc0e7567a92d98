"""What makes a rule file unusable although every key is there; all figures made up."""

import pytest
from tests.rules.made_up import PROTOCOL, changed, without

from thawline.rules.reading import examined


def _faults(raw):
    return [(fault.code, fault.key) for fault in examined(raw).faults]


def test_the_made_up_protocol_hangs_together():
    assert _faults(PROTOCOL.encode()) == []


@pytest.mark.parametrize(
    ("old", "new", "code", "key"),
    [
        (
            'allows = "PT5H"\nsource = "tale"',
            'allows = "PT5H"\nsource = "hearsay"',
            "missing-source",
            "clocks.open.source",
        ),
        ('["room", "open"]', '["room", "opened"]', "unknown-clock", "caps.room_total.counts.1"),
        ('item = "C4"', 'item = "C2"', "missing-item", "clocks.open.item"),
        ('item = "C4"', 'item = "c4"', "missing-item", "clocks.open.item"),
        ('item = "C4"', 'item = "four"', "missing-item", "clocks.open.item"),
        ('item = "C4"', 'item = ""', "missing-item", "clocks.open.item"),
        ('kind = "invented', 'kind = "rumoured', "wrong-value", "sources.tale.kind"),
        ("{clocks.open.allows}", "{clocks.opened.allows}", "unknown-key", "lesson.0.says.en"),
        ("{clocks.open.allows}", "{use_by}", "unknown-key", "lesson.0.says.en"),
        (
            'about = ["clocks.open"]',
            'about = ["clocks.opened"]',
            "unknown-key",
            "lesson.0.about.0",
        ),
        ('starts_on = "open"', 'starts_on = "to-table"', "missing-item", "clocks"),
        ('stops_on = "to-fridge"\n', "", "missing-item", "clocks.room.stops_on"),
        (
            'starts_on = "open"\n',
            'starts_on = "open"\nstops_on = "to-fridge"\n',
            "wrong-value",
            "clocks.open.stops_on",
        ),
        (
            'starts_on = "leaves-frozen"\n',
            'starts_on = "leaves-frozen"\nafter_open = "runs"\n',
            "wrong-value",
            "clocks.chilled.after_open",
        ),
    ],
)
def test_each_loose_end_has_its_code_and_key(old, new, code, key):
    assert (code, key) in _faults(changed((old, new)))


@pytest.mark.parametrize("band", ["frozen", "refrigerator", "room"])
def test_a_protocol_without_a_band_it_needs_is_unusable(band):
    assert ("missing-item", f"bands.{band}") in _faults(without(f"[bands.{band}]"))


@pytest.mark.parametrize("clock", ["chilled", "room", "open"])
def test_a_protocol_that_leaves_a_time_unlimited_is_unusable(clock):
    assert ("missing-item", "clocks") in _faults(without(f"[clocks.{clock}]"))


@pytest.mark.parametrize(
    ("missing", "key"),
    [
        ('author = "A"\n', "sources.print.author"),
        ('title = "T"\n', "sources.print.title"),
        ("read_on = 2026-11-25\n", "sources.print.read_on"),
        ("year = 2021\n", "sources.print.year"),
    ],
)
def test_a_published_source_says_who_what_when_and_when_read(missing, key):
    source = (
        '\n[sources.print]\nkind = "published"\nauthor = "A"\ntitle = "T"\nyear = 2021\n'
        "read_on = 2026-11-25\n"
    )

    assert _faults((PROTOCOL + source).encode()) == []
    assert _faults((PROTOCOL + source.replace(missing, "")).encode()) == [("missing-item", key)]


def test_an_undated_page_needs_a_note_instead_of_a_year():
    source = (
        '\n[sources.print]\nkind = "published"\nauthor = "A"\ntitle = "T"\n'
        'note = "undated"\nread_on = 2026-11-25\n'
    )

    assert _faults((PROTOCOL + source).encode()) == []


def test_an_alarm_for_a_band_that_there_is_not_is_a_fault():
    alarm = (
        '\n[alarms.cellar]\nitem = "A1"\nband = "cellar"\ndelay = "PT0M"\n'
        'dead_band_c = 0\nsource = "tale"\n'
    )

    assert _faults((PROTOCOL + alarm).encode()) == [("unknown-key", "alarms.cellar.band")]
    assert _faults((PROTOCOL + alarm.replace('"cellar"', '"room"')).encode()) == []


def test_a_label_may_name_what_is_known_only_when_it_is_printed():
    label = '\n[labels.flag]\nsays.en = "{vial} use by {use_by}"\n'

    assert _faults((PROTOCOL + label).encode()) == []
    assert _faults((PROTOCOL + label.replace("use_by}", "weather}")).encode()) == [
        ("unknown-key", "labels.flag.says.en")
    ]


def test_a_cap_over_clocks_in_a_file_that_has_none_says_so():
    raw = PROTOCOL.encode()
    for clock in ("chilled", "room", "open"):
        raw = without(f"[clocks.{clock}]", raw.decode())

    advice = {fault.advice for fault in examined(raw).faults if fault.code == "unknown-clock"}

    assert advice == {"known here: none"}


def test_a_lesson_may_be_about_a_whole_table_of_tables():
    assert _faults(changed(('about = ["clocks.open"]', 'about = ["thaw"]'))) == []


@pytest.mark.parametrize(
    ("old", "new", "key"),
    [
        ("format = 1\n", "", "format"),
        ("version = 2\n", "", "protocol.version"),
        ('kind = "invented for the demo"', 'note = "a tale"', "sources.tale.kind"),
    ],
)
def test_what_is_not_there_is_missing_and_not_wrong_as_well(old, new, key):
    assert _faults(changed((old, new))) == [("missing-item", key)]


def test_a_band_that_is_missing_says_what_nobody_could_say():
    (fault,) = [f for f in examined(without("[bands.room]")).faults if f.key == "bands.room"]

    assert fault.says == (
        "missing: [bands.room]; nobody could say when a table is too warm or too cold"
    )
    assert fault.advice == "add the band, with its source"


def test_an_alarm_for_a_strange_band_is_told_the_known_ones():
    alarm = (
        '\n[alarms.cellar]\nitem = "A1"\nband = "cellar"\ndelay = "PT0M"\n'
        'dead_band_c = 0\nsource = "tale"\n'
    )

    (fault,) = examined((PROTOCOL + alarm).encode()).faults

    assert fault.says == "alarms.cellar.band names 'cellar', which [bands] does not have"
    assert fault.advice == "known here: frozen, refrigerator, room"
