"""`thawline plan staff`: what is printed, answered and refused."""

import json
from importlib.resources import files

import pytest

from thawline.cli import main
from thawline.plan.ranking import ranked

SAID = {"--booked": "48", "--no-show": "0.1", "--hours": "2", "--days": "40"}


def day(**others):
    """Return the words of a small day, some of them said otherwise."""
    said = SAID | {f"--{name.replace('_', '-')}": value for name, value in others.items()}
    return ("plan", "staff", *(word for pair in said.items() for word in pair))


DAY = day()
CROWD = day(booked="240")


@pytest.fixture
def ask(capsys):
    def asked(*words):
        capsys.readouterr()
        code = main([*words, "--json"])
        return code, json.loads(capsys.readouterr().out)

    return asked


def test_the_plan_names_seed_days_and_the_source_of_its_times(ask):
    code, answer = ask(*DAY)
    data = answer["data"]

    assert (code, data["keeps"], data["seed"], data["days"]) == (0, True, 28, 40)
    assert data["worst_half_hour_late_share"] <= 0.1
    assert data["chairs"] >= 1
    assert "common practice" in data["times"]
    assert "not measured" in data["times"]


def test_enough_days_give_the_chairs_an_upper_end(ask):
    data = ask(*day(days="400"))[1]["data"]
    _, few = ask(*DAY)

    assert data["chairs_low"] <= data["chairs"] <= data["chairs_high"]
    assert (few["data"]["chairs_high"], few["not_known"]) == (None, ["chairs_high"])


def test_the_page_has_each_half_hour_and_the_shifts(capsys):
    assert main(list(DAY)) == 0
    out = " ".join(capsys.readouterr().out.split())

    assert "90% wait less than 20 min, at all stations together, in every half hour." in out
    assert "desk: 1 from 0 h 00 to" in out
    assert "seed 28" in out


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ({"no_show": "1"}, "a no-show of 100%"),
        ({"hours": "0"}, "48 people in 0 h"),
        ({"share": "1"}, "a promise to 1"),
        ({"days": "19"}, "19 days, too few to see how rare long waits are"),
        ({"within_min": "0"}, "a wait of 0 min"),
        ({"within_min": "nan"}, "a wait of nan min"),
        ({"within_min": "inf"}, "a wait of inf min"),
        ({"walk_ups_per_hour": "inf"}, "inf walk-ups an hour"),
        ({"hours": "inf"}, "inf h of one day"),
        ({"hours": "nan"}, "nan h of one day"),
        ({"hours": "25"}, "25 h of one day"),
    ],
)
def test_what_cannot_be_is_named(ask, words, says):
    code, answer = ask(*day(**words))

    assert code == 3
    assert says in answer["error"]["says"]


def test_a_file_of_stations_is_read_and_a_figure_without_source_is_refused(ask, tmp_path):
    path = tmp_path / "stations.toml"
    path.write_text('[[station]]\nname = "desk"\ntakes_s = 60\nvaries = 0.5\n')
    code, answer = ask(*DAY, "--stations", str(path))

    assert code == 3
    assert "[observation]" in answer["error"]["says"]


@pytest.mark.parametrize(
    ("before", "after", "says"),
    [
        ("takes_s = 60", "takes_s = 0", "station 1: takes 0 s"),
        ("takes_s = 60", "takes_s = nan", "station 1: takes_s is nan"),
        ("takes_s = 105", "takes_s = inf", "station 2: takes_s is inf"),
        ("varies = 0.6", "varies = 2", "station 2: a variation of 2"),
        ("longer_share = 0.05", "longer_share = 1.5", "observation.longer_share is 1.5"),
        ("longer_min = 30", "longer_min = -30", "observation.longer_min is -30"),
        ("varies_min = 8", "varies_min = -8", "punctuality.varies_min is -8"),
        ("hours = 8.5", "hours = 3", "shift: a break from half hour 8 to 10 of a shift of 6"),
        ("[[station]]", "station = [1]\n[other]", "there is no [[station]]"),
    ],
)
def test_a_figure_that_cannot_be_is_named_with_its_file_and_table(
    ask, tmp_path, before, after, says
):
    text = (files("thawline.plan") / "stations.toml").read_text()
    first = text.replace("[[station]]", "[[one]]").replace("[[one]]", "[[station]]", 1)
    path = tmp_path / "own.toml"
    path.write_text((first if before == "[[station]]" else text).replace(before, after, 1))
    code, answer = ask(*DAY, "--stations", str(path))

    assert code == 3
    assert f"own.toml: {says}" in answer["error"]["says"]


