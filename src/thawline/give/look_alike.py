"""
Lots that are mistaken for each other: the same but for one character or one swapped pair.

The differing characters are named, so that a person compares those and not the whole.
"""


def looks_like(lot: str, other: str) -> bool:
    """Say whether two different lots differ in one character, or in two swapped neighbours."""
    one, two = _plain(lot), _plain(other)
    if one == two or len(one) != len(two):
        return False
    apart = [place for place, pair in enumerate(zip(one, two, strict=True)) if len({*pair}) > 1]
    if len(apart) == 1:
        return True
    first, last = apart[0], apart[-1]
    neighbours = len(apart) == 2 and last == first + 1  # noqa: PLR2004
    return neighbours and (one[first], one[last]) == (two[last], two[first])


def apart(lot: str, other: str) -> tuple[str, str]:
    """Return two look-alikes with the characters that differ in brackets: ZZ-10[41]."""
    return _marked(_plain(lot), _plain(other)), _marked(_plain(other), _plain(lot))


def _plain(lot: str) -> str:
    return lot.strip().upper()


def _marked(lot: str, other: str) -> str:
    pairs = zip(lot, other, strict=True)
    marked = "".join(mine if mine == theirs else f"[{mine}]" for mine, theirs in pairs)
    return marked.replace("][", "")
