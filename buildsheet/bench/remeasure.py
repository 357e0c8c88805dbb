"""A rim that measures other than its catalog figure: what its spokes have to be."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

from buildsheet.bench.task import Task
from buildsheet.plan.plan import Plan
from buildsheet.wheel.mechanics import solve_sides
from buildsheet.wheel.spec import Sides

FARTHEST_MM: Final = 5.0
"""No rim measures so far off its catalog figure: it is another rim, or another of its diameters was read
[proposal]."""


@dataclass(frozen=True, slots=True)
class Remeasured:
    """``off_mm`` is measured less planned. ``targets_mm`` are lengths to make for the measured rim."""

    erd_mm: float
    off_mm: float
    targets_mm: Sides[float]


def remeasured(plan: Plan, task: Task, erd_mm: float) -> Remeasured:
    """The lengths that a rim of this effective diameter wants, all else as planned.

    Raises as `solve_sides` does where no such wheel can be computed.
    """
    spec = replace(task.spec, rim=replace(task.spec.rim, erd_mm=erd_mm))
    sides = solve_sides(spec).sides
    return Remeasured(
        erd_mm=erd_mm,
        off_mm=erd_mm - plan.erd_mm,
        targets_mm=Sides(sides.left.target_mm, sides.right.target_mm),
    )
