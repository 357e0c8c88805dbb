"""What holds for every space: equal to walking it, and to itself asked another way."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from buildsheet.errors import CannotCount
from buildsheet.space.counting import Choice, Factor, Space, arithmetic, ordering, splitting
from tests.space.counting.spaces import (
    Asked,
    Small,
    allowed,
    asked,
    small_spaces,
    walked_count,
    walked_through,
    walked_ways,
)


@settings(max_examples=600)
@given(asked())
def test_the_count_is_what_walking_finds(question: Asked):
    small, held, exists = question.small, question.held, question.exists
    assert small.space().count(held, exists=exists) == walked_count(small, held, exists)


@settings(max_examples=600)
@given(asked())
def test_the_ways_through_every_value_are_what_walking_finds(question: Asked):
    small, held, exists = question.small, question.held, question.exists
    assert dict(small.space().ways(held, exists=exists)) == walked_ways(small, held, exists)


@settings(max_examples=600)
@given(asked())
def test_instead_gives_what_there_would_be_if_that_choice_alone_were_not_held(question: Asked):
    small, held, exists = question.small, question.held, question.exists
    found = small.space().ways(held, exists=exists, instead=True)
    for choice in small.choices:
        others = {name: wish for name, wish in held.items() if name != choice.name}
        assert found[choice.name] == walked_through(small, choice, others, exists)


@given(asked(ored=False))
def test_the_ways_through_all_values_of_a_choice_add_up_to_the_count(question: Asked):
    space = question.small.space()
    count = space.count(question.held)
    for ways in space.ways(question.held).values():
        assert sum(ways) == count


@given(asked())
def test_the_ways_of_one_choice_do_not_depend_on_what_else_is_asked(question: Asked):
    space = question.small.space()
    together = space.ways(question.held, exists=question.exists)
    for name in question.small.names:
        alone = space.ways(question.held, [name], exists=question.exists)
        assert dict(alone) == {name: together[name]}


@given(asked(), st.data())
def test_another_condition_never_adds_a_combination(question: Asked, data: st.DataObject):
    small, held, exists = question.small, question.held, question.exists
    choice = data.draw(st.sampled_from(small.choices))
    kept = data.draw(st.lists(st.booleans(), min_size=choice.size, max_size=choice.size))
    narrower = replace(small, factors=(*small.factors, Factor((choice.name,), np.array(kept))))
    assert narrower.space().count(held, exists=exists) <= small.space().count(held, exists=exists)


@given(asked(), st.data())
def test_the_parts_of_a_summed_choice_add_up(question: Asked, data: st.DataObject):
    small, held, exists = question.small, question.held, question.exists
    summed = [choice for choice in small.choices if choice.name not in exists]
    if not summed:
        return
    choice = data.draw(st.sampled_from(summed))
    values = allowed(choice, held)
    cut = data.draw(st.integers(0, len(values)))
    space = small.space()
    parts = [
        space.count({**held, choice.name: part}, exists=exists)
        for part in (values[:cut], values[cut:])
    ]
    assert sum(parts) == space.count(held, exists=exists)


@given(asked(), st.randoms(use_true_random=False))
def test_the_order_of_choices_and_factors_changes_nothing(question: Asked, chance):
    small, held, exists = question.small, question.held, question.exists
    choices, factors = list(small.choices), list(small.factors)
    chance.shuffle(choices)
    chance.shuffle(factors)
    turned = [Factor(f.names[::-1], f.table.transpose()) for f in factors]
    other = Space(choices, turned)
    assert other.ways(held, exists=exists) == small.space().ways(held, exists=exists)


@given(small_spaces(), st.data())
def test_a_value_that_stands_twice_has_its_ways_twice(small: Small, data: st.DataObject):
    """Merged as one class or not: the copy is told apart by a table over itself and nothing else."""
    choice = data.draw(st.sampled_from(small.choices))
    value = data.draw(st.integers(0, choice.size - 1))
    weights = choice.weights and (*choice.weights, choice.weights[value])
    wider = [
        Choice(c.name, c.size + 1, weights) if c.name == choice.name else c for c in small.choices
    ]
    rows = [*range(choice.size), value]
    factors = [
        Factor(f.names, f.table.take(rows, axis=f.names.index(choice.name)))
        if choice.name in f.names
        else f
        for f in small.factors
    ]
    before, after = small.space(), Space(wider, factors)
    assert after.classes == before.classes
    ways = before.ways()[choice.name]
    assert after.ways()[choice.name] == (*ways, ways[value])
    assert after.count() == before.count() + ways[value]


@contextmanager
def splits_gladly() -> Iterator[None]:
    """Every pass is free: spaces are split by whatever leaves less work."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(splitting, "OVERHEAD", 0.0)
        yield


@contextmanager
def little_memory() -> Iterator[None]:
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(ordering, "MOST_ENTRIES", 8)
        yield


@settings(max_examples=600)
@given(asked())
def test_a_space_that_is_split_to_save_work_counts_the_same(question: Asked):
    small, held, exists = question.small, question.held, question.exists
    with splits_gladly():
        found = dict(small.space().ways(held, exists=exists))
    assert found == walked_ways(small, held, exists)


@given(asked())
def test_instead_is_the_same_in_a_space_that_is_split(question: Asked):
    small, held, exists = question.small, question.held, question.exists
    with splits_gladly():
        found = small.space().ways(held, exists=exists, instead=True)
    for choice in small.choices:
        others = {name: wish for name, wish in held.items() if name != choice.name}
        assert found[choice.name] == walked_through(small, choice, others, exists)


@settings(max_examples=300)
@given(asked())
def test_a_space_that_is_split_for_the_memorys_sake_counts_the_same(question: Asked):
    small, held, exists = question.small, question.held, question.exists
    try:
        with little_memory():
            split = dict(small.space().ways(held, exists=exists))
    except CannotCount:
        assert exists, "only or-ed choices cannot be split"
    else:
        assert split == walked_ways(small, held, exists)


@settings(max_examples=300)
@given(asked(), st.integers(2, 200))
def test_numbers_that_prove_too_large_on_the_way_are_counted_another_way(
    question: Asked, most: int
):
    """As if floats were exact up to ``most`` only."""
    small, held, exists = question.small, question.held, question.exists
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(arithmetic, "EXACT", most)
        found = dict(small.space().ways(held, exists=exists))
    assert found == walked_ways(small, held, exists)
