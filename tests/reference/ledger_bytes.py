"""
The ledger's bytes a second time, written from docs/reference/ledger-format.md alone.

Plain and slow; shares no line with `thawline.ledger`. Run as a program it writes the published
vectors, so that they never come from the code that they check.
"""

import hashlib
import json
import sys
from pathlib import Path

PUBLISHED = Path(__file__).parents[2] / "docs" / "reference" / "ledger-vectors.json"
_SHORT = {8: "\\b", 9: "\\t", 10: "\\n", 12: "\\f", 13: "\\r", 34: '\\"', 92: "\\\\"}

# RFC 8785, JSON Canonicalization Scheme, 2020, and the test data its authors publish with it
# (arrays, french, structures, simpleString, values, weird), read on 2026-11-25. Where a value
# does not fit our narrower form it is left out: fractions, and one key that is not composed.
RFC_8785 = {
    "arrays": [56, {"d": True, "10": None, "1": []}],
    "french": {
        "peach": "This sorting order",
        "p\u00e9ch\u00e9": "is wrong according to French",
        "p\u00eache": "but canonicalization MUST",
        "sin": "ingnore locale",
    },
    "structures": {
        "1": {"f": {"f": "hi", "F": 5}, "\n": 56},
        "10": {},
        "": "empty",
        "a": {},
        "111": [{}],
        "A": {},
    },
    "simpleString": "this is a test string 1235",
    "values": {
        "escaping": '\u20ac$\u000f\nA\'B"\\\\"/',
        "literals": [None, True, False],
    },
    "weird": {
        "\u20ac": "Euro Sign",
        "1": "One",
        "\u0080": "Control\u007f",
        "\U0001f602": "Smiley",
        "\u00f6": "Latin Small Letter O With Diaeresis",
        "</script>": "Browser Challenge",
    },
}
OURS = {
    "nothing": None,
    "true": True,
    "false": False,
    "zero": 0,
    "minus one": -1,
    "largest": 2**53 - 1,
    "smallest": -(2**53 - 1),
    "a dose in microlitres": 500,
    "an instant in milliseconds": 1770141600000,
    "a temperature in thousandths": -15000,
    "empty text": "",
    "empty list": [],
    "empty map": {},
    "a space": " ",
    "quotation mark": '"',
    "reverse solidus": "\\",
    "solidus": "/",
    "backspace": "\b",
    "tab": "\t",
    "line feed": "\n",
    "form feed": "\f",
    "carriage return": "\r",
    "nul": "\u0000",
    "unit separator": "\u001f",
    "delete": "\u007f",
    "line separator": "\u2028",
    "byte order mark": "\ufeff",
    "composed accent": "Vel\u00e9ny",
    "outside the first plane": "\U0001f9ca",
    "markup": "</script>&<b>",
    "keys by unit, not by character": {"\ufb00": 1, "\U00010000": 2},
    "capitals before small letters": {"b": 1, "B": 2, "a": 3, "A": 4},
    "digits as text": {"10": 1, "9": 2, "1": 3},
    "a key within another": {"ab": 1, "a": 2, "": 3},
    "maps in lists in maps": {"b": [{"d": 1, "c": [True, None]}], "a": {"z": 0, "y": {}}},
    "a list keeps its order": [3, 1, 2],
    "a vial moved": {
        "vials": ["HK47M", "CM62T"],
        "to": "fridge",
        "lot": "ZZ-1041",
        "expiry": "2026-08",
    },
}
REFUSED = {
    "a fraction": "0.5",
    "a whole number written as a fraction": "56.0",
    "too large": str(2**53),
    "too small": str(-(2**53)),
    "an exponent": "1e30",
    "not composed": '"\\u0065\\u0301"',
    "a key that is not composed": '{"\\ufb33": 1}',
    "half a character": '"\\ud800"',
}
SITE = "01890a5d-ac96-774b-bcce-b302099a8057"
ENTRIES = [
    (
        1,
        {"type": "ProtocolAdopted", "by": "rowan"},
        {"protocol_id": "example-10", "version": 2},
    ),
    (1, {"type": "ShipmentArrived", "by": "pat"}, {"lot": "ZZ-1041", "vials": 96}),
    (1, {"type": "VialMoved", "by": "pat"}, {"vials": ["HK47M"], "to": "fridge"}),
    (1, {"type": "VialMoved", "by": "pat"}, {"vials": ["HK47M"], "to": "table"}),
    (1, {"type": "VialPunctured", "by": "pat"}, {"vial": "HK47M"}),
    (1, {"type": "Refused", "by": "pat"}, {"codes": ["held"]}),
    (2, {"type": "EpochBegan", "by": "rowan"}, {"parent_seq": 6, "why": "laptop fell"}),
    (2, {"type": "Noted", "by": "pat"}, {"says": "Vel\u00e9ny: \U0001f9ca"}),
    (2, {"type": "Noted", "by": ""}, {}),
    (2, {}, {"says": "x" * 1000}),
]
STATEMENTS = [
    {"at_ms": 1770141600000, "counts": {"fact": 5, "refusal": 1}, "epoch": 1, "seq": 6},
    {"at_ms": 1770145200000, "counts": {"fact": 8, "refusal": 1}, "epoch": 2, "seq": 9},
]


