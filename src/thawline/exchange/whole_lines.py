"""
The lines of a text that have an end, while somebody may still be writing the last one.

Half a line can hold half a number: "8" of "8.6" would be a wrong temperature, so it waits.
"""

_UTF_16_MARKS = {b"\xff\xfe": "utf-16-le", b"\xfe\xff": "utf-16-be"}
_ENDS = ("\n", "\r")


def whole_lines(content: bytes) -> bytes:
    """Return the bytes up to the last end of a line; an unfinished line is left out."""
    encoding = _UTF_16_MARKS.get(content[:2], "ascii")
    width = len("\n".encode(encoding))
    return content[: max(_after_last(content, end.encode(encoding), width) for end in _ENDS)]


def _after_last(content: bytes, end: bytes, width: int) -> int:
    """Return where the text goes on after the last end of a line, in whole characters."""
    at = content.rfind(end)
    while at > 0 and at % width:
        at = content.rfind(end, 0, at + width - 1)
    return 0 if at < 0 else at + width
