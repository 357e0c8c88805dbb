"""Stores of lengths as a program over whole numbers, solved by branch and bound (HiGHS, through scipy).

One yes-or-no for every length of every type. Prizes and costs add figures between 0 and 1 that come out
whole by themselves once the lengths are.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Final

import numpy as np
from numpy.typing import NDArray

from buildsheet.space.lengths.windows import Window

Length = tuple[str, int]
"""Spoke type and millimetres."""

Lengths = dict[str, tuple[int, ...]]

_MOST_SECONDS: Final = 60.0
"""Of search. Nothing known comes near it; a plan that was cut short says so."""

_NEAR_ENOUGH: Final = 1e-4
"""Share by which the summed distance from the targets may miss its least: a wish, not a promise."""

_HALF: Final = 0.5


class Program:
    """The conditions on a store, gathered; and the best store under them."""

    def __init__(self, windows: Mapping[str, tuple[Window, ...]]) -> None:
        self._column: dict[Length, int] = {}
        self._rows: list[tuple[dict[int, float], float, float]] = []
        self._prizes: dict[int, float] = {}
        self._costs: dict[int, float] = {}
        self._sizes: dict[str, int] = {}
        self._columns = 0
        self._spokes = tuple(windows)
        for spoke, each in windows.items():
            for window in each:
                self._row({self._length((spoke, length)): 1.0 for length in window}, 1.0, np.inf)

    def hold_size(self, spoke: str, size: int) -> None:
        """Let this type have exactly so many lengths, those that prizes and costs bring in included."""
        self._sizes[spoke] = size

    def prize(self, pairs: Iterable[tuple[Length, Length]], builds: int) -> None:
        """Reward a store that has both lengths of at least one of these pairs."""
        wheel = self._new()
        self._prizes[wheel] = float(builds)
        some = {wheel: -1.0}
        for lengths in pairs:
            pair = self._new()
            some[pair] = 1.0
            for column in {self._length(each) for each in lengths}:
                self._row({column: 1.0, pair: -1.0}, 0.0, np.inf)
        self._row(some, 0.0, np.inf)

    def cost(self, costs: Mapping[Length, float]) -> None:
        """Charge the cheapest of these lengths that the store has."""
        if len(costs) == 1:
            return
        taken: dict[int, float] = {}
        for length, cost in costs.items():
            share = self._new()
            taken[share] = 1.0
            self._costs[share] = cost
            self._row({self._length(length): 1.0, share: -1.0}, 0.0, np.inf)
        self._row(taken, 1.0, 1.0)

    def most_prizes(self) -> tuple[Lengths | None, bool]:
        """The store with the largest prize, held from now on, and whether it is proved; None where none
        was found in time."""
        found = self._solve({column: -prize for column, prize in self._prizes.items()}, 0.0)
        if found is None:
            return None, False
        values, proved = found
        won = sum(prize for column, prize in self._prizes.items() if values[column] > _HALF)
        self._row(dict(self._prizes), won - _HALF, np.inf)
        return self._lengths(values), proved

    def least_cost(self) -> Lengths | None:
        """The store whose charges are least, to a small share; None where none was found in time."""
        found = self._solve(self._costs, _NEAR_ENOUGH)
        return self._lengths(found[0]) if found else None

    def _new(self) -> int:
        self._columns += 1
        return self._columns - 1

    def _row(self, weights: dict[int, float], low: float, high: float) -> None:
        self._rows.append((weights, low, high))

    def _length(self, length: Length) -> int:
        if length not in self._column:
            self._column[length] = self._new()
        return self._column[length]

    def _size_rows(self) -> Iterator[tuple[dict[int, float], float, float]]:
        for spoke, size in self._sizes.items():
            columns = [place for (named, _), place in self._column.items() if named == spoke]
            yield dict.fromkeys(columns, 1.0), size, size

    def _lengths(self, values: NDArray[np.float64]) -> Lengths:
        chosen: dict[str, list[int]] = {spoke: [] for spoke in self._spokes}
        for (spoke, length), column in self._column.items():
            if values[column] > _HALF:
                chosen[spoke].append(length)
        return {spoke: tuple(sorted(each)) for spoke, each in chosen.items()}

    def _solve(
        self, weights: Mapping[int, float], gap: float
    ) -> tuple[NDArray[np.float64], bool] | None:
        # scipy is slow to import: only whoever plans a store pays for it.
        from scipy.optimize import Bounds, LinearConstraint, milp
        from scipy.sparse import coo_array

        rows = [*self._rows, *self._size_rows()]
        places = [(row, column) for row, each in enumerate(rows) for column in each[0]]
        values = [value for each in rows for value in each[0].values()]
        shape = (len(rows), self._columns)
        matrix = coo_array((values, tuple(zip(*places, strict=True))), shape=shape).tocsr()
        low, high = (np.array([row[end] for row in rows]) for end in (1, 2))
        objective = np.zeros(self._columns)
        objective[list(weights)] = list(weights.values())
        whole = np.zeros(self._columns, dtype=np.int64)
        whole[list(self._column.values())] = 1
        answer = milp(
            objective,
            integrality=whole,
            bounds=Bounds(0.0, 1.0),
            constraints=LinearConstraint(matrix, low, high),
            options={"mip_rel_gap": gap, "time_limit": _MOST_SECONDS},
        )
        return None if answer.x is None else (answer.x, answer.status == 0)