def test_the_name_of_a_file_keeps_its_own_letters(capsys, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "own.toml").write_text("")
    main([*DAY, "--stations", "own.toml"])
    named = capsys.readouterr().err
    main([*day(share="1")])

    assert named.startswith("own.toml: there is no [[station]]")
    assert capsys.readouterr().err.startswith("A promise to 1")


def test_a_file_that_is_not_there_is_said(ask, tmp_path):
    code, answer = ask(*DAY, "--stations", str(tmp_path / "none.toml"))

    assert code == 5
    assert "none.toml" in answer["error"]["says"]


def test_rosters_are_ranked_and_the_choice_says_how_sure_it_is(ask):
    code, answer = ask(*CROWD, "--rank", "12")
    ranking = answer["data"]["ranking"]

    assert (code, ranking["final"], ranking["rosters"], ranking["sure"]) == (0, True, 12, 0.95)
    assert ranking["people"] <= answer["data"]["people"]
    assert ranking["days"] >= 200
    assert [each["name"] for each in ranking["stations"]] == ["desk", "screening", "chair"]


def test_ranked_again_it_goes_on_from_the_best_on_further_days(ask):
    once = ask(*CROWD, "--rank", "30")[1]["data"]["ranking"]
    again = ask(*CROWD, "--rank", "30", "--again")[1]["data"]["ranking"]

    # The search took days 0 to 39; the second ranking begins after those of the first.
    assert (once["ranked_times"], once["first_day"]) == (1, 40)
    assert again["ranked_times"] >= 2
    assert again["first_day"] >= 40 + once["days"] + once["more_days"]
    assert again["people"] <= once["people"]


def test_a_stop_in_a_further_ranking_keeps_what_the_one_before_it_promises(ask, monkeypatch):
    once = ask(*CROWD, "--rank", "30")[1]["data"]["ranking"]
    rankings = []

    def stopping(*asked):
        rankings.append(asked)
        for known in ranked(*asked):
            yield known
            if len(rankings) == 2:
                raise KeyboardInterrupt

    monkeypatch.setattr("thawline.cli.staff_ranking.ranked", stopping)
    again = ask(*CROWD, "--rank", "30", "--again")[1]["data"]["ranking"]

    assert len(rankings) == 2
    assert again == once


def test_the_page_of_a_ranking_names_people_days_seed_and_certainty(capsys):
    assert main([*CROWD, "--rank", "5"]) == 0
    out = " ".join(capsys.readouterr().out.split())

    assert "5 rosters of whole shifts" in out
    assert "there are more, raise --rank" in out
    assert "The fewest people that keep the promise:" in out
    assert "95% sure, all of it together, apart from differences below 2 in 100 people" in out
    assert "seed 28, the same for every roster" in out


def test_a_ranking_that_runs_out_of_days_promises_nothing(capsys):
    words = day(booked="240", share="0.97", within_min="8")
    main([*words, "--rank", "40", "--close", "0.001", "--most-days", "200"])
    out = " ".join(capsys.readouterr().out.split())

    assert "nothing is promised of this yet" in out
    assert "sure, all of it together" not in out


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("--rank", "0"), "0 rosters to rank"),
        (("--rank", "5001"), "5001 rosters to rank"),
        (("--rank", "5", "--sure", "1"), "1 sure"),
        (("--rank", "5", "--close", "0"), "differences of 0"),
        (("--rank", "5", "--most-days", "100"), "100 days at the most"),
        (("--again",), "say how rosters are ranked"),
    ],
)
def test_a_ranking_that_cannot_be_is_named(ask, words, says):
    code, answer = ask(*CROWD, *words)

    assert code == 3
    assert says in answer["error"]["says"]


def test_a_stop_before_anything_is_known_keeps_the_plan(capsys, monkeypatch):
    def stopped(*_):
        raise KeyboardInterrupt

    monkeypatch.setattr("thawline.cli.staff_ranking.ranked", stopped)

    assert main([*CROWD, "--rank", "5"]) == 0
    out = capsys.readouterr().out
    assert "desk: " in out
    assert "Stopped before anything was known of the rosters." in out


def test_the_pictures_are_printed_and_written(capsys, tmp_path):
    path = tmp_path / "day.svg"

    assert main([*DAY, "--picture", "--svg", str(path)]) == 0
    out = capsys.readouterr().out
    assert "Wait from arrival to dose, hours from opening" in out
    assert "9 in 10 people wait less than" in out
    assert "Doses given against plan, hours from opening" in out
    assert path.read_text().startswith("<svg")


