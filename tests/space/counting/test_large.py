"""Numbers beyond any machine word stay exact."""

from __future__ import annotations

from math import comb

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from buildsheet.space.counting import Choice, Factor, Space
from buildsheet.space.counting.arithmetic import EXACT, Remainders, joined, rings
from tests.space.counting.spaces import Small, small_spaces

UNEQUAL = ~np.eye(9, dtype=np.bool_)


def ring_of(size: int) -> Space:
    """Neighbours in a ring of choices among 9 colours differ."""
    names = [f"c{number}" for number in range(size)]
    pairs = zip(names, [*names[1:], names[0]], strict=True)
    return Space([Choice(name, 9) for name in names], [Factor(pair, UNEQUAL) for pair in pairs])


@pytest.mark.parametrize("size", [3, 12, 17, 18, 21, 22, 80, 150])
def test_colourings_of_a_ring_are_those_of_the_closed_form(size: int):
    """(k - 1)^n + (-1)^n (k - 1) colourings of a ring of n with k colours; 150: above 2^449."""
    expected = 8**size + (-1) ** size * 8
    space = ring_of(size)
    assert space.count() == expected
    assert space.count({"c1": 4}) * 9 == expected
    assert space.ways(of=["c2"])["c2"] == (expected // 9,) * 9


def test_weights_beyond_a_machine_word_multiply_exactly():
    huge = (3**150, 0, 5**101)
    space = Space(
        [Choice("a", 3, huge), Choice("b", 2, (7**90, 1))],
        [Factor(("a", "b"), np.array([[1, 0], [1, 1], [2**62, 1]]))],
    )
    first, last = huge[0] * 7**90, huge[2] * (7**90 * 2**62 + 1)
    assert space.count() == first + last
    assert space.ways()["a"] == (first, 0, last)


def test_numbers_in_factors_may_be_of_any_size():
    table = np.array([[10**40, 3], [10**40, 4]], dtype=object)
    space = Space([Choice("a", 2), Choice("b", 2)], [Factor(("a", "b"), table)])
    assert space.count() == 2 * 10**40 + 7
    assert space.ways({"a": 1}) == {"a": (0, 10**40 + 4), "b": (10**40, 4)}


def test_many_choices_without_a_factor_multiply():
    space = Space([Choice(f"c{number}", 60) for number in range(40)], [])
    assert space.count() == 60**40
    assert space.ways()["c7"] == (60**39,) * 60


def test_picking_seven_of_thirty_is_the_binomial():
    """A chain of running totals: choice and total together are two choices a step."""
    steps, most = 30, 7
    choices, factors = [Choice("t0", most + 2)], [Factor(("t0",), np.arange(most + 2) == 0)]
    for step in range(steps):
        choices += [Choice(f"x{step}", 2), Choice(f"t{step + 1}", most + 2)]
        before, more, after = np.ogrid[: most + 2, :2, : most + 2]
        table = np.minimum(before + more, most + 1) == after
        factors.append(Factor((f"t{step}", f"x{step}", f"t{step + 1}"), table))
    assert Space(choices, factors).count({f"t{steps}": most}) == comb(steps, most)


def test_sums_longer_than_remainders_allow_are_taken_in_blocks():
    """20,000 values told apart on both sides, with numbers near the prime: above 2^53 unblocked."""
    size = 20_000
    wide = np.arange(2**20 - size, 2**20, dtype=np.int64)[:, None] * np.array([1, 1, 0]) + 1
    space = Space(
        [Choice("x", size), Choice("a", 3), Choice("b", 3)],
        [Factor(("x", "a"), wide), Factor(("b", "x"), wide.T.copy())],
    )
    column = [int(number) for number in wide[:, 0]]
    entries = {0: sum(n * n for n in column), 1: sum(column), 2: size}
    assert space.count() == 4 * entries[0] + 4 * entries[1] + entries[2]
    assert space.count({"a": 0, "b": 0}) == entries[0]


@settings(max_examples=60)
@given(small_spaces(), st.integers(1, 90))
def test_a_heavy_choice_beside_the_rest_multiplies_everything(small: Small, power: int):
    """The same space counted plain and in remainders."""
    heavy = Space([*small.choices, Choice("heavy", 1, (10**power,))], small.factors)
    plain = small.space().ways()
    found = heavy.ways()
    for name in small.names:
        assert found[name] == tuple(ways * 10**power for ways in plain[name])


@given(st.lists(st.integers(0, 2**260), min_size=1, max_size=5))
def test_remainders_join_to_the_number_they_came_from(numbers: list[int]):
    used = rings(2**260)
    results = [
        np.array([number % ring.prime for number in numbers], dtype=np.float64)
        for ring in used
        if isinstance(ring, Remainders)
    ]
    assert joined(used, results) == numbers


@given(st.integers(0, EXACT - 1))
def test_a_remainder_is_right_up_to_the_last_exact_number(number: int):
    for ring in rings(EXACT**2):
        assert isinstance(ring, Remainders)
        near = [
            number,
            number // ring.prime * ring.prime,
            max(number // ring.prime, 1) * ring.prime - 1,
        ]
        settled = ring.settle(np.array(near, dtype=np.float64))
        assert settled.tolist() == [n % ring.prime for n in near]
