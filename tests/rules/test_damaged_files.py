"""
Damaged rule files: whatever was done to one, it is refused or said, never used in silence.

The files are the shipped ones, the damage is drawn at random.
"""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from thawline.adapters import rule_files
from thawline.base.errors import RuleError
from thawline.rules.audit import audit
from thawline.rules.both_units import in_both_units
from thawline.rules.published import read_published
from thawline.rules.reading import examined, read_protocol

PUBLISHED = read_published(rule_files.references())
WHOLE = rule_files.shipped("published-2022")
LINES = WHOLE.splitlines(keepends=True)
NEEDED = re.compile(
    rb"(item|source|allows|takes|then_room|stays|low_[cf]|high_[cf]|starts_on|stops_on|counts|"
    rb"earliest|grace_for_judging|late_after|may|most_vials|most_doses|(short|long)est_in|id|"
    rb"title|version|effective_from|kind|format|doses_per_vial|dose_volume_ml|read_on) ="
)
MEMORY = next(n for n, line in enumerate(LINES) if b"[sources.label" in line)
NEEDED_LINES = [
    number
    for number, line in enumerate(LINES)
    if NEEDED.match(line) and number != MEMORY + 2  # a title that nobody has in front of them
]
NUMBER = re.compile(rb"(?<== )-?\d+(?:\.\d+)?(?=[ ,\n])|(?<=P)\d+(?=D)|(?<=T)\d+(?=[HM])")
FIGURES = [
    match.span()
    for match in NUMBER.finditer(WHOLE)
    if not WHOLE[: match.start()]
    .rpartition(b"\n")[2]
    .startswith((b"year", b"format", b"version"))
]


def _said(raw):
    """Return what is said about a file: the refusal, or the codes of the audit."""
    try:
        found = examined(raw)
    except RuleError as error:
        return {error.says}
    in_both_units(found.leaves, PUBLISHED) if found.protocol else None
    return {slip.code for slip in audit(found, PUBLISHED)}


def _is_read(raw):
    try:
        return read_protocol(raw).raw == raw
    except RuleError:
        return False


def test_the_undamaged_file_has_nothing_to_be_said_about_it():
    assert _said(WHOLE) == set()


@given(
    st.lists(
        st.tuples(st.integers(0, len(WHOLE) - 1), st.integers(0, 40), st.binary(max_size=12)),
        min_size=1,
        max_size=4,
    )
)
def test_bytes_cut_out_and_put_in_anywhere_never_break_the_reader(damage):
    raw = WHOLE
    for place, length, put_in in damage:
        raw = raw[:place] + put_in + raw[place + length :]

    said = _said(raw)

    assert _is_read(raw) or said


@given(st.text(alphabet="[]{}\"=.#'\n a1-:TZ,", max_size=200))
def test_heaps_of_signs_are_refused_or_faulty(text):
    assert _said(text.encode())


@pytest.mark.parametrize("number", NEEDED_LINES, ids=lambda number: f"line {number + 1}")
def test_no_needed_line_can_be_lost_in_silence(number):
    raw = b"".join(LINES[:number] + LINES[number + 1 :])

    assert _said(raw)


@given(st.sampled_from(FIGURES), st.sampled_from([b"", b"1", b"9", b"37"]), st.booleans())
def test_no_figure_can_change_in_silence(span, digits, turned):
    start, end = span
    old = WHOLE[start:end]
    new = old.removeprefix(b"-") if turned and old.startswith(b"-") else old
    new = new + digits if digits else b"-" + new if new == old and turned else new
    if new == old:
        return

    assert _said(WHOLE[:start] + new + WHOLE[end:])
