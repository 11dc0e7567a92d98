"""
The whole demo, built and closed: the page, the ledger behind it, and another seed.

What the page says is compared with the entries, counted here one by one.
"""

import io
import re
from collections import Counter
from contextlib import redirect_stdout
from datetime import timedelta
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from tests.cast import at

from thawline.adapters.wiring import open_site
from thawline.base.instants import from_ms
from thawline.cli import main
from thawline.cli.demo_tour import tour_data
from thawline.demo.building import build
from thawline.demo.district import REAL_ZONE
from thawline.demo.hall import SAME_CHAIR_S
from thawline.demo.second_doses import ask_a_day_early
from thawline.ledger import events as ev
from thawline.ledger.alert_events import AlertAnswered, AlertRaised
from thawline.ledger.observation_events import MomentStamped, PersonLeft
from thawline.ledger.person_events import PersonArrived
from thawline.ledger.screening_events import ScreeningAnswered
from thawline.observe.stay_fold import STAY
from thawline.person.fold import PERSON

ROOT = Path(__file__).parents[2]
MEMORY = Path("/dev/shm")  # noqa: S108  nothing here is about power cuts, and it is quicker


def _run(home, *words):
    page = io.StringIO()
    with redirect_stdout(page):
        code = main(["demo", "--home", str(home), *words])
    assert code == 0, page.getvalue()
    return page.getvalue()


@pytest.fixture(name="folder", scope="module")
def _folder():
    with TemporaryDirectory(dir=MEMORY if MEMORY.is_dir() else None) as folder:
        yield Path(folder)


@pytest.fixture(name="page", scope="module")
def _page(folder):
    return _run(folder / "demo")


@pytest.fixture(name="entries", scope="module")
def _entries(folder, page):  # noqa: ARG001  the page was built into the folder
    with open_site(folder / "demo", "harrowmint").ledger.view() as view:
        return list(view.entries())


def _events(entries, kind):
    return [entry.event for entry in entries if isinstance(entry.event, kind)]


def _number(page, pattern):
    return int(re.search(pattern, page).group(1).replace(",", ""))


def test_the_same_seed_gives_the_same_page_and_the_same_head(folder, page):
    assert _run(folder / "demo") == page


def test_the_page_fits_the_terminal_and_says_demo_at_both_ends(page):
    lines = page.splitlines()

    assert max(map(len, lines)) <= 100
    assert len(lines) <= 330
    assert "DEMO" in lines[0]
    assert "DEMO" in lines[-1]


QUOTED = re.compile(r"The demo prints:\n\n```text\n(.*?)\n```", re.DOTALL)


@pytest.mark.parametrize("name", ["thaw-plan", "last-vial", "replay", "reactions"])
def test_a_page_of_the_docs_quotes_what_the_demo_prints(page, name):
    (quoted,) = QUOTED.findall((ROOT / f"docs/background/{name}.md").read_text())
    told = "\n".join(line.removeprefix("   ") for line in page.splitlines())

    assert f"\n{quoted}\n" in told


def test_31_people_fainted_at_one_site_and_that_is_more_than_chance(folder, page):
    site = open_site(folder / "demo", "harrowmint")
    with site.ledger.view() as view:
        faints = sum(len(stay.faints) for _, stay in view.all(STAY))

    assert faints == 31  # the story of the demo
    assert re.search(r"harrowmint +31 of 5\.13 .*\*", page)
    assert "1 seen, 0.0555 expected" in page  # 225 x 16 / 64,900
    assert "oddmoor: 1 seen" in page.split("more than chance explains", 1)[1]


def test_every_dose_on_the_page_is_an_entry(page, entries):
    given = len(_events(entries, ev.DoseGiven))

    assert _number(page, r"([\d,]+) doses from \d\d:\d\d") == given
    assert _number(page, r"close +([\d,]+)") == given
    assert _number(page, r"([\d,]+) people are due") == given


def test_every_opened_vial_is_an_entry(page, entries):
    assert _number(page, r"from (\d+) vials") == len(_events(entries, ev.VialPunctured))


