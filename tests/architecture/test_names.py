"""
Names say what a thing is, in the trade's words, and sound like no other product.

The banned parts are those of docs/naming.md.
"""

import re

from tests.architecture.tree import PACKAGE, ROOT, SOURCE, classes, functions, place, written

VAGUE = re.compile(
    r"(^|_)(utils?|helpers?|managers?|handlers?|processors?|misc|common|stuff|wrapper|"
    r"process|perform|do)(_|$)"
)
NO_NOUN_FOUND = {"models", "services", "utils"}
VAGUE_IN_CLASSES = re.compile(
    r"(Util|Helper|Manager|Handler|Processor|Service|Common|Misc|Data|Info|Item|Object|Do|"
    r"Perform|Process|Handle|Factory|Wrapper)s?"
)
FIELD_WORDS = re.compile("ServiceTime")  # queueing's own word, in the glossary
FIRST = [
    "vax",
    "vacc",
    "immun",
    "immuni",
    "jab",
    "shot",
    "dose",
    "temp",
    "cold",
    "clinic",
    "safe",
]
SECOND = [
    *("track", "tracker", "trak", "trac", "safe", "flow", "hub", "link", "connect"),
    *("pass", "watch", "finder", "trace"),
]
JOINED = re.compile(
    rf"(?<![a-z])({'|'.join(FIRST)})[-_ ]?({'|'.join(SECOND)})s?(?![a-z])", re.IGNORECASE
)
CAPITALS = re.compile(
    rf"({'|'.join(FIRST).title()})({'|'.join(SECOND).title()})s?(?![a-z])"
)  # also inside a longer name


def _sounds_joined(text: str) -> str | None:
    found = JOINED.search(text) or CAPITALS.search(text)
    return found and found[0]


def _is_vague(class_name: str) -> bool:
    words = re.findall(r"[A-Z]+(?![a-z])|[A-Z][a-z]*", FIELD_WORDS.sub("", class_name))
    return any(VAGUE_IN_CLASSES.fullmatch(word) for word in words)


def test_module_and_folder_names_say_what_is_inside():
    stems = [(p, p.stem) for p in SOURCE] + [(p.parent, p.parent.name) for p in SOURCE]
    vague = {
        str(p.relative_to(ROOT))
        for p, stem in stems
        if VAGUE.search(stem) or (stem in NO_NOUN_FOUND and PACKAGE / "web" not in p.parents)
    }

    assert not vague


def test_function_names_say_what_they_give():
    vague = [place(p, f) for p in SOURCE for f in functions(p) if VAGUE.search(f.name)]

    assert not vague


def test_class_names_are_nouns_of_the_trade():
    vague = [place(p, c) for p in SOURCE for c in classes(p) if _is_vague(c.name)]

    assert not vague


def test_no_name_or_text_sounds_like_another_product():
    joined = {
        f"{path.relative_to(ROOT)}: {found}"
        for path in written()
        for text in (path.stem, path.read_text(encoding="utf-8", errors="replace"))
        if (found := _sounds_joined(text))
    }

    assert not joined


def test_a_joined_name_is_noticed_in_every_spelling():
    spellings = ["-", "_", " ", ""]
    names = [f"dose{between}trace" for between in spellings] + ["My" + "Shot" + "Hubs"]

    assert all(_sounds_joined(name) for name in [*names, "COLD" + "PASS", "cold" + " trace"])


def test_plain_separate_words_are_no_joined_name():
    plain = [
        "cold store",
        "cold graph",
        "cold follow",
        "dose given",
        "DoseGiven",
        "safely passed",
        "temperature",
        "two passes",
    ]

    assert not [text for text in plain if _sounds_joined(text)]
