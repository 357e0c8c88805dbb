"""A condition over facts of some choices becomes a factor, asked as seldom as can be."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping, Sequence
from itertools import product

import numpy as np

from buildsheet.space.counting.problem import Factor

Facts = tuple[Hashable, ...]
Combination = tuple[Facts, ...]


def condition_factor(
    names: Sequence[str],
    columns: Mapping[str, Sequence[Facts]],
    ask: Callable[[Combination], bool],
) -> Factor:
    """Which values of the named choices meet the condition: a factor of truth values.

    ``columns``: for each choice, one tuple of the facts read for each value, in the values' order.
    ``ask`` is handed one such tuple a choice, in the order of ``names``, and is asked once for every
    distinct combination: values that share what is read share the answer.

    >>> holes = {"rim": [(28,), (32,), (28,)], "hub": [(32,), (28,)]}
    >>> condition_factor(("rim", "hub"), holes, lambda read: read[0] == read[1]).table.tolist()
    [[False, True], [True, False], [False, True]]
    """
    read = [_distinct(columns[name]) for name in names]
    asked = np.fromiter(
        (bool(ask(combination)) for combination in product(*(facts for facts, _ in read))),
        dtype=np.bool_,
    ).reshape([len(facts) for facts, _ in read])
    return Factor(tuple(names), asked[np.ix_(*(places for _, places in read))] if names else asked)


def _distinct(column: Sequence[Facts]) -> tuple[list[Facts], np.ndarray]:
    """The different facts, in order of appearance, and for every value where its facts stand.

    1, 1.0 and True are equal but not the same fact to a typed rule: kinds are told apart.
    """
    places: dict[Hashable, int] = {}
    facts: list[Facts] = []
    where = np.empty(len(column), dtype=np.intp)
    for value, read in enumerate(column):
        key = (read, tuple(type(fact) for fact in read))
        place = places.setdefault(key, len(facts))
        if place == len(facts):
            facts.append(read)
        where[value] = place
    return facts, where