def test_doses_received_are_given_wasted_or_left(page, entries):
    spoiled = sum(e.doses for e in _spoiled(entries))
    received = sum(e.vials * e.doses_per_vial for e in _events(entries, ev.ShipmentArrived))
    received -= spoiled  # on Monday, before this day
    wasted = sum(e.doses for e in _events(entries, ev.DoseWasted | ev.VialDiscarded)) - spoiled
    given = len(_events(entries, ev.DoseGiven))
    row = page.split("missing  sent  left\n")[1].splitlines()[0].split()

    assert row == [
        str(n) for n in (received, 0, 0, given, wasted, 0, 0, received - given - wasted)
    ]


def _spoiled(entries):
    """The vials of Monday's night: discarded unopened, as the health department said."""
    return [e for e in _events(entries, ev.VialDiscarded) if e.cause == "held"]


def test_the_84_vials_of_the_freezer_are_held_in_the_night_and_discarded_in_the_morning(
    entries,
):
    hold, warmed = (_events(entries, kind)[0] for kind in (ev.VialHeld, ev.UnitWarmed))
    moved = [e for e in _events(entries, ev.VialMoved) if e.held]
    spoiled = _spoiled(entries)

    assert {carton.partition("|")[2] for carton in hold.cartons} == set(warmed.lots)
    assert sum(len(e.vials) for e in moved) == 84
    assert {e.vial for e in spoiled} == {vial for e in moved for vial in e.vials}
    assert {e.doses for e in spoiled} == {10}


def test_the_freezer_is_called_about_at_02_08_and_answered_in_the_second_place(page, entries):
    raised, answered = (_events(entries, kind)[0] for kind in (AlertRaised, AlertAnswered))
    night = page.split("the freezer warms in the night")[1]

    assert re.search(r"^ +02:08 \|\| Act: Freezer 2", night, re.MULTILINE)
    assert (raised.cause, raised.since_ms) == ("above", 1_770_019_380_000)  # 02:03 there
    assert re.search(r"Not answered by 02:18: you call", night)
    assert answered.takes


def test_a_thawed_vial_is_never_frozen_again(page, entries):
    assert "a thawed vial is never refrozen (item T1)" in page
    assert not [e for e in _events(entries, ev.VialMoved) if e.to == "freezer"]


def test_the_gap_at_tansy_ferry_is_at_least_55_min_at_most_2_h_50_min_for_46_vials(
    folder, page
):
    with open_site(folder / "demo", "tansy-ferry").ledger.view() as view:
        hold = _events(list(view.entries()), ev.VialHeld)[0]

    assert len(hold.vials) == 46
    assert "Time above 8 °C: at least 55 min, at most 2 h 50 min." in page
    assert "01:00 to 02:55" in page


def test_the_loggers_files_can_be_read_and_their_pictures_are_there(folder, page):  # noqa: ARG001
    cold = folder / "demo" / "cold-store-DEMO"
    files = sorted(path.name for path in cold.iterdir())
    asked = ["--band", "fridge", "--accuracy-c", "0.5", "--zone", "Etc/GMT+6", "--json"]
    out = io.StringIO()
    with redirect_stdout(out):
        main(["cold", "graph", str(cold / "tansy-ferry-fridge-2-DEMO.csv"), *asked])

    assert files == [
        "harrowmint-freezer-2-DEMO.csv",
        "harrowmint-freezer-2-DEMO.svg",
        "tansy-ferry-fridge-2-DEMO.csv",
        "tansy-ferry-fridge-2-DEMO.svg",
    ]
    assert "at least 55 min, at most 2 h 50 min" in out.getvalue()
    assert "DEMO" in (cold / files[3]).read_text()


def test_the_page_names_entries_and_head_of_the_ledger(page, entries):
    assert _number(page, r"Journal: ([\d,]+) entries") == len(entries)
    assert f"head {entries[-1].hash.hex()[:16]}" in page


def test_three_scans_are_refused_and_none_of_those_syringes_was_given(entries):
    checks = [each for each in _events(entries, ev.DoseChecked) if not each.may]
    given = {each.syringe for each in _events(entries, ev.DoseGiven)}
    codes = [code for each in checks for code in each.codes]
    held = {each.syringe for each in checks if "held" in each.codes}

    assert Counter(codes) == {"look-alike-lot": 1, "held": 2}
    assert not held & given


