"""
What each answer leads to, cell by cell, typed from the project's rules and not from its files.

Sources: the screening table of clinical check values, section 2.2 (columns of field practice,
of the national text of early 2021 and of later guidance), and the rules from practice, point 5,
which settle the cells that the table leaves open, "not sure", an unknown date and Q22, Q23.
Q24 is the half of Q3 in later guidance that is not severe: "Q3 non-severe refer".
"""

from datetime import date, timedelta

from thawline.adapters import rule_files

STRICTEST_FIRST = (
    *("contraindicated", "refer", "not-given", "not-today"),
    *("give-30", "give-15"),
)

# item: yes in the field, yes nationally, yes later; not sure in the field, nationally, later.
_TABLE = """
Q1   contraindicated contraindicated contraindicated   refer refer refer
Q2   refer           contraindicated refer             refer refer refer
Q3   contraindicated contraindicated contraindicated   refer refer refer
Q4   refer           refer           give-30           refer refer refer
Q5   contraindicated give-30         give-30           refer refer refer
Q6   refer           give-30         give-30           refer refer refer
Q7   give-15         give-15         give-15           give-15 give-15 give-15
Q8   refer           give-15         give-15           refer give-15 give-15
Q9   refer           give-15         give-15           refer give-15 give-15
Q10  not-today       not-today       not-today         not-today not-today not-today
Q11  give-15         give-15         give-15           give-15 give-15 give-15
Q12  not-today       not-today       not-today         not-today not-today not-today
Q13  refer           refer           give-15           refer refer give-15
Q14  refer           refer           give-15           refer refer give-15
Q15  not-given       not-given       not-given         refer refer refer
Q16  give-15         give-15         give-15           give-15 give-15 give-15
Q17  refer           refer           refer             refer refer refer
Q18  refer           refer           refer             refer refer refer
Q19  not-given       not-given       not-given         refer refer refer
Q20  give-15         give-15         give-15           give-15 give-15 give-15
Q21  refer           refer           refer             refer refer refer
Q22  refer           refer           refer             refer refer refer
Q23  give-15         give-15         give-15           give-15 give-15 give-15
Q24  -               -               refer             - - refer
"""
# A yes without its day to a question that waits is an unknown date, which is referred.
WAITS_DAYS = {
    "field-2021": {"Q13": 90, "Q14": 14, "Q17": 28},
    "national-2021": {"Q13": 90, "Q14": 14, "Q17": 28},
    "later-2022": {"Q17": 28},
}
RULE_SETS = tuple(WAITS_DAYS)
TODAY = date(2022, 3, 1)
LONG_AGO, YESTERDAY, A_WEEK_AGO = (TODAY - timedelta(days) for days in (400, 1, 7))
ANSWERS = ("yes", "no", "not-sure", *(d.isoformat() for d in (LONG_AGO, A_WEEK_AGO, YESTERDAY)))


def cells(rules: str) -> dict[str, tuple[str, str]]:
    """Return what yes and not sure lead to in a rule set, by item."""
    column = RULE_SETS.index(rules)
    rows = [line.split() for line in _TABLE.strip().splitlines()]
    found = {item: (outcomes[column], outcomes[column + 3]) for item, *outcomes in rows}
    return {item: pair for item, pair in found.items() if pair[0] != "-"}


def expected(rules: str, item: str, said: str) -> tuple[str, date | None]:
    """Return the outcome of one answer by the table, and the day a wait is over."""
    yes, unsure = cells(rules)[item]
    if said == "no":
        return "give-15", None
    if said == "not-sure":
        return unsure, None
    wait = WAITS_DAYS[rules].get(item)
    if said == "yes" or wait is None:
        return yes, None
    over = date.fromisoformat(said) + timedelta(wait)
    return ("not-today", over) if over > TODAY else ("give-15", None)


def both(one: tuple[str, date | None], other: tuple[str, date | None]):
    """Return the stricter of two outcomes, and the later day if the outcome is not today."""
    outcome = min(one[0], other[0], key=STRICTEST_FIRST.index)
    days = [day for day in (one[1], other[1]) if day]
    return outcome, max(days, default=None) if outcome == "not-today" else None


def questions(rules: str):
    """Return the questions of a shipped rule set."""
    return rule_files.load_questions(rules).asked