def spelled(value: object) -> str:
    """Return canonical JSON, character by character."""
    if value is None or isinstance(value, bool):
        return {None: "null", True: "true", False: "false"}[value]
    if isinstance(value, int):
        return str(value)
    if isinstance(value, str):
        return '"' + "".join(map(_sign, value)) + '"'
    return _list(value) if isinstance(value, list) else _map(value)


def _list(value: list) -> str:
    return "[" + ",".join(map(spelled, value)) + "]"


def _map(value: dict) -> str:
    units = {key: [*key.encode("utf-16-be")] for key in value}
    pairs = (f"{spelled(key)}:{spelled(value[key])}" for key in sorted(value, key=units.get))
    return "{" + ",".join(pairs) + "}"


def _sign(sign: str) -> str:
    number = ord(sign)
    if number in _SHORT:
        return _SHORT[number]
    return f"\\u{number:04x}" if number < 32 else sign


def entry_hash(site: str, place: tuple[int, int], before: bytes, parts: tuple[bytes, bytes]):
    """Return the hash of an entry: place is epoch and number, parts are header and body."""
    epoch, seq = place
    told = hashlib.sha256(b"thawline/ev/1\x00")
    told.update(bytes.fromhex(site.replace("-", "")))
    told.update(epoch.to_bytes(4, "big") + seq.to_bytes(8, "big") + before)
    for part in parts:
        told.update(hashlib.sha256(part).digest())
    return told.digest()


def vectors() -> dict:
    """Return all published vectors."""
    entries, before = [], bytes(32)
    for seq, (epoch, header, body) in enumerate(ENTRIES, 1):
        parts = (spelled(header).encode(), spelled(body).encode())
        hashed = entry_hash(SITE, (epoch, seq), before, parts)
        entries.append(
            {
                "epoch": epoch,
                "seq": seq,
                "prev": before.hex(),
                "header": parts[0].decode(),
                "body": parts[1].decode(),
                "hash": hashed.hex(),
            }
        )
        before = hashed
    told = [
        {**each, "site": SITE, "hash": entries[each["seq"] - 1]["hash"]} for each in STATEMENTS
    ]
    return {
        "format": 1,
        "canonical": [
            *(_canonical(*each, "RFC 8785 test data") for each in RFC_8785.items()),
            *(_canonical(*each, "ours") for each in OURS.items()),
        ],
        "refused": [{"name": name, "json": text} for name, text in REFUSED.items()],
        "chain": {"site": SITE, "entries": entries},
        "heads": [_head(spelled(each).encode()) for each in told],
    }


def _head(statement: bytes) -> dict:
    signed = b"thawline/head/1\x00" + statement
    return {"statement": statement.decode(), "signed": signed.hex()}


def _canonical(name: str, value: object, source: str) -> dict:
    raw = spelled(value).encode()
    return {
        "name": name,
        "source": source,
        "value": value,
        "bytes": raw.hex(),
        "sha256": hashlib.sha256(raw).hexdigest(),
    }


if __name__ == "__main__":
    PUBLISHED.write_text(json.dumps(vectors(), indent=1) + "\n")
    sys.stdout.write(f"{PUBLISHED.name} written\n")
