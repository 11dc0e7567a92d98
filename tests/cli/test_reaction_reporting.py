"""
By when a reaction is to be reported, and what becomes of a note that was wrong.

Deadlines are each site's own: none is shipped, and none is shown where the site says none.
Correction is the journal's, as for every entry.
"""

from tests.cli.test_reaction_notes import BY, TO, WHO, _configure, _noted, clinic

__all__ = ["clinic"]
SPANLESS = TO.replace("within_h = 24\n", "")


def test_the_alert_names_who_is_told_and_the_sites_own_hours(clinic):
    _configure(clinic, TO)
    says = _noted(clinic)[1]["alerts"][-1]["says"]

    assert "to Upper Velleny Health Unit, within 24 h, set by this site" in says


def test_where_the_site_sets_no_hours_the_alert_says_so(clinic):
    _configure(clinic, SPANLESS)
    says = _noted(clinic)[1]["alerts"][-1]["says"]

    assert "Upper Velleny Health Unit, no time is set here" in says


def test_a_note_undone_in_the_journal_is_counted_no_more(clinic):
    number = str(_noted(clinic)[1]["data"]["seq"])
    clinic.run("journal", "undo", number, *BY, "--why", "another person")
    words = ["reaction", "count", "anaphylaxis", "--rate", "watched"]

    assert clinic.ask("reaction", "report")[1]["data"]["notes"] == []
    assert [row["seen"] for row in clinic.ask(*words)[1]["data"]["groups"]] == [0]


def test_a_note_corrected_in_the_journal_counts_as_the_other_reaction(clinic):
    number = str(_noted(clinic)[1]["data"]["seq"])
    done = clinic.ask(
        "journal", "correct", number, "--set", "what=faint", *BY, "--why", "read wrongly"
    )

    assert done[0] == 0
    assert clinic.ask("reaction", "report")[1]["data"]["notes"][0]["what"] == "faint"
    assert WHO in clinic.run("reaction", "report")[1]
