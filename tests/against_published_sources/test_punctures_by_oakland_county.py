"""
How often a vial may be punctured, by Oakland County.

Oakland County Health Division (Michigan), beyond-use date tip sheet, 1 September 2022: at most
20 punctures (of the larger vial). Row B12 of the project's cold-chain check table, read on
2026-11-25. Doses drawn are punctures. Tolerance: none.
"""

import pytest

from thawline.adapters.rule_files import load
from thawline.base.findings import Level
from thawline.base.instants import read_instant
from thawline.prepare.opening import draw_refusals
from thawline.vial.opening import draw_findings
from thawline.vial.reckon import reckon
from thawline.vial.story import Fact, What, read_story

RULES = load("published-2022").protocol
OPEN = {
    "lot": "ZZ-1041",
    "expiry": "2022-12",
    "zone": "America/Detroit",
    "events": [
        {"at": "2022-09-06T07:00:00-04:00", "what": "to-fridge"},
        {"at": "2022-09-06T10:00:00-04:00", "what": "to-table"},
        {"at": "2022-09-06T10:30:00-04:00", "what": "open"},
    ],
}


@pytest.mark.parametrize(("times", "stopped"), [(20, False), (21, True)])
def test_b12_the_21st_puncture_is_one_too_many(times, stopped):
    when = read_story(OPEN).facts[0].when
    draws = [Fact(What.DRAW, when, doses=1) for _ in range(times)]

    found = draw_findings(draws, RULES.product.doses_per_vial, RULES.punctures)

    stops = [each for each in found if each.code == "too-many-punctures"]
    assert bool(stops) is stopped


@pytest.mark.parametrize(("drawn", "refused"), [(19, False), (20, True)])
def test_b12_the_21st_puncture_is_refused(drawn, refused):
    now = reckon(read_story(OPEN), RULES, read_instant("2022-09-06T11:00:00-04:00"))

    found = draw_refusals("HK47M", now, 30, drawn, 1, RULES)

    stops = [each for each in found if each.code == "too-many-punctures"]
    assert bool(stops) is refused
    assert all(each.level is Level.STOP for each in stops)