def test_the_hold_reaches_chairs_2_and_5(page, entries):
    hold = _events(entries, ev.VialHeld)[-1]
    reached = re.findall(rf"({hold.vials[0]}-\d\d)  at (chair \d|table \d)", page)

    assert [station for _, station in reached] == ["chair 2", "chair 5", "table 2"]


def test_the_close_out_names_chair_3_at_14_02_first_of_three_places(page):
    places = re.findall(r"^ +(\d)\. (.+?) \(about", page, re.MULTILINE)

    assert places == [("1", "chair 3, 14:02"), ("2", "chair 6, 17:50"), ("3", "table 3, 14:02")]


def test_the_dose_that_nobody_recorded_is_recorded_when_it_was_given(entries):
    late = [
        entry
        for entry in entries
        if isinstance(entry.event, ev.DoseGiven) and entry.recorded_at != entry.occurred.lo
    ]

    assert [entry.station for entry in late] == ["chair 3"]
    assert late[0].occurred.lo.isoformat().startswith("2026-02-03T20:02")


def test_the_day_is_closed_by_two_people_and_nothing_comes_after(entries):
    closed = entries[-1]

    assert isinstance(closed.event, ev.DayClosed)
    assert closed.by != closed.event.second


def test_everybody_asking_on_day_27_is_told_day_28(page):
    told = page.split("people ask for their second dose")[1]

    assert re.search(r"6\s+are\s+refused", told)
    assert re.search(r"2026-03-03", told)
    assert "6 of the 6 may have a place" in told


def test_900_second_doses_are_moved_off_the_snow_day_and_23_people_are_not_reachable(page):
    snow = " ".join(page.split("13. ")[1].split())

    assert snow.startswith("Tue 3 Mar 18:00: snow, 900 second doses leave Wed 4 Mar")
    assert "quillbeck: Sat 7 Mar 270, Mon 9 Mar 236; the earliest on day 31" in snow
    assert "23 with neither phone nor mail" in snow


def test_the_ledger_verifies_and_the_site_says_it_is_a_demo(folder, page):  # noqa: ARG001
    home = folder / "demo"
    for name in ("harrowmint", "tansy-ferry"):
        assert not open_site(home, name).ledger.verify(None).findings
        assert "demo = true" in (home / "sites" / name / "site.toml").read_text()


def test_at_lunch_it_is_the_chairs_that_are_short(page):
    lunch = " ".join(page.split("14. ")[1].split())

    assert "One preparer more: 0 min." in lunch
    assert re.search(r"One vaccinator more: the mean wait changes by -0\.\d\d \(", lunch)
    assert "500 simulated days, seed 28" in lunch


def test_the_time_at_a_chair_is_found_again_that_the_script_was_written_with(page):
    """From 210 to 300 s, all equally likely: mean 255, known to the script alone."""
    low, high = re.search(r"A person at a chair: \d+ s \((\d+) to (\d+)", page).groups()

    assert sum(SAME_CHAIR_S) / 2 == 255
    assert int(low) <= 255 <= int(high)


def test_everybody_at_a_chair_was_asked_the_questions_before(entries):
    asked = {e.person for e in _events(entries, ScreeningAnswered)}

    assert {e.person for e in _events(entries, ev.DoseChecked)} <= asked
    assert len(asked) == 701


def test_the_worked_example_of_the_background_page(page):
    row = page.split("missing  sent  left\n")[1].splitlines()[0].split()

    assert row == ["840", "0", "0", "690", "20", "0", "0", "130"]
    assert "Wastage rate 2.8 %" in page


def test_another_seed_gives_another_day_that_balances_too_in_a_real_zone(folder, page):
    built = build(folder / "other", 7, lambda _done, _total: None, REAL_ZONE)
    other = tour_data(built)

    assert (other["off"], other["signed"]) == (0, True)
    assert other["first_places"][0] == "chair 3, 14:02"
    assert other["head"][:16] not in page
    assert str(other["doses"]["given"]) not in re.findall(r"([\d,]+) doses from", page)
    assert ask_a_day_early(built).due_next == other["doses"]["given"]


