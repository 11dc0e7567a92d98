"""
A logger reads at least every 30 minutes: row L9.

Immunize.org, Ask the Experts, "Storage and handling", reviewed 2023-07-26, as quoted in the
project's cold-chain check values, section 1.3 and table 9; read there on 2026-11-27.
"""

import json

import pytest

from thawline.cli import main


@pytest.mark.parametrize(
    ("minutes", "warned"), [(30, False), (31, True)], ids=["every 30 min", "every 31 min"]
)
def test_l9_a_logger_that_reads_less_than_every_half_hour_is_noticed(
    minutes, warned, tmp_path, capsys
):
    path = tmp_path / "seldom.csv"
    clocks = [divmod(60 * 8 + place * minutes, 60) for place in range(4)]
    rows = [f"2026-02-05 {hour:02}:{minute:02},5.0" for hour, minute in clocks]
    path.write_text("\n".join(["time,temp C", *rows, ""]))

    main(["cold", "read", str(path), "--band", "fridge", "--zone", "UTC", "--json"])
    codes = [alert["code"] for alert in json.loads(capsys.readouterr().out)["alerts"]]

    assert ("logging-interval" in codes) is warned
