"""
Names of stations, typed at the door or scanned from a card: table 2, Table 2, TABLE  2.

They are kept as they were typed and compared as they are meant.
"""


def same_station(one: str, other: str) -> bool:
    """Say whether two names are of one station; capitals and spaces make no difference."""
    return _plain(one) == _plain(other)


def _plain(name: str) -> str:
    return " ".join(name.casefold().split())