@pytest.mark.parametrize("words", [["--seed", "x"], ["--sed", "28"]], ids=["no number", "typo"])
def test_a_demo_asked_for_wrongly_builds_nothing(folder, words, capsys):
    home = folder / "nothing"

    assert main(["demo", "--home", str(home), *words]) == 2
    assert not home.exists()
    assert capsys.readouterr().err


# --- the right person --------------------------------------------------------------------


@pytest.fixture(name="people")
def _people(page):
    return " ".join(page.split("\n17. ")[1].split("Everything you saw")[0].split())


def test_the_call_list_counts_who_did_not_come_who_left_early_and_doses_without_an_arm(
    people, entries
):
    given = _events(entries, ev.DoseGiven)
    early = [each for each in _events(entries, PersonLeft) if each.early]
    no_arm = [each for each in given if each.arm is None]

    assert len(early) == round(0.004 * len(given))  # 0.4 %, by the demo's story
    assert f"{len(early)} left-early" in people
    assert f"{len(no_arm)} no-arm" in people


def test_people_of_one_name_are_told_apart_by_birth_date_at_the_desk(people, entries):
    met = _events(entries, PersonArrived)

    assert {each.agreed for each in met} == {("name", "born")}
    assert all(len(each.same_name) == 1 for each in met)
    assert len(met) >= 2
    assert all(each.person in people for each in met)


def test_whoever_is_booked_twice_with_day_and_month_swapped_is_not_merged(people):
    assert "DEMO-002611 may be DEMO-002098, day and month of the birth date swapped" in people
    assert "not merged, and on the list as a no-show" in people


def test_the_early_dose_on_paper_is_found_at_typing_in_with_a_draft(people):
    # Day 22 of 9 February is 3 March; with day 24 the first that counts (CDC course 2021)
    # it is an error, and 28 days after 3 March is 31 March (calendar).
    assert "given on paper at 10:20, typed in at 18:40" in people
    assert "Day 22, valid from day 24: an administration error" in people
    assert "Repeat, not before 2026-03-31." in people
    assert "DRAFT, not sent to anybody" in people


def test_the_day_on_paper_lies_in_a_home_of_its_own_that_verifies(folder, page):  # noqa: ARG001
    site = open_site(folder / "demo" / "paper-DEMO", "harrowmint")

    assert not site.ledger.verify(None).findings
    assert site.demo


def test_the_emergency_is_on_thursday_four_minutes_after_a_dose_at_14_06(folder, page):  # noqa: ARG001
    with open_site(folder / "demo", "oddmoor").ledger.view() as view:
        stamps = [each for each in view.entries() if isinstance(each.event, MomentStamped)]
        dose = view.one(PERSON, stamps[0].event.person).doses[-1]
    given = from_ms(dose.hi_ms)
    assert at("14:05", 5) <= given < at("14:08", 5)
    assert [(each.event.what, each.occurred.lo - given) for each in stamps] == [
        ("called", timedelta(minutes=4)),
        ("given", timedelta(minutes=4, seconds=20)),
        ("crew", timedelta(minutes=17)),
    ]


def test_the_lot_of_the_emergency_stands_beside_all_other_lots(page, folder):
    """One reaction among 915 doses says nothing of a lot; the page must not say otherwise."""
    given = Counter()
    for name in ("harrowmint", "oddmoor"):
        with open_site(folder / "demo", name).ledger.view() as view:
            doses = [each for each in view.entries() if isinstance(each.event, ev.DoseGiven)]
        given.update(each.event.lot for each in doses if each.occurred.hi < at("00:00", 6))
    told = " ".join(page.split())
    lot, of_lot, rest = re.search(
        r"Lot (ZZ-\d{4}): 1 after (\d+) doses, other lots 0 after (\d+) doses:", told
    ).groups()
    assert (int(of_lot), int(rest)) == (given[lot], given.total() - given[lot])
    assert "times the rate of the rest, which has no case; too few doses to tell" in told
