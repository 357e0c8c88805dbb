"""What the door promises beside the numbers: classes, refusals, and how often a condition is asked."""

from __future__ import annotations

import numpy as np
import pytest

from buildsheet.errors import CannotCount
from buildsheet.space.counting import Choice, Factor, Space, condition_factor

RIM, HUB = Choice("rim", 3), Choice("hub", 2)
SAME = Factor(("rim", "hub"), np.array([[True, False], [True, False], [False, True]]))


def full(names: str, size: int, seed: int) -> Factor:
    """A table in which no two values are alike."""
    chance = np.random.default_rng(seed)
    return Factor(tuple(names), chance.random((size,) * len(names)) < 0.5)


def test_values_that_no_factor_tells_apart_are_one_class():
    assert Space([RIM, HUB], [SAME]).classes == {"rim": 2, "hub": 2}


def test_a_value_that_goes_with_nothing_has_no_class():
    dead = Factor(("rim", "hub"), np.array([[True, False], [False, False], [False, True]]))
    space = Space([RIM, HUB], [dead])
    assert space.classes == {"rim": 2, "hub": 2}
    assert space.ways()["rim"] == (1, 0, 1)


def test_a_value_held_by_a_list_of_none_leaves_nothing():
    space = Space([RIM, HUB], [SAME])
    assert space.count({"rim": []}) == 0
    assert space.ways({"rim": []}) == {"rim": (0, 0, 0), "hub": (0, 0)}


def test_a_space_whose_factors_contradict_each_other_is_empty():
    never = Factor(("hub",), np.array([False, False]))
    space = Space([RIM, HUB], [SAME, never])
    assert space.count() == 0
    assert space.ways() == {"rim": (0, 0, 0), "hub": (0, 0)}


def test_a_choice_without_values_leaves_nothing():
    space = Space([RIM, Choice("none", 0)], [])
    assert space.count() == 0
    assert space.ways() == {"rim": (0, 0, 0), "none": ()}


@pytest.mark.parametrize(
    ("choices", "factors", "says"),
    [
        ([RIM, RIM], [], "two choices named rim"),
        ([RIM], [SAME], "names the choice hub"),
        ([RIM, Choice("hub", 5)], [SAME], "hub has 5 values"),
    ],
)
def test_what_does_not_fit_is_refused(choices: list[Choice], factors: list[Factor], says: str):
    with pytest.raises(CannotCount, match=says):
        Space(choices, factors)


@pytest.mark.parametrize(
    ("table", "says"),
    [
        (np.ones((2, 2)), "only truth values and whole numbers"),
        (np.array([[1, -1]]), "below 0"),
        (np.array([True]), "1 axes"),
    ],
)
def test_a_table_that_cannot_be_counted_is_refused(table: np.ndarray, says: str):
    with pytest.raises(CannotCount, match=says):
        Factor(("rim", "hub"), table)


def test_weights_must_fit_the_values():
    with pytest.raises(CannotCount, match="3 values, but 2 weights"):
        Choice("rim", 3, (1, 2))
    with pytest.raises(CannotCount, match="below 0"):
        Choice("rim", 1, (-1,))


def test_an_unknown_choice_or_value_is_refused():
    space = Space([RIM, HUB], [SAME])
    with pytest.raises(CannotCount, match="no choice spoke"):
        space.count({"spoke": 0})
    with pytest.raises(CannotCount, match="0 to 2; 3 is held"):
        space.count({"rim": 3})
    with pytest.raises(CannotCount, match="no choice spoke"):
        space.ways(of=["spoke"])


def test_numbers_above_one_cannot_be_ored():
    twice = Factor(("rim", "hub"), SAME.table * 2)
    with pytest.raises(CannotCount, match="only yes and no"):
        Space([RIM, HUB], [twice]).count(exists=["hub"])


def test_a_space_too_entangled_for_the_memory_says_so_and_counts_once_more_is_held():
    names = "abcdefgh"
    choices = [Choice(name, 60) for name in names]
    pairs = [one + two for one in names for two in names if one < two]
    space = Space(choices, [full(pair, 60, number) for number, pair in enumerate(pairs)])
    with pytest.raises(CannotCount, match="Try to hold more choices"):
        space.count()
    held = dict.fromkeys("abcde", 0)
    assert space.count(held) == sum(space.count({**held, "f": value}) for value in range(60))


def test_a_large_space_is_split_and_equals_the_product_of_matrices():
    """Four choices of 90, all pairs bound: the whole table is beyond the limit, its slices are not."""
    names = "abcd"
    factors = [
        full(one + two, 90, ord(one) * ord(two)) for one in names for two in names if one < two
    ]
    space = Space([Choice(name, 90) for name in names], factors)
    of = {factor.names: factor.table.astype(np.int64) for factor in factors}
    expected = 0
    for value in range(90):
        left = of["b", "c"] * of["a", "b"][value][:, None] * of["a", "c"][value][None]
        for last in np.flatnonzero(of["a", "d"][value]):
            expected += int(of["b", "d"][:, last] @ left @ of["c", "d"][:, last])
    assert space.count() == expected


def test_a_condition_is_asked_once_for_every_combination_that_it_reads():
    asked = []

    def same_holes(read: tuple[tuple[object, ...], ...]) -> bool:
        asked.append(read)
        return read[0] == read[1]

    columns = {"rim": [(28,), (32,), (28,), (28,)], "hub": [(32,), (28,), (32,)]}
    factor = condition_factor(("hub", "rim"), columns, same_holes)
    assert factor.names == ("hub", "rim")
    assert factor.table.tolist() == [
        [False, True, False, False], [True, False, True, True], [False, True, False, False],
    ]  # fmt: skip
    assert len(asked) == len(set(asked)) == 4


def test_facts_that_are_equal_but_of_another_kind_are_asked_apart():
    columns = {"rim": [(1,), (1.0,), (True,), (1,)]}
    factor = condition_factor(("rim",), columns, lambda read: isinstance(read[0][0], float))
    assert factor.table.tolist() == [False, True, False, False]


def test_a_condition_that_reads_nothing_of_a_choice_leaves_it_free():
    columns: dict[str, list[tuple[object, ...]]] = {"rim": [(1,), (2,), (1,)], "hub": [(), ()]}
    factor = condition_factor(("rim", "hub"), columns, lambda read: read == ((1,), ()))
    assert Space([RIM, HUB], [factor]).ways() == {"rim": (2, 0, 2), "hub": (2, 2)}
