"""`thawline replay`: what is printed, answered and refused, on a small made-up Tuesday."""

from importlib.resources import files
from pathlib import Path
from shutil import copytree

import pytest
from tests.app.replay_days import Stamped
from tests.cast import Day, at
from tests.cli.clinic import Clinic

from thawline.adapters.wiring import open_site
from thawline.cli import replay_options

TUESDAY = ("--day", "2026-02-03")
AT_LUNCH = ("--station", "chair", "--people", "1", "--from", "08:00", "--to", "09:00")
FEW = ("--days", "50")


@pytest.fixture
def early(harrowmint, tmp_path, capsys, monkeypatch):
    """Harrowmint with nothing but its protocol."""
    copytree(harrowmint, tmp_path / "home")
    return Clinic(tmp_path / "home", capsys, monkeypatch)


@pytest.fixture(scope="module", name="played")
def _played(harrowmint, tmp_path_factory):
    """Forty people asked at 08:00, one chair and three minutes each; 70 were booked.

    Four vials to the refrigerator at 04:00, on the table at 06:35; all drawn by 07:51.
    """
    home = tmp_path_factory.mktemp("replay") / "home"
    copytree(harrowmint, home)
    day = Day(open_site(home, "harrowmint"), None, at("00:10"))
    told = Stamped(day=day, **{f"P{n:02}": "08:00" for n in range(70)})
    day.receive(4)
    vials = told.on_table(count=4)
    told.open(vials[0], "07:50")
    for n in range(20):
        told.draw(vials[0], [2 * n, 2 * n + 1], f"07:50:{2 + n:02}")
    for n in range(40):
        told.ask(f"P{n:02}", "08:00:00")
    for n in range(40):
        seconds = 180 * n + 10 + n % 7
        told.scan(f"P{n:02}", _clock(seconds))
        told.give(f"P{n:02}", _clock(seconds + 40))
    return home


@pytest.fixture
def replayed(played, tmp_path, capsys, monkeypatch):
    """A copy of that day for one test."""
    copytree(played, tmp_path / "home")
    return Clinic(tmp_path / "home", capsys, monkeypatch)


def _clock(seconds):
    return f"{8 + seconds // 3600:02}:{seconds // 60 % 60:02}:{seconds % 60:02}"


def test_the_day_is_shown_as_it_was_beside_simulated_ones(replayed):
    code, answer = replayed.ask("replay", "day", *TUESDAY, *FEW)
    data = answer["data"]

    assert code == 0
    assert (data["booked"], data["came"], data["stayed_away"], data["walk_ups"]) == (
        70,
        40,
        30,
        0,
    )
    assert (data["seed"], data["days"], data["within_min"]) == (28, 50, 20)
    assert data["figures"]["doses_given"]["recorded"] == 40
    assert data["half_hours"][1]["doses"]["recorded"] == 10
    assert (data["fits"], data["off"]) == (True, [])
    assert answer["protocol"]["id"] == "example-10"


def test_service_times_are_the_sites_own_and_what_nobody_stamps_is_not_known(replayed):
    """39 turns of three minutes while people stood in line."""
    _, answer = replayed.ask("replay", "day", *TUESDAY, *FEW)
    chair = answer["data"]["service_times"]["chair"]

    assert (chair["turns"], chair["record_days"]) == (39, 1)
    assert chair["low_s"] < 180 < chair["high_s"]
    assert answer["data"]["service_times"]["desk"] is None
    assert answer["not_known"] == [
        f"service_times.{each}" for each in ("desk", "screening", "draw_table")
    ]


def test_the_page_says_where_times_come_from_and_how_far_the_mean_is_off(replayed):
    _, out, _ = replayed.run("replay", "day", *TUESDAY, *FEW)
    page = " ".join(out.split())

    assert "Tue 3 Feb as it was, and on 50 simulated days with the same people." in page
    assert "70 booked: 40 came, 30 stayed away" in page
    assert "by 39 turns of this site while people stood in line" in page
    assert "45 s a dose (example, not measured" in page
    assert "seed 28; standard error of the mean wait" in page
    assert max(map(len, out.splitlines())) <= 100


