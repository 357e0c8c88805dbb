"""What wheels ask of a spoke store: on each side a length inside a window; and the fewest lengths.

A window is kept as the stock lengths inside it, a stretch of the spoke type's own grid in whole
millimetres, so that nothing after this file compares fractions.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from math import ceil, floor

from buildsheet.plan.lengths import ROUNDING_MM

Window = range
"""The stock lengths that serve, in millimetres: a stretch of the type's grid, never empty."""


@dataclass(frozen=True, slots=True)
class Want:
    """One side of a wheel: its spoke type, the length to make, and how far a stocked length may lie
    under (negative) and over it. ``pieces`` is how many spokes the side takes."""

    spoke: str
    target_mm: float
    window_mm: tuple[float, float]
    pieces: int


@dataclass(frozen=True, slots=True)
class WheelWant:
    """Both sides of wheels that want the same, whose rim it is, and how many builds want it."""

    left: Want
    right: Want
    rim: str
    builds: int = 1

    @property
    def sides(self) -> tuple[Want, Want]:
        """Left, right."""
        return self.left, self.right


def gathered(wants: Iterable[WheelWant]) -> tuple[WheelWant, ...]:
    """Builds that want the same, put together; in the order in which each want came first."""
    builds: Counter[tuple[Want, Want, str]] = Counter()
    for each in wants:
        builds[each.left, each.right, each.rim] += each.builds
    return tuple(
        WheelWant(left, right, rim, number) for (left, right, rim), number in builds.items()
    )


def on_grid(want: Want, grid: range) -> Window | None:
    """The lengths of the grid that serve a want, as its window; None where none does.

    >>> on_grid(Want("SJ18", 280.37, (-0.5, 1.0), 14), range(248, 293))
    range(280, 282)
    >>> on_grid(Want("SJ18", 280.37, (-0.2, 0.9), 14), range(248, 293, 2)) is None
    True
    """
    low = ceil((want.target_mm + want.window_mm[0] - ROUNDING_MM - grid.start) / grid.step)
    high = floor((want.target_mm + want.window_mm[1] + ROUNDING_MM - grid.start) / grid.step)
    return grid[max(low, 0) : max(high + 1, 0)] or None


def fewest(windows: Iterable[Window]) -> tuple[int, ...]:
    """The fewest lengths so that every window holds one, ascending.

    Windows sorted by their upper end; where the last chosen length is not inside, the window's longest
    is chosen. Optimal: the windows that made a choice do not overlap, so each needs a length of its
    own [Cormen et al., greedy choice for stabbing intervals; from memory].

    >>> fewest([range(280, 282), range(281, 283), range(283, 284)])
    (281, 283)
    """
    chosen: list[int] = []
    for window in sorted(windows, key=lambda window: window[-1]):
        if not chosen or chosen[-1] < window[0]:
            chosen.append(window[-1])
    return tuple(chosen)


def narrowest(windows: Iterable[Window]) -> tuple[Window, ...]:
    """The windows that contain no other: who serves these serves all. Ascending."""
    kept: list[Window] = []
    for window in sorted(set(windows), key=lambda each: (each[-1], -each[0])):
        if not kept or kept[-1][0] < window[0]:
            kept.append(window)
    return tuple(kept)


def inside(lengths_mm: Iterable[int], window: Window) -> tuple[int, ...]:
    """Those of the lengths that serve a window."""
    return tuple(length for length in lengths_mm if length in window)
