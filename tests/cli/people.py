"""Three people of Harrowmint with a place on the Tuesday, and an open vial at a chair."""

import json

from thawline.cli import main

ADA, BEN, CLEO = "DEMO-000001", "DEMO-000002", "DEMO-000003"
CHAIR = "chair-3"
SCREENED = ("--screened-by", "Sorrel Kettlewick", "--screening", "give-15")
EVERYBODY = """\
person,name,birth date,date,time,dose,phone,language
DEMO-000001,Ada Marlow,1950-02-13,2026-02-03,09:00,1,555-0101,en
DEMO-000002,Ben Marlow,1951-02-23,2026-02-03,09:10,1,555-0102,es
DEMO-000003,Cleo Sedge,1952-02-17,2026-02-03,09:20,1,,
"""
BIRTHS = (
    (ADA, "Ada Marlow", "1950-02-13"),
    (BEN, "Ben Marlow", "1951-02-23"),
    (CLEO, "Cleo Sedge", "1952-02-17"),
)


def at_the_chair(clinic, folder, *, doses: int = 3):
    """Return the clinic with its people booked, a vial open since 07:00 and doses drawn."""
    book = folder / "booked.csv"
    book.write_text(EVERYBODY)
    clinic.run("booking", "load", str(book), "--by", "Rowan Thistle")
    for person, name, born in BIRTHS:
        met = ("--name", name, "--born", born, "--at", "06:00", "--by", "Rowan Thistle")
        clinic.run("person", "meet", person, *met)
        said = ("--edition", "2026-01-15", "--at", "06:00", "--by", "Rowan Thistle")
        clinic.run("person", "consent", person, "yes", *said)
    clinic.vial, clinic.closed = clinic.ready(2)
    clinic.run("vial", "open", clinic.vial, "--at", "07:00", "--by", "Hazel Rainmoor")
    clinic.clock("14:00")
    draw = ("vial", "draw", clinic.vial, "--doses", str(doses), "--station", CHAIR)
    _, answer = clinic.ask(*draw, "--at", "07:10", "--by", "Hazel Rainmoor")
    clinic.syringes = answer["data"]["record"]["syringes"]
    return clinic


def answered(capsys, *words: str) -> tuple[int, dict]:
    """Return the exit code and the JSON of a command that needs no site."""
    capsys.readouterr()
    code = main([*words, "--json"])
    return code, json.loads(capsys.readouterr().out)
