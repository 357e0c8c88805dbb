"""What a question holds fixed, in terms of one choice's classes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from buildsheet.errors import CannotCount
from buildsheet.space.counting.arithmetic import EXACT, Floats, Plain, Ring
from buildsheet.space.counting.merging import Places
from buildsheet.space.counting.problem import Choice
from buildsheet.space.counting.support import Alive

Wholes = npt.NDArray[Any]
"""Whole numbers: 64-bit, or Python's own where these do not hold them."""


@dataclass(frozen=True, eq=False)
class Held:
    """The classes of one choice that take part, and the weight of each.

    ``rows``: their numbers, None for all of them; ``weights`` stand in the order of ``rows``.
    ``total``: the weight of all values that could be asked about.
    """

    rows: Places | None
    weights: Wholes
    total: int

    @property
    def size(self) -> int:
        """How many classes take part."""
        return len(self.weights)

    def floats(self, ring: Ring) -> Floats:
        """The weights as the ring works with them."""
        if not isinstance(ring, Plain) and (
            self.weights.dtype == object or self.total >= ring.prime
        ):
            return np.asarray(self.weights % ring.prime).astype(np.float64)
        return self.weights.astype(np.float64)

    def only(self, position: int) -> Held:
        """The one class at this position."""
        row = position if self.rows is None else int(self.rows[position])
        weights = self.weights[position : position + 1]
        return Held(np.array([row], dtype=np.intp), weights, self.total)

    def alive(self, size: int) -> Alive:
        """1 for each of so many classes that takes part."""
        alive = np.zeros(size, dtype=np.float32)
        alive[slice(None) if self.rows is None else self.rows] = 1
        return alive

    def left(self, alive: Alive) -> Held:
        """Those that take part and are alive."""
        lives = (alive if self.rows is None else alive[self.rows]) > 0
        if lives.all():
            return self
        rows = np.flatnonzero(lives) if self.rows is None else self.rows[lives]
        return Held(rows, self.weights[lives], self.total)

    def cut(self, table: Floats, axis: int) -> Floats:
        """The table with the classes that take part, a view where it is one class."""
        if self.rows is None:
            return table
        if len(self.rows) == 1:
            row = int(self.rows[0])
            return table[(slice(None),) * axis + (slice(row, row + 1),)]
        return table.take(self.rows, axis=axis)


def allowed_values(choice: Choice, wanted: int | Sequence[int]) -> list[int]:
    """The values held, checked; raises `CannotCount` for one that the choice does not have."""
    values = [wanted] if isinstance(wanted, int | np.integer) else list(wanted)
    for value in values:
        if not 0 <= value < choice.size:
            raise CannotCount(
                f"choice {choice.name} has the values 0 to {choice.size - 1}; {value} is held"
            )
    return sorted(set(values))


def held(
    choice: Choice,
    classes: Places,
    size: int,
    values: Sequence[int] | None,
    *,
    flat: bool = False,
    masked: bool = False,
) -> Held:
    """What takes part when only these values may be chosen (None: all).

    ``flat``: a weight above 0 counts as 1, and so does a class (of an or-ed choice). ``masked``: all
    classes take part, those that are not held with the weight 0.
    """
    own = value_weights(choice, flat=flat)
    where = slice(None) if values is None else list(values)
    summed = np.zeros(size + 1, dtype=own.dtype)  # the last is for values of no class
    np.add.at(summed, classes[where], own[where])
    weights: Wholes = np.minimum(summed[:-1], 1) if flat else summed[:-1]
    total = int(sum(own.tolist())) if masked else int(sum(weights.tolist()))
    if masked or bool((weights != 0).all()):
        return Held(None, weights, total)
    rows = np.flatnonzero(weights)
    return Held(rows, weights[rows], total)


def value_weights(choice: Choice, *, flat: bool = False) -> Wholes:
    """One weight a value."""
    if choice.weights is None:
        return np.ones(choice.size, dtype=np.int64)
    if flat:
        return np.array([min(weight, 1) for weight in choice.weights], dtype=np.int64)
    dtype = np.int64 if sum(choice.weights) < EXACT else object
    return np.array(choice.weights, dtype=dtype)