def test_a_picture_needs_a_name_that_ends_in_svg(ask, tmp_path):
    code, answer = ask(*DAY, "--svg", str(tmp_path / "day.txt"))

    assert code == 3
    assert ".svg" in answer["error"]["says"] + answer["error"]["try"]


@pytest.fixture(scope="module")
def home(tmp_path_factory):
    """A site with six people booked on one morning, and nothing else."""
    folder = tmp_path_factory.mktemp("staff")
    home = str(folder / "home")
    by = ["--by", "Sorrel Kettlewick", "--home", home]
    main(["site", "new", "harrowmint", "--zone", "America/Chicago", "--home", home])
    main(["site", "pin", "Bryony Testwick", "284651", "--home", home])
    second = ["--countersign", "Bryony Testwick", "--pin", "284651"]
    main(["protocol", "adopt", "example-10-v2", *second, *by])
    rows = [f"DEMO-00000{n};Ann Lee;25/12/1980;03/02/2027;9:{n}0;1" for n in range(6)]
    path = folder / "bookings.csv"
    path.write_text("\n".join(["id;name;born;date;time;dose", *rows, ""]))
    main(["booking", "load", str(path), *by])
    return home


AT_SITE = ("plan", "staff", "--on", "2027-02-03", "--no-show", "0", "--days", "30")


def test_a_sites_own_bookings_are_staffed_by_its_own_clock(capsys, home):
    assert main([*AT_SITE, "--picture", "--home", home]) == 0
    out = " ".join(capsys.readouterr().out.split())

    assert "desk: 1 from 09:00 to 11:00" in out
    assert "harrowmint, Wed 3 Feb: 6 booked" in out
    assert "Walk-ups: no earlier day to learn walk-ups from" in out
    assert "Wait from arrival to dose, harrowmint, Wed 3 Feb" in out


def test_what_a_site_does_not_know_is_null_and_listed(ask, home):
    code, answer = ask(*AT_SITE, "--home", home)
    data = answer["data"]

    assert (code, data["booked"], data["opens"]) == (0, 6, "2027-02-03T09:00:00-06:00")
    assert data["expected_walk_ups"] is None
    assert answer["not_known"] == ["expected_walk_ups", "chairs_high"]
    assert answer["data"]["chairs_high"] is None


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("--hours", "3"), "--hours without --booked"),
        (("--booked", "20", "--hours", "3"), "--booked without hours or no-show"),
        (("--booked", "20", "--no-show", "0.1"), "--booked without hours or no-show"),
        ((*DAY[2:], "--on", "2027-02-03"), "--site, --on and --at ask for a site's own"),
    ],
)
def test_a_day_half_typed_is_refused(ask, words, says):
    code, answer = ask("plan", "staff", *words)

    assert code == 3
    assert says in answer["error"]["says"]


def test_a_day_without_bookings_at_the_site_is_said(ask, home):
    code, answer = ask("plan", "staff", "--on", "2027-02-04", "--no-show", "0", "--home", home)

    assert code == 5
    assert "nobody is booked on 2027-02-04" in answer["error"]["says"]


APART = """
[[station]]
name = "desk"
takes_s = 60
varies = 0.5
line = "booked"
source = "own"

[[station]]
name = "walk-up desk"
takes_s = 165
varies = 0.5
line = "walk-ups"
source = "own"

[[station]]
name = "chair"
takes_s = 150
varies = 0.5
source = "own"

[observation]
shorter_min = 15
longer_min = 30
longer_share = 0.05
source = "own"

[punctuality]
early_min = 5
varies_min = 8
source = "own"

[shift]
hours = 8.5
break_from_h = 4
break_until_h = 5
source = "own"

[sources.own]
kind = "made up"
"""


def test_a_desk_for_walk_ups_stands_beside_the_other_one(ask, tmp_path):
    path = tmp_path / "stations.toml"
    path.write_text(APART)

    code, answer = ask(*DAY, "--walk-ups-per-hour", "30", "--stations", str(path))
    names = [station["name"] for station in answer["data"]["stations"]]

    assert (code, names) == (0, ["desk", "walk-up desk", "chair"])
    # 30 an hour, 165 s each: 1.4 busy at once, so one would never do.
    assert max(answer["data"]["stations"][1]["serving"]) >= 2


def test_a_line_that_nobody_stands_in_is_refused(ask, tmp_path):
    path = tmp_path / "stations.toml"
    path.write_text(APART.replace('"walk-ups"', '"vip"'))

    code, answer = ask(*DAY, "--stations", str(path))

    assert code == 3
    assert "station 2: line is 'vip'" in answer["error"]["says"]
