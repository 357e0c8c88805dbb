"""Means, spread and ratio of what was read, in newtons."""

from __future__ import annotations

from dataclasses import dataclass
from statistics import fmean

from buildsheet.bench.task import Task
from buildsheet.wheel.spec import SIDES, Side, Sides

Forces = tuple[float | None, ...]
"""Newtons by hole; None where nothing usable was read."""


@dataclass(frozen=True, slots=True)
class SideFigures:
    """One side, from the spokes that were read: lowest and highest with their holes, and how far they
    lie from the side's mean in percent."""

    mean_n: float
    lowest_n: float
    lowest_hole: int
    highest_n: float
    highest_hole: int

    @property
    def below_percent(self) -> float:
        """The lowest spoke against the mean; never positive."""
        return 100.0 * (self.lowest_n / self.mean_n - 1.0)

    @property
    def above_percent(self) -> float:
        """The highest spoke against the mean; never negative."""
        return 100.0 * (self.highest_n / self.mean_n - 1.0)


def side_figures(task: Task, forces: Forces, side: Side) -> SideFigures | None:
    """The figures of one side; None where none of its spokes was read or all hang loose."""
    read: list[tuple[float, int]] = []
    for hole in task.holes_of(side):
        force_n = forces[hole - 1]
        if force_n is not None:
            read.append((force_n, hole))
    if not read:
        return None
    mean_n = fmean(each for each, _ in read)
    if mean_n <= 0.0:
        return None
    (low_n, low_hole), (high_n, high_hole) = min(read), max(read)
    return SideFigures(mean_n, low_n, low_hole, high_n, high_hole)


def both_sides(task: Task, forces: Forces) -> Sides[SideFigures] | None:
    """The figures of both sides, where both were read."""
    left, right = (side_figures(task, forces, side) for side in SIDES)
    return Sides(left, right) if left is not None and right is not None else None


def ratio(task: Task, figures: Sides[SideFigures]) -> float:
    """The mean of the side that was planned slack over the mean of the one planned tight."""
    slack: Side = "left" if task.tight_side == "right" else "right"
    return figures[slack].mean_n / figures[task.tight_side].mean_n