def test_on_a_day_that_is_not_over_who_is_booked_for_later_is_still_to_come(early):
    told = Stamped(day=Day(open_site(Path(early.home), "harrowmint"), None, at("06:40")))
    told.book("A", "09:00", recorded="06:40")
    told.give("B", "08:05")
    early.clock("09:10")
    _, answer = early.ask("replay", "day", *TUESDAY, "--days", "2")
    _, out, _ = early.run("replay", "day", *TUESDAY, "--days", "2")

    assert (answer["data"]["to_come"], answer["data"]["stayed_away"]) == (1, 0)
    assert "1 more person booked for later: the day is not over." in " ".join(out.split())


def test_people_for_whom_a_vial_is_missing_are_named_beside_a_shorter_day(replayed):
    _, out, _ = replayed.run("replay", "change", *TUESDAY, "--vials-fewer", "1", *FEW)

    assert "10.0 more people go without a dose" in out


def test_the_half_hours_can_be_had_as_a_table_for_a_spreadsheet(replayed):
    _, out, _ = replayed.run("replay", "day", *TUESDAY, "--days", "2", "--csv")
    head, _, first, *others = out.splitlines()

    assert head.startswith(
        "from,ready,doses,simulated_doses_low,simulated_doses_high,mean_wait_s"
    )
    assert first.startswith("2026-02-03T08:00:00-06:00,40,10,")
    assert len(others) == 5


def test_one_person_more_saves_time_and_the_interval_says_how_sure_that_is(replayed):
    code, answer = replayed.ask("replay", "change", *TUESDAY, *AT_LUNCH, *FEW)
    data = answer["data"]
    wait = data["figures"]["mean_wait_s"]

    assert (code, data["change"]) == (0, "1 person more at the chairs from 08:00 to 09:00")
    assert wait["low"] < wait["difference"] < wait["high"] < 0
    assert wait["difference"] == pytest.approx(wait["after"] - wait["before"])
    assert data["figures"]["doses_given"]["difference"] == 0
    assert data["worst_half_hour"]["from"] == "2026-02-03T08:00:00-06:00"
    assert [each["mean_s"] for each in data["if_turns_take"]] == sorted(
        each["mean_s"] for each in data["if_turns_take"]
    )


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("--draw-table", "08:30"), "one draw table more from 08:30"),
        (("--vials-fewer", "1"), "1 vial fewer thawed at the start"),
        (("--no-show", "0.6"), "60% of the bookings stay away, not 42.9%"),
        (
            ("--station", "draw table", "--people", "2", "--from", "08:00"),
            "2 people more at the draw tables from 08:00 on",
        ),
        (
            ("--station", "chair", "--people", "-1", "--from", "08:10", "--to", "08:20"),
            "1 person fewer at the chairs from 08:10 to 08:20",
        ),
    ],
)
def test_each_change_is_named_on_the_page(replayed, words, says):
    code, out, _ = replayed.run("replay", "change", *TUESDAY, *words, "--days", "2")

    assert code == 0
    assert f"Tue 3 Feb, changed: {says}." in " ".join(out.split())
    assert "mean wait of those ready 08:00 to 08:30, min" in out


def test_it_is_said_from_how_long_a_dose_in_drawing_the_tables_matter(replayed):
    """Forty doses lie drawn before the first person; turns of three minutes."""
    words = ("replay", "change", *TUESDAY, "--draw-table", "08:00", *FEW)
    _, answer = replayed.ask(*words)
    _, out, _ = replayed.run(*words)
    from_s = answer["data"]["matters_from_drawing_s"]

    assert 45 < from_s <= 180
    assert f"It matters from {from_s} s a dose on" in out
    assert (
        replayed.ask("replay", "change", *TUESDAY, "--no-show", "0.5", "--days", "2")[1][
            "data"
        ]["matters_from_drawing_s"]
        is None
    )


