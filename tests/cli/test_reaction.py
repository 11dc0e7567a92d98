"""`thawline reaction`: what a person or a program reads, and the exit code."""

import json

import pytest

from thawline.cli import main


def _ask(capsys, *words):
    code = main(["reaction", *words, "--json"])
    return code, json.loads(capsys.readouterr().out)


def test_a_rate_is_answered_with_its_keys(capsys):
    code, answer = _ask(capsys, "rate", "--cases", "3", "--doses", "600", "--per", "1000")

    assert code == 0
    assert {"rate", "lower", "upper", "per"} <= set(answer["data"])
    assert (answer["data"]["rate"], answer["data"]["per"]) == (5.0, 1000)


def test_a_rate_is_per_million_unless_another_is_named(capsys):
    _, answer = _ask(capsys, "rate", "--cases", "3", "--doses", "600")

    assert answer["data"]["per"] == 1_000_000


@pytest.mark.parametrize(("seen", "code", "signal"), [("7", 0, False), ("8", 1, True)])
def test_a_signal_exits_with_1(capsys, seen, code, signal):
    words = ["signal", "--expected", "2.5", "--seen", seen, "--horizon", "10"]
    got, answer = _ask(capsys, *words)

    assert (got, answer["data"]["signal"]) == (code, signal)
    assert set(answer["data"]) == {"llr", "critical", "signal", "attained_alpha"}


def test_fewer_than_the_least_number_of_cases_is_no_signal(capsys):
    words = ["signal", "--expected", "0.01", "--seen", "3", "--horizon", "10"]
    _, answer = _ask(capsys, *words, "--min-cases", "4")

    assert answer["data"]["signal"] is False


def test_a_lot_that_stands_out_exits_with_1(capsys):
    code, answer = _ask(capsys, "compare", "--lot", "8/100", "--rest", "2/900")

    assert (code, answer["alerts"][0]["code"]) == (1, "stands-out")
    assert set(answer["data"]) == {"p_one_sided", "p_mid", "rate_ratio", "lower", "upper"}


def test_what_nobody_knows_is_null_and_listed(capsys):
    code, answer = _ask(capsys, "compare", "--lot", "0/100", "--rest", "0/900")

    assert code == 0
    assert set(answer["not_known"]) == set(answer["data"])


@pytest.mark.parametrize(
    "words",
    [
        ["rate", "--cases", "5", "--doses", "3"],
        ["signal", "--expected", "12", "--seen", "6", "--horizon", "10"],
        ["signal", "--expected", "0", "--seen", "6", "--horizon", "10"],
        ["signal", "--expected", "1", "--seen", "-1", "--horizon", "10"],
        ["compare", "--lot", "7", "--rest", "3/30"],
        ["compare", "--lot", "7/70", "--rest", "3/x"],
    ],
)
def test_figures_that_cannot_be_are_named(capsys, words):
    code, answer = _ask(capsys, *words)

    assert code == 3
    assert answer["error"]["try"]


def test_just_the_least_number_of_cases_may_be_a_signal(capsys):
    words = ["signal", "--expected", "0.01", "--seen", "4", "--horizon", "10"]
    _, answer = _ask(capsys, *words, "--min-cases", "4")

    assert answer["data"]["signal"] is True
