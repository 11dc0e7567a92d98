"""
A site on disk and a clock that the test moves, asked the way people ask: by command.

Harrowmint on Tuesday 3 February 2026, six hours behind UTC, under the made-up Example-10 in
version 2: 12 h on the table, 6 h open, 2 h 30 min in the refrigerator and 15 min to stand.
"""

import json
from functools import partial

from tests.cast import ROWAN, at

from thawline.adapters.time import standing_at
from thawline.adapters.wiring import open_site
from thawline.cli import asking, main


def stand_at(monkeypatch, now) -> None:
    """Let the machine's clock stand still for the commands that follow."""
    monkeypatch.setattr(asking, "open_site", partial(open_site, now=standing_at(now)))


class Clinic:
    """Runs commands in one home folder and keeps what they printed."""

    def __init__(self, home, capsys, monkeypatch) -> None:
        self.home = str(home)
        self._capsys = capsys
        self._monkeypatch = monkeypatch
        self.clock("12:00")

    def clock(self, wall: str, day: int = 3, month: int = 2) -> None:
        """Set the machine's clock for the commands that follow."""
        stand_at(self._monkeypatch, at(wall, day, month))

    def run(self, *words: str) -> tuple[int, str, str]:
        """Return the exit code, what was said on stdout and what on stderr."""
        self._capsys.readouterr()
        code = main([*words, "--home", self.home])
        said = self._capsys.readouterr()
        return code, said.out, said.err

    def ask(self, *words: str) -> tuple[int, dict]:
        """Return the exit code and the one JSON object."""
        code, out, _ = self.run(*words, "--json")
        return code, json.loads(out)

    def vials(self, count: int = 1, at_: str = "04:00") -> list[str]:
        """Take vials to the refrigerator; return their codes."""
        words = ["vial", "to-fridge", "--lot", "ZZ-1041", "--count", str(count)]
        _, answer = self.ask(*words, "--at", at_, "--by", ROWAN)
        return [vial["vial"] for vial in answer["data"]["vials"]]

    def ready(self, count: int = 1) -> list[str]:
        """Return vials on the table since 06:35, ready since 06:50."""
        codes = self.vials(count)
        self.run("vial", "to-table", *codes, "--at", "06:35", "--by", ROWAN)
        return codes

    def opened(self) -> str:
        """Return a vial that is open since 07:00."""
        (code,) = self.ready()
        self.run("vial", "open", code, "--at", "07:00", "--by", "Hazel Rainmoor")
        return code
