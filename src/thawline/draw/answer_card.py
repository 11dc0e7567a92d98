"""
The screening card as plain text: English and Spanish, and an answer to point to.

Side by side within 80 characters; or one below the other within 40, to be printed twice as
large for somebody who sees badly.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from textwrap import wrap

WIDE, LARGE = 80, 40
_GAP = 4
_COLUMN = (WIDE - _GAP) // 2

# Five rows a letter, so that an answer is seen and pointed to from an arm's length.
_LETTERS = {
    "Y": ("#   #", " # # ", "  #  ", "  #  ", "  #  "),
    "E": ("#####", "#    ", "#### ", "#    ", "#####"),
    "S": (" ####", "#    ", " ### ", "    #", "#### "),
    "N": ("#   #", "##  #", "# # #", "#  ##", "#   #"),
    "O": (" ### ", "#   #", "#   #", "#   #", " ### "),
    "Í": ("#####", "  #  ", "  #  ", "  #  ", "#####"),
    "?": (" ### ", "#   #", "   # ", "     ", "  #  "),
}
_ROWS = range(5)
_ANSWERS = (
    ("YES", "SÍ", "Yes", "Sí"),
    ("NO", "NO", "No", "No"),
    ("?", "?", "Not sure", "No sé"),
)
_BIG_COLUMN = 20
_HOW = (
    ("Point to your answer.", "Señale su respuesta."),
    (
        '"Not sure" is an answer. Point in silence if you like.',
        "«No sé» es una respuesta. Puede señalar en silencio.",
    ),
)


@dataclass(frozen=True, slots=True)
class CardLine:
    """One question in two languages; `es` None where nobody translated it."""

    item: str
    en: str
    es: str | None
    wants_day: bool = False


def answer_card(questions: Sequence[CardLine], foot: str, *, large: bool = False) -> str:
    """Return the card: how it is used, the three answers, then a block for each question."""
    pair, width = (_below, LARGE) if large else (_beside, WIDE)
    point, unsure = (pair(english, spanish) for english, spanish in _HOW)
    blocks = [
        f"{point}\n\n{_answers(width)}\n\n{unsure}",
        *(
            _question(f"{number}/{len(questions)}", line, pair, width)
            for number, line in enumerate(questions, 1)
        ),
        "\n".join(wrap(foot, width)),
    ]
    return f"\n{'-' * width}\n".join(blocks)


_DAY = ("If yes: on which day?", "Si es sí: ¿qué día?")
_WRITTEN = "_" * 20


def _question(place: str, line: CardLine, pair: Callable[[str, str], str], width: int) -> str:
    head = f"{place}".ljust(width - len(line.item)) + line.item
    day = f"\n\n{pair(*_DAY)}\n\n{_WRITTEN}" if line.wants_day else ""
    return f"{head}\n\n{pair(line.en, line.es or '?')}\n\n{_boxes(width)}{day}"


def _boxes(width: int) -> str:
    boxes = [f"[ {en} / {es} ]" for _, _, en, es in _ANSWERS]
    if width < WIDE:
        return "\n".join(boxes)
    return (" " * _GAP * 2).join(boxes)


def _answers(width: int) -> str:
    """Return the three answers in letters five rows high, each with its words below."""
    indent = " " * ((width - 2 * _BIG_COLUMN) // 2)
    return "\n\n".join(
        "\n".join(f"{indent}{row}".rstrip() for row in _big(english, spanish, words))
        for english, spanish, *words in _ANSWERS
    )


def _big(english: str, spanish: str, words: Sequence[str]) -> list[str]:
    rows = [
        "  ".join(_LETTERS[letter][row] for letter in english).ljust(_BIG_COLUMN)
        + "  ".join(_LETTERS[letter][row] for letter in spanish)
        for row in _ROWS
    ]
    return [*rows, words[0].ljust(_BIG_COLUMN) + words[1]]


def _below(english: str, spanish: str) -> str:
    return "\n".join([*wrap(english, LARGE), "", *wrap(spanish, LARGE)])


def _beside(english: str, spanish: str) -> str:
    left, right = wrap(english, _COLUMN), wrap(spanish, _COLUMN)
    rows = max(len(left), len(right))
    left += [""] * (rows - len(left))
    right += [""] * (rows - len(right))
    return "\n".join(
        f"{one:<{_COLUMN + _GAP}}{other}".rstrip()
        for one, other in zip(left, right, strict=True)
    )


@dataclass(frozen=True, slots=True)
class Slip:
    """What a referral slip says: codes only, for it is carried through a queue."""

    site: str
    person: str
    asked_at: str
    asked_by: str
    items: Sequence[str]


_SLIP = """\
{site:<40}{asked_at:>40}

TO THE CLINICAL LEAD                    A LA DIRECCIÓN CLÍNICA

Person / Persona      {person}
Items / Preguntas     {items}
Asked by / Preguntó   {asked_by}

Please wait for the clinical lead       Espere a la dirección clínica;
to talk with you before we go on.       hablará con usted antes de seguir.
{rule}
Clinical lead writes:
[ ] Give, stay 30 min     [ ] Not today, from ____________     [ ] None here

Name ______________________________     Time ____________
{rule}
Counts today only."""


def referral_slip(slip: Slip) -> str:
    """Return the slip that a person takes to the clinical lead, within 80 characters."""
    return _SLIP.format(
        site=slip.site,
        asked_at=slip.asked_at,
        person=slip.person,
        items=" ".join(slip.items),
        asked_by=slip.asked_by,
        rule="-" * WIDE,
    )