def test_a_change_that_changes_nothing_shows_exactly_nothing(replayed):
    _, out, _ = replayed.run("replay", "change", *TUESDAY, "--vials-fewer", "0", *FEW)
    rows = [line.split() for line in out.splitlines()[2:12]]

    assert [row[-1] for row in rows] == ["0"] * 10


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("--draw-table", "08:30", "--no-show", "0.3"), "--draw-table and --no-show is asked"),
        ((), "one change at a time, and none"),
        (("--no-show", "0.3", "--people", "1"), "go with --station"),
        (("--station", "desk", "--people", "1", "--from", "08:00"), "no station 'desk'"),
        (("--station", "chair", "--people", "1"), "not all is said"),
        (("--station", "chair", "--from", "08:00"), "not all is said"),
        (("--draw-table", "07:59"), "07:59 is outside the hours of 2026-02-03"),
        (("--draw-table", "10:01"), "10:01 is outside the hours"),
        (
            ("--station", "chair", "--people", "1", "--from", "09:00", "--to", "09:00"),
            "from 09:00 to 09:00 is no time",
        ),
        (
            ("--station", "chair", "--people", "-2", "--from", "08:10", "--to", "08:20"),
            "2 fewer at the chair, where 1 were",
        ),
        (("--no-show", "1"), "a no-show of 100%"),
        (("--vials-fewer", "5"), "5 vials fewer, of 4 thawed"),
        (("--no-show", "0.3", "--days", "1"), "1 days"),
        (("--no-show", "0.3", "--within-min", "-1"), "a wait of -1 min"),
        (("--no-show", "0.3", "--seed", "-1"), "a seed of -1"),
    ],
)
def test_what_cannot_be_is_named(replayed, words, says):
    code, answer = replayed.ask("replay", "change", *TUESDAY, *words)

    assert code == 3
    assert says in answer["error"]["says"]


@pytest.mark.parametrize("clock", ["08:00", "10:00"], ids=["at opening", "at the end"])
def test_the_first_and_the_last_minute_are_within_the_hours(replayed, clock):
    code, _ = replayed.ask("replay", "change", *TUESDAY, "--draw-table", clock, "--days", "2")

    assert code == 0


def test_a_day_without_a_record_is_said(replayed):
    code, answer = replayed.ask("replay", "day", "--day", "2026-02-02")

    assert code == 5
    assert answer["error"]["says"] == "no dose is on record on 2026-02-02"


def test_the_day_is_that_of_the_moment_where_none_is_named(replayed):
    code, answer = replayed.ask("replay", "day", "--at", "2026-02-03T12:00", "--days", "2")

    assert (code, answer["data"]["day"]) == (0, "2026-02-03")
    assert replayed.ask("replay", "day", "--at", "2026-02-04")[0] == 5


def test_where_the_played_day_is_not_like_the_day_it_says_so(replayed):
    """Somebody booked for 08:00, of whom no screening is stamped, got a dose at 10:09."""
    site = open_site(Path(replayed.home), "harrowmint")
    told = Stamped(day=Day(site, None, at("10:00")))
    told.give("P40", "10:09")
    code, answer = replayed.ask("replay", "day", *TUESDAY, "--days", "20")

    assert code == 0
    changed = replayed.ask("replay", "change", *TUESDAY, "--no-show", "0.5", "--days", "20")[1]
    assert answer["alerts"][0]["code"] == "does-not-fit"
    assert changed["alerts"] == answer["alerts"]
    assert "last_dose_s" in answer["data"]["off"]
    assert not answer["data"]["fits"]


