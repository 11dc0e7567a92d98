"""What an act is answered, and how an act asked again is told from another one."""

import json
from dataclasses import replace
from datetime import timedelta
from uuid import UUID

import pytest
from tests.acts import HELD, NOON, act, moved, refuses, says
from tests.fakes import SITE

from thawline.base.errors import RefusedError, ReusedIdError, SecondPersonError
from thawline.base.findings import Finding, Level
from thawline.base.instants import exactly
from thawline.ledger.chain import NOTHING
from thawline.ledger.entries import Decision, Kind
from thawline.ledger.events import Refused
from thawline.ledger.receipts import (
    answer_of,
    decided,
    fingerprint,
    given,
    receipt_bytes,
    refusal_of,
    same_act,
    timed,
)
from thawline.ledger.stored import header_of, next_row

BEFORE = act(1).recorded_at


def kept(event=None, *findings):
    row = next_row(
        SITE, NOTHING, act(1), Decision(event or moved("HK47M"), findings), "ab" * 32
    )
    return receipt_bytes(row, header_of(row))


def test_a_fingerprint_is_64_hexadecimal_digits_of_what_was_asked():
    assert fingerprint(act(1)) == fingerprint(act(1, device="other", station="other"))
    assert len(bytes.fromhex(fingerprint(act(1)))) == 32


@pytest.mark.parametrize(
    "changes",
    [
        {"by": "rowan"},
        {"kind": Kind.COMMAND},
        {"occurred": exactly(NOON)},
        {"command": {"verb": "vial to"}},
    ],
    ids=lambda changes: next(iter(changes)),
)
def test_another_word_gives_another_fingerprint(changes):
    assert fingerprint(act(1)) != fingerprint(act(1, **changes))


def test_the_order_of_a_commands_words_makes_no_difference():
    one = act(1, command={"verb": "vial to", "vials": ["HK47M"]})
    other = act(1, command={"vials": ["HK47M"], "verb": "vial to"})

    assert fingerprint(one) == fingerprint(other)


def test_the_same_act_is_known_again_and_another_is_not():
    assert same_act(act(1), fingerprint(act(1))) is None
    with pytest.raises(ReusedIdError) as reused:
        same_act(act(1, by="rowan"), fingerprint(act(1)))
    assert reused.value.advice.startswith(f"thawline journal show {UUID(int=1)}")


def test_a_receipt_holds_the_place_the_hash_and_the_findings():
    held = json.loads(kept(moved("HK47M"), HELD))

    assert sorted(held) == ["epoch", "findings", "hash", "id", "seq"]
    assert (held["epoch"], held["seq"], held["id"]) == (1, 1, str(UUID(int=1)))
    assert held["findings"][0]["code"] == "held"


def test_a_receipt_reads_back_with_its_event():
    answer = answer_of(kept(moved("HK47M"), HELD), moved("HK47M"), again=True)

    assert given(answer) is answer
    assert (answer.seq, answer.findings, answer.again) == (1, (HELD,), True)
    assert answer.event == moved("HK47M")


def test_a_refusal_is_decided_kept_and_raised_again():
    asked, decision = decided(act(1, kind=Kind.COMMAND), refuses, None)
    answer = answer_of(kept(decision.event), decision.event, again=False)

    assert asked.kind is Kind.REFUSAL
    assert isinstance(decision.event, Refused)
    assert json.loads(decision.event.command) == {"verb": "vial to", "number": 1}
    with pytest.raises(RefusedError) as refused:
        given(answer)
    assert (refused.value.findings, refused.value.advice) == ((HELD,), "thawline vial next")


def test_a_decision_is_kept_as_it_is():
    asked = act(1)

    assert decided(asked, says(moved("HK47M"), HELD), None) == (
        asked,
        Decision(moved("HK47M"), (HELD,)),
    )


@pytest.mark.parametrize("error", [RefusedError, SecondPersonError])
def test_each_sort_of_refusal_stays_what_it_was(error):
    found = (HELD, Finding(Level.CHECK, "look", "look again"))

    def refuse(_view):
        raise error(found)

    _, decision = decided(act(1), refuse, None)

    again = refusal_of(decision.event)
    assert type(again) is error
    assert again.findings == found


@pytest.mark.parametrize(
    ("behind_ms", "moved_to_ms", "codes"),
    [
        (-1, -1, []),
        (0, 0, []),
        (1, 1, []),
        (5000, 1, []),
        (5001, 1, ["clock-behind"]),
        (86_400_000, 1, ["clock-behind"]),
    ],
    ids=["a millisecond later", "the same", "before", "waited 5 s", "more than 5 s", "a day"],
)
def test_an_entry_is_never_dated_before_the_last_one(behind_ms, moved_to_ms, codes):
    ms = timedelta(milliseconds=1)
    asked = replace(act(1), recorded_at=BEFORE - behind_ms * ms)

    late, decision = timed(asked, Decision(moved("HK47M"), (HELD,)), BEFORE)

    shift = moved_to_ms if behind_ms > 0 else -behind_ms
    assert late.recorded_at == BEFORE + shift * ms
    assert [finding.code for finding in decision.findings] == ["held", *codes]


def test_the_first_entry_is_dated_as_it_says():
    asked, decision = timed(act(1), Decision(moved("HK47M")), None)

    assert (asked, decision) == (act(1), Decision(moved("HK47M")))


def test_a_clock_that_is_behind_is_told_with_both_times():
    early = replace(act(1), recorded_at=BEFORE - timedelta(hours=2))

    _, decision = timed(early, Decision(moved("HK47M")), BEFORE)

    (finding,) = decision.findings
    assert finding.level is Level.ACT
    assert "2026-02-03T16:01:00+00:00" in finding.says
    assert "2026-02-03T18:01:00+00:00" in finding.says
