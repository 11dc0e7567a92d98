"""
Many random sets of answers: one outcome each, whatever the order, never milder for worse.

`make screenings` looks at 1,000,000 of them; `make test` at 20,000.
"""

import numpy as np
import pytest
from tests.screen.cells import ANSWERS, RULE_SETS, STRICTEST_FIRST, TODAY, cells, questions

from thawline.rules.questions import by_item
from thawline.screen.answers import read_answer
from thawline.screen.decision import decided

SEED = 28
FEW, MANY = 20_000, 1_000_000
NO_ANSWER = len(ANSWERS)


def _sets(rules: str, count: int):
    """Yield sets of answers, mostly no; some questions have none."""
    generator = np.random.default_rng([SEED, RULE_SETS.index(rules)])
    items = tuple(cells(rules))
    weights = np.array([3, 40, 3, 3, 3, 3, 1]) / 56  # as ANSWERS, then no answer at all
    for size in [10_000] * (count // 10_000) + [count % 10_000]:
        codes = generator.choice(NO_ANSWER + 1, size=(size, len(items)), p=weights)
        places = generator.integers(0, len(items), size=size)
        worse = generator.choice([0, 2, 3, 4, 5], size=size)  # anything but no
        for row, place, said in zip(codes, places, worse, strict=True):
            yield row, items[place], int(said)


def _rank(verdict):
    return -STRICTEST_FIRST.index(verdict.outcome.value)


def _faults(rules: str, count: int) -> list[str]:
    """Return the sets that break a law, each as a sentence."""
    asked = questions(rules)
    known = by_item(asked)
    backwards = asked[::-1]
    said = {i: [read_answer(i, word, TODAY) for word in ANSWERS] for i in known}
    found = []
    for row, item, worse in _sets(rules, count):
        answers = {i: said[i][c] for i, c in zip(known, row, strict=True) if c != NO_ANSWER}
        one = decided(asked, answers, TODAY)
        turned = decided(backwards, dict(reversed(answers.items())), TODAY)
        more = decided(asked, {**answers, item: said[item][worse]}, TODAY)
        no_before = answers.get(item) is None or answers[item] == said[item][1]
        if (one.outcome is None) != bool(set(known) - answers.keys() - {"Q21"}):
            found.append(f"{answers}: an outcome without every answer, or none with all")
        if (one.so_far, set(one.reasons)) != (turned.so_far, set(turned.reasons)):
            found.append(f"{answers}: the order matters")
        if no_before and _rank(more.so_far) < _rank(one.so_far):
            found.append(f"{answers}: {item}={ANSWERS[worse]} makes it milder")
        if no_before and one.so_far.until and more.so_far.until < one.so_far.until:
            found.append(f"{answers}: {item}={ANSWERS[worse]} lets it come earlier")
    return found


@pytest.mark.parametrize("rules", RULE_SETS)
def test_no_set_of_answers_breaks_a_law(rules):
    assert not _faults(rules, FEW // len(RULE_SETS))


@pytest.mark.slow
@pytest.mark.parametrize("rules", RULE_SETS)
def test_none_of_a_million_sets_of_answers_breaks_a_law(rules):
    assert not _faults(rules, MANY // len(RULE_SETS) + 1)