def test_with_too_few_turns_the_example_is_named(early):
    site = open_site(Path(early.home), "harrowmint")
    told = Stamped(day=Day(site, None, at("06:40")), A="08:00")
    told.give("A", "08:05")
    change = ("replay", "change", *TUESDAY, "--no-show", "0.5", "--days", "2")
    _, answer = early.ask("replay", "day", *TUESDAY, "--days", "2")
    _, changed = early.ask(*change)
    _, out, _ = early.run(*change)
    page = " ".join(out.split())

    assert answer["data"]["service_times"]["chair"] is None
    assert "service_times.chair" in answer["not_known"]
    assert "service_times.chair" in changed["not_known"]
    assert "figures.mean_wait_s.recorded" in answer["not_known"]
    assert "not known here, 0 turns while people stood in line, fewer than 30" in page
    assert "Doses were drawn at the chairs, or" in page
    assert "the example have no interval" in page


def test_what_the_record_lacks_is_said_on_the_page_of_the_day(early):
    site = open_site(Path(early.home), "harrowmint")
    told = Stamped(day=Day(site, None, at("06:40")))
    told.give("A", "08:05")
    told.give("B", "08:08")
    _, out, _ = early.run("replay", "day", *TUESDAY, "--days", "2")
    page = " ".join(out.split())

    assert "For 2 of 2 the screening is not stamped" in page
    assert "There is always a vial: more doses were given than those on record hold." in page
    assert "mean wait for a chair, min ?" in page


@pytest.fixture
def own_stations(tmp_path):
    """The shipped file with a draw table of 100 s a dose, and where it lies."""
    text = (files("thawline.plan") / "stations.toml").read_text()
    path = tmp_path / "stations.toml"
    path.write_text(text.replace("takes_s = 45\n", "takes_s = 100\n"))
    return path


def _asked_with(replayed, path):
    return replayed.ask("replay", "day", *TUESDAY, "--days", "2", "--stations", str(path))


def test_a_file_of_ones_own_says_how_long_a_dose_is_in_drawing(replayed, own_stations):
    _, answer = _asked_with(replayed, own_stations)

    assert answer["data"]["service_times"]["draw_table_example"].startswith("100 s a dose")


def test_a_file_without_a_draw_table_leaves_that_to_the_example(replayed, own_stations):
    text = own_stations.read_text()
    begin, end = text.index("[draw_table]"), text.index("[observation]")
    own_stations.write_text(text[:begin] + text[end:])
    _, answer = _asked_with(replayed, own_stations)

    assert answer["data"]["service_times"]["draw_table_example"].startswith("45 s a dose")


def test_a_draw_table_without_a_source_is_refused(replayed, own_stations):
    text = own_stations.read_text()
    begin, end = text.index("[draw_table]"), text.index("[observation]")
    table = text[begin:end].replace('source = "example"\n', "")
    own_stations.write_text(text[:begin] + table + text[end:])
    code, answer = _asked_with(replayed, own_stations)

    assert code == 3
    assert "draw_table.source is None" in answer["error"]["says"]


def test_where_doses_were_drawn_at_the_chairs_no_draw_table_can_be_added(early):
    site = open_site(Path(early.home), "harrowmint")
    Stamped(day=Day(site, None, at("06:40"))).give("A", "08:05")
    code, answer = early.ask("replay", "change", *TUESDAY, "--draw-table", "08:00")

    assert code == 3
    assert "no draw table is on record" in answer["error"]["says"]


def test_stopped_by_the_user_the_finished_days_count(replayed, monkeypatch):
    def stopping(play, _days):
        yield play(0, 3)
        raise KeyboardInterrupt

    monkeypatch.setattr(replay_options, "blocks", stopping)
    code, answer = replayed.ask("replay", "day", *TUESDAY)

    assert (code, answer["data"]["days"]) == (0, 3)


def test_stopped_before_any_day_is_finished_there_is_no_answer(replayed, monkeypatch):
    def stopping(_play, _days):
        raise KeyboardInterrupt

    monkeypatch.setattr(replay_options, "blocks", stopping)

    assert replayed.ask("replay", "day", *TUESDAY)[0] == 130
