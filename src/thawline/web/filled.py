"""What was typed into the fields of an act, read as its form: named where it cannot be."""

import unicodedata
from collections.abc import Iterator, Mapping

import msgspec

from thawline.base.errors import RecordError
from thawline.web.acts import Form, PageAct

LONGEST = 2_000
"""Signs in one field: a long reason has a tenth of that, as our own demo does."""
LARGEST = 10_000_000
"""No count of doses, people or minutes at a site comes near it."""
_BREAKS = {"\t", "\n", "\r"}
_NO_TEXT = {"Cc", "Cs"}
"""Unicode's categories of control signs and of halves of signs."""
_SHOWN = 20


def read_form(act: PageAct, fields: Mapping[str, object]) -> Form:
    """Return the fields of an act as its form; RecordError names the field."""
    tidy = {name: _trimmed(value) for name, value in fields.items() if not _is_empty(value)}
    refuse_unreadable(act.name, tidy)
    try:
        return msgspec.convert(tidy, act.form, strict=False)
    except msgspec.ValidationError as error:
        raise RecordError(f"{act.name}: {error}", advice="look at what was typed") from error


def refuse_unreadable(about: str, fields: Mapping[str, object]) -> None:
    """Raise RecordError with the name of a field that holds what nobody can have typed."""
    for name, value in fields.items():
        for fault in _faults(value):
            raise RecordError(
                f"{about}: {_short(name)} {fault}", advice="look at what was typed"
            )


def _faults(value: object) -> Iterator[str]:
    if isinstance(value, str):
        yield from _faults_of_text(value)
    if isinstance(value, int) and not -LARGEST <= value <= LARGEST:
        yield f"is too large a number: {_short(value)}"


def _faults_of_text(text: str) -> Iterator[str]:
    if len(text) > LONGEST:
        yield f"is {len(text):,} signs long, and at most {LONGEST:,} are kept"
    odd = next((sign for sign in text if _is_no_text(sign)), "")
    if odd:
        yield f"has a sign in it that is no text: {odd!a}"


def _is_no_text(sign: str) -> bool:
    return unicodedata.category(sign) in _NO_TEXT and sign not in _BREAKS


def _is_empty(value: object) -> bool:
    return value is None or value == ""


def _trimmed(value: object) -> object:
    return value.strip() if isinstance(value, str) else value


def _short(value: object) -> str:
    text = ascii(value).strip("'")
    return text if len(text) <= _SHOWN else f"{text[:_SHOWN]}..."
