"""Which bytes are looked at as a rule file at all, and on which line each key stands."""

import time

import pytest

from thawline.base.errors import RuleError
from thawline.rules.text import MOST_BYTES, read_text


def _refusal(raw):
    with pytest.raises(RuleError) as refused:
        read_text(raw)
    return refused.value


def test_a_byte_order_mark_and_windows_line_ends_change_nothing():
    plain = read_text(b'a = "x"\nb = "y"\n')

    assert read_text(b'\xef\xbb\xbfa = "x"\r\nb = "y"\r\n') == plain


def test_a_byte_that_is_not_utf_8_is_named_with_its_line():
    refused = _refusal(b'a = "x"\nb = "\xff"\n')

    assert (refused.line, "0xff" in refused.says) == (2, True)


def test_a_file_may_have_its_full_size_and_not_a_byte_more():
    full = b"#" * (MOST_BYTES - 1) + b"\n"

    assert read_text(full).tree == {}
    assert "262,145 bytes" in _refusal(full + b"\n").says


@pytest.mark.parametrize(
    "raw",
    [
        b"a = " + b"[" * 100_000,
        b"a = " + b"{b = " * 50_000,
        b"[" + b"a." * 9 + b"a]\n",
        b"a.a.a.a.a.a.a.a.a = 1\n",
        b'"a"."a"."a"."a"."a"."a"."a"."a"."a" = 1\n',
        b"x" * 10_000_000,
        b'"""' * 80_000,
        b"a = " + b"9" * 100_000,
        b"a = 1e99999999999999999999",
        b"a = [1, 2",
        b"a = 1\na = 2\n",
        b"= 1",
        b'a = "\\q"',
        b"d = 2021-13-45",
    ],
    ids=[
        "deep arrays", "deep tables", "deep header", "deep key", "deep quoted key",
        "one line of 10 MB", "open quotes", "endless number", "endless exponent", "open array",
        "key twice", "no key", "bad escape", "bad date",
    ],
)  # fmt: skip
def test_what_is_no_rule_file_is_refused_at_once(raw):
    began = time.monotonic()

    with pytest.raises(RuleError):
        read_text(raw)

    assert time.monotonic() - began < 1


def test_depth_eight_is_read_and_depth_nine_is_not():
    assert read_text(b"a = [[[[[[[[1]]]]]]]]").tree
    assert read_text(b"a.b.c.d.e.f.g.h = 1").lines == {"a.b.c.d.e.f.g.h": 1}
    assert _refusal(b"a = 1\nb = [[[[[[[[[1]]]]]]]]]").line == 2


@pytest.mark.parametrize(
    "harmless",
    [
        b"# [[[[[[[[[[[[",
        b'a = "[[[[[[[[[[[["',
        b"a = '{{{{{{{{{{{{'",
        b'a = """\n[[[[[[[[[[[[\n"""',
    ],
)
def test_brackets_in_comments_and_texts_are_not_depth(harmless):
    assert read_text(harmless).lines.keys() <= {"a"}


def test_a_fault_of_the_toml_is_placed():
    refused = _refusal(b"a = 1\nb = \nc = 3\n")

    assert refused.line == 2
    assert refused.says == "line 2: not TOML: Invalid value"


def test_each_key_has_the_line_it_stands_on():
    text = read_text(
        b"top = 1\n"
        b"[a.'b']\n"
        b"x = 1\n"
        b's = """\n[not.a.header]\ny = 2\n"""\n'
        b"says.en = 'hello'\n"
        b"[[list]]\n"
        b"z = 1\n"
        b"[[ list ]]\n"
        b"z = 2\n"
    )

    assert text.lines == {
        "top": 1, "a.b": 2, "a.b.x": 3, "a.b.s": 4, "a.b.says.en": 8,
        "list": 11, "list.0": 9, "list.0.z": 10, "list.1": 11, "list.1.z": 12,
    }  # fmt: skip


def test_a_key_without_a_line_has_that_of_the_table_around_it():
    text = read_text(b"[a]\nb = { c = 1 }\n")

    assert [text.line(key) for key in ("a.b.c", "a.missing.x", "elsewhere")] == [2, 1, None]
