"""The second goal: among all stores with the fewest lengths, one that keeps most wheels' sides apart.

Two lengths that the eye takes for one are mixed up in the bag, so a wheel should get equal lengths or
lengths that differ plainly. Which of the smallest stores allows that for most builds is a set cover
with a prize, solved to proved optimality by branch and bound (HiGHS, through scipy).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import product
from typing import Final

import numpy as np

from buildsheet.space.lengths.windows import Window, fewest, inside, narrowest

_MOST_SECONDS: Final = 60.0
"""Of search. Nothing known comes near it; a plan that was cut short says so."""

_HALF: Final = 0.5


@dataclass(frozen=True, slots=True)
class Side:
    """One side of a wheel on the grid of its spoke type."""

    spoke: str
    window: Window


@dataclass(frozen=True, slots=True)
class Both:
    """Both sides of wheels that ask the same of the store, and how many builds they are."""

    left: Side
    right: Side
    builds: int


@dataclass(frozen=True, slots=True)
class Store:
    """Lengths by spoke type: as few as can be, and ``apart`` builds whose sides can be kept apart.

    ``proved`` is False where the search for more builds kept apart was cut short; that the lengths are
    the fewest is true in any case.
    """

    lengths_mm: Mapping[str, tuple[int, ...]]
    apart: int
    proved: bool


def smallest_store(wheels: Collection[Both], look_alike_mm: int) -> Store:
    """The fewest lengths of every type; of all such stores one with most builds kept apart."""
    windows = _windows(wheels)
    first = {spoke: fewest(each) for spoke, each in windows.items()}
    asked, settled = _undecided(wheels, look_alike_mm)
    if not asked:
        return Store(first, settled, proved=True)
    found = _search(windows, first, asked, look_alike_mm)
    if found is None:
        return Store(first, kept_apart(wheels, first, look_alike_mm), proved=False)
    lengths, proved = found
    return Store(lengths, kept_apart(wheels, lengths, look_alike_mm), proved)


def kept_apart(
    wheels: Iterable[Both], lengths_mm: Mapping[str, Sequence[int]], look_alike_mm: int
) -> int:
    """Builds for which this store has a pair of lengths that nobody mixes up."""
    return sum(
        each.builds
        for each in wheels
        if any(
            not _alike(left, right, look_alike_mm)
            for left in inside(lengths_mm[each.left.spoke], each.left.window)
            for right in inside(lengths_mm[each.right.spoke], each.right.window)
        )
    )


def _windows(wheels: Iterable[Both]) -> dict[str, tuple[Window, ...]]:
    found: dict[str, set[Window]] = {}
    for each in wheels:
        for side in (each.left, each.right):
            found.setdefault(side.spoke, set()).add(side.window)
    return {spoke: narrowest(found[spoke]) for spoke in sorted(found)}


def _undecided(
    wheels: Iterable[Both], look_alike_mm: int
) -> tuple[Mapping[tuple[Side, Side], int], int]:
    """Wheels for which the choice of store matters (with their builds), and how many builds are apart
    with any store that serves them."""
    asked: Counter[tuple[Side, Side]] = Counter()
    settled = 0
    for each in wheels:
        pairs = product(each.left.window, each.right.window)
        answers = {_alike(*pair, look_alike_mm) for pair in pairs}
        if answers == {True, False}:
            asked[each.left, each.right] += each.builds
        elif answers == {False}:
            settled += each.builds
    return asked, settled


def _alike(left_mm: int, right_mm: int, look_alike_mm: int) -> bool:
    return 0 < abs(left_mm - right_mm) <= look_alike_mm


class _Program:
    """The search as a linear program over whole numbers.

    One yes-or-no for every length of every type, one figure for every wheel asked (kept apart) and one
    for each of its pairs; those come out whole by themselves once the lengths are.
    """

    def __init__(self, windows: Mapping[str, tuple[Window, ...]]) -> None:
        self.column: dict[tuple[str, int], int] = {}
        self.rows: list[tuple[dict[int, float], float, float]] = []
        self.prizes: dict[int, float] = {}
        self.columns = 0
        for spoke, each in windows.items():
            for length in sorted({length for window in each for length in window}):
                self.column[spoke, length] = self._new()
            for window in each:
                self.row({self.column[spoke, length]: 1.0 for length in window}, 1.0, np.inf)

    def _new(self) -> int:
        self.columns += 1
        return self.columns - 1

    def row(self, weights: dict[int, float], low: float, high: float) -> None:
        """Keep the weighted sum between two bounds."""
        self.rows.append((weights, low, high))

    def hold_size(self, spoke: str, size: int) -> None:
        """Let this type have exactly so many lengths."""
        columns = [place for (named, _), place in self.column.items() if named == spoke]
        self.row(dict.fromkeys(columns, 1.0), size, size)

    def prize(self, left: Side, right: Side, builds: int, look_alike_mm: int) -> None:
        """Reward a store that has both lengths of some pair that differs plainly or not at all."""
        wheel = self._new()
        self.prizes[wheel] = float(builds)
        some = {wheel: -1.0}
        for one, other in product(left.window, right.window):
            if _alike(one, other, look_alike_mm):
                continue
            pair = self._new()
            some[pair] = 1.0
            for column in {self.length(left.spoke, one), self.length(right.spoke, other)}:
                self.row({column: 1.0, pair: -1.0}, 0.0, np.inf)
        self.row(some, 0.0, np.inf)

    def length(self, spoke: str, length_mm: int) -> int:
        """The column of a length; a length that no narrow window holds gets one too."""
        key = spoke, length_mm
        if key not in self.column:
            self.column[key] = self._new()
        return self.column[key]


def _search(
    windows: Mapping[str, tuple[Window, ...]],
    first: Mapping[str, tuple[int, ...]],
    asked: Mapping[tuple[Side, Side], int],
    look_alike_mm: int,
) -> tuple[dict[str, tuple[int, ...]], bool] | None:
    """The store with the largest prize and whether that is proved; None where none was found in time."""
    # scipy is slow to import: only whoever plans a store pays for it.
    from scipy.optimize import Bounds, LinearConstraint, milp
    from scipy.sparse import coo_array

    program = _Program(windows)
    for (left, right), builds in asked.items():
        program.prize(left, right, builds, look_alike_mm)
    for spoke, lengths in first.items():
        program.hold_size(spoke, len(lengths))
    places = [(row, column) for row, each in enumerate(program.rows) for column in each[0]]
    weights = [weight for each in program.rows for weight in each[0].values()]
    shape = (len(program.rows), program.columns)
    matrix = coo_array((weights, tuple(zip(*places, strict=True))), shape=shape).tocsr()
    low, high = (np.array([row[end] for row in program.rows]) for end in (1, 2))
    prize = np.zeros(program.columns)
    prize[list(program.prizes)] = list(program.prizes.values())
    whole = np.zeros(program.columns, dtype=np.int64)
    whole[list(program.column.values())] = 1
    answer = milp(
        -prize,
        integrality=whole,
        bounds=Bounds(0.0, 1.0),
        constraints=LinearConstraint(matrix, low, high),
        options={"mip_rel_gap": 0.0, "time_limit": _MOST_SECONDS},
    )
    if answer.x is None:
        return None
    chosen: dict[str, list[int]] = {spoke: [] for spoke in windows}
    for (spoke, length), column in program.column.items():
        if answer.x[column] > _HALF:
            chosen[spoke].append(length)
    return {spoke: tuple(sorted(each)) for spoke, each in chosen.items()}, answer.status == 0
