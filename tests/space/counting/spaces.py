"""Small invented spaces, and the plain way to count them: going through every combination."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from math import prod

import numpy as np
from hypothesis import strategies as st

from buildsheet.space.counting import Choice, Factor, Space

Values = Mapping[str, int | Sequence[int]]


@dataclass(frozen=True)
class Small:
    choices: tuple[Choice, ...]
    factors: tuple[Factor, ...]

    def space(self) -> Space:
        return Space(self.choices, self.factors)

    @property
    def names(self) -> list[str]:
        return [choice.name for choice in self.choices]


@dataclass(frozen=True)
class Asked:
    small: Small
    held: dict[str, int | list[int]]
    exists: tuple[str, ...]


def allowed(choice: Choice, held: Values) -> list[int]:
    wish = held.get(choice.name, range(choice.size))
    return [wish] if isinstance(wish, int) else sorted(set(wish))


def walk(small: Small, held: Values, exists: Collection[str] = ()) -> np.ndarray:
    """The number of ways of every combination there is: one axis a choice, an or-ed one of length 1."""
    ways = np.ones([choice.size for choice in small.choices], dtype=np.int64)
    for axis, choice in enumerate(small.choices):
        chosen = np.zeros(choice.size, dtype=np.int64)
        chosen[allowed(choice, held)] = 1
        weights = np.array(choice.weights or [1] * choice.size, dtype=np.int64)
        if choice.name in exists:
            weights = np.minimum(weights, 1)
        ways = ways * (chosen * weights).reshape([-1 if a == axis else 1 for a in range(ways.ndim)])
    for factor in small.factors:
        for values in np.ndindex(ways.shape):
            of = dict(zip(small.names, values, strict=True))
            ways[values] *= int(factor.table[tuple(of[name] for name in factor.names)])
    for axis, choice in enumerate(small.choices):
        if choice.name in exists:
            ways = ways.max(axis=axis, keepdims=True, initial=0)
    return ways


def walked_count(small: Small, held: Values, exists: Collection[str] = ()) -> int:
    return int(walk(small, held, exists).sum())


def walked_ways(small: Small, held: Values, exists: Collection[str]) -> dict[str, tuple[int, ...]]:
    return {choice.name: walked_through(small, choice, held, exists) for choice in small.choices}


def walked_through(
    small: Small, choice: Choice, held: Values, exists: Collection[str]
) -> tuple[int, ...]:
    """The ways through each value: of an or-ed choice, those of the rest that it goes with."""
    others = [name for name in exists if name != choice.name]
    ones = None if choice.weights is None else tuple(min(weight, 1) for weight in choice.weights)
    flat = replace(choice, weights=ones) if choice.name in exists else choice
    same = replace(small, choices=tuple(flat if c is choice else c for c in small.choices))
    ways = walk(same, held, others)
    axis = small.choices.index(choice)
    return tuple(int(row.sum()) for row in np.moveaxis(ways, axis, 0))


def _weights(draw: st.DrawFn, size: int) -> tuple[int, ...] | None:
    if not draw(st.booleans()):
        return None
    return tuple(draw(st.lists(st.integers(0, 4), min_size=size, max_size=size)))


def _table(draw: st.DrawFn, shape: tuple[int, ...], *, counted: bool) -> np.ndarray:
    entries = st.integers(0, 3) if counted else st.sampled_from([True, True, False])
    cells = prod(shape)
    drawn = draw(st.lists(entries, min_size=cells, max_size=cells))
    return np.array(drawn, dtype=np.int64 if counted else np.bool_).reshape(shape)


@st.composite
def small_spaces(draw: st.DrawFn, *, counted: bool = True) -> Small:
    """Up to five choices of up to three values, up to six factors over up to three of them."""
    sizes = draw(st.lists(st.integers(1, 3), min_size=1, max_size=5))
    choices = tuple(
        Choice(f"c{number}", size, _weights(draw, size)) for number, size in enumerate(sizes)
    )
    factors = []
    for _ in range(draw(st.integers(0, 6))):
        picked = draw(st.permutations(choices))[: draw(st.integers(0, 3))]
        shape = tuple(choice.size for choice in picked)
        yes_no = not counted or draw(st.booleans())
        table = _table(draw, shape, counted=not yes_no)
        factors.append(Factor(tuple(choice.name for choice in picked), table))
    return Small(choices, tuple(factors))


@st.composite
def asked(draw: st.DrawFn, *, ored: bool = True) -> Asked:
    """A space, what is held in it, and which of its choices are or-ed."""
    small = draw(small_spaces())
    held: dict[str, int | list[int]] = {}
    for choice in small.choices:
        values = st.integers(0, choice.size - 1)
        wish = draw(st.none() | values | st.lists(values, max_size=choice.size))
        if wish is not None:
            held[choice.name] = wish
    counted = {name for f in small.factors if f.counted for name in f.names}
    free = [name for name in small.names if name not in counted]
    exists = tuple(name for name in free if ored and draw(st.booleans()))
    return Asked(small, held, exists)
