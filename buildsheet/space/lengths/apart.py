"""Among all stores with the fewest lengths: most wheels' sides apart, then lengths near the targets.

Two lengths that the eye takes for one are mixed up in the bag, so a wheel should get equal lengths or
lengths that differ plainly. Which of the smallest stores allows that for most builds is a set cover
with a prize, solved to proved optimality. What is still free is settled by nearness.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import product

from buildsheet.space.lengths.program import Program
from buildsheet.space.lengths.windows import Window, fewest, inside, narrowest

Aims = Mapping[tuple["Side", float], int]
"""A side and the length in millimetres that would suit it best -> how many builds have it."""


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
    the fewest is true in any case. Nearness to the targets is a wish and not proved.
    """

    lengths_mm: Mapping[str, tuple[int, ...]]
    apart: int
    proved: bool


def smallest_store(wheels: Collection[Both], look_alike_mm: int, aims: Aims | None = None) -> Store:
    """The fewest lengths of every type; of all such stores those with most builds kept apart; of these
    one whose lengths lie near what the sides aim at, each side looked at by itself."""
    windows = _windows(wheels)
    store = {spoke: fewest(each) for spoke, each in windows.items()}
    program = Program(windows)
    asked = _undecided(wheels, look_alike_mm)
    for (left, right), builds in asked.items():
        pairs = [
            ((left.spoke, one), (right.spoke, other))
            for one, other in product(left.window, right.window)
            if not _alike(one, other, look_alike_mm)
        ]
        program.prize(pairs, builds)
    for spoke, lengths in store.items():
        program.hold_size(spoke, len(lengths))
    proved = True
    if asked:
        best, proved = program.most_prizes()
        store = best or store
    if aims and proved:
        for (side, aim_mm), builds in aims.items():
            costs = {(side.spoke, each): abs(each - aim_mm) * builds for each in side.window}
            program.cost(costs)
        store = program.least_cost() or store
    return Store(store, kept_apart(wheels, store, look_alike_mm), proved)


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


def _undecided(wheels: Iterable[Both], look_alike_mm: int) -> Mapping[tuple[Side, Side], int]:
    """The wheels for which it depends on the store whether their sides are apart, and their builds."""
    asked: Counter[tuple[Side, Side]] = Counter()
    for each in wheels:
        pairs = product(each.left.window, each.right.window)
        if len({_alike(*pair, look_alike_mm) for pair in pairs}) > 1:
            asked[each.left, each.right] += each.builds
    return asked


def _alike(left_mm: int, right_mm: int, look_alike_mm: int) -> bool:
    return 0 < abs(left_mm - right_mm) <= look_alike_mm
