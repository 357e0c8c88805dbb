"""Rules in CEL over an invented catalog: walking, decision diagrams and elimination agree."""

from __future__ import annotations

import numpy as np
import pytest

from buildsheet.space.counting import Factor, Space
from tests.space.counting.asked import choices_of, factors_of
from tests.space.counting.diagrams import Diagrams
from tests.space.counting.synthetic import Synthetic, synthetic
from tests.space.counting.walking import walked

CUT = {"rim": 6, "hub": 4, "left spoke": 4, "right spoke": 4, "holes": 2, "crossings": 2,
       "nipple": 3, "nipple colour": 2, "washer": 3, "driver": 2, "class": 3, "brake": 3, "axle": 2,
       "tyre width": 3, "tyre system": 2, "decal": 2, "market": 1, "rider": 2}  # fmt: skip


@pytest.fixture(scope="module")
def small() -> Synthetic:
    whole = synthetic()
    return whole.cut(CUT, Space(choices_of(whole), factors_of(whole)).ways())


@pytest.fixture(scope="module")
def factors(small: Synthetic) -> list[Factor]:
    return factors_of(small)


def test_the_catalog_is_as_large_as_it_says():
    whole = synthetic()
    assert len(whole.rules) == len(set(whole.rules)) == 100
    assert [len(whole.values[name]) for name in ("rim", "hub", "left spoke")] == [60, 80, 20]
    assert whole.combinations >= 10**13


def test_walking_and_elimination_agree_through_every_value(small, factors):
    found = walked(choices_of(small), factors)
    space = Space(choices_of(small), factors)
    assert space.count() == found.shape[1] > 1000
    for row, (name, through) in zip(found, space.ways().items(), strict=True):
        assert through == tuple(np.bincount(row, minlength=len(through))), name


@pytest.mark.parametrize("kind", ["bdd", "bcdd"])
def test_a_decision_diagram_has_as_many_models(small, factors, kind: str):
    choices = choices_of(small)
    diagrams = Diagrams(choices, [choice.name for choice in choices], kind, nodes=2**18)
    assert diagrams.count(factors) == Space(choices, factors).count()


def test_a_rule_more_is_noticed_by_all_three(small, factors):
    choices = choices_of(small)
    more = [*factors, Factor(("rim", "hub"), np.indices((6, 4)).sum(axis=0) % 2 == 0)]
    count = Space(choices, more).count()
    assert 0 < count < Space(choices, factors).count()
    assert count == walked(choices, more).shape[1]
    assert count == Diagrams(choices, list(small.values), "bdd", nodes=2**18).count(more)
