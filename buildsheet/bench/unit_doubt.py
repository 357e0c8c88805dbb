"""Newtons and kilogram-force mistaken for each other: a factor of ten that no built wheel shows."""

from __future__ import annotations

from statistics import median

from buildsheet.bench.codes import found
from buildsheet.bench.readings import Tensions
from buildsheet.bench.task import Task
from buildsheet.findings import Finding
from buildsheet.units import NEWTON_PER_KGF

_NEAR = (0.5, 1.5)
"""Shares of the targets between which readings are believed to be of this wheel [proposal]."""


def unit_doubt(task: Task, tensions: Tensions | None) -> Finding | None:
    """A finding where the readings make sense in the other unit and none in the one that was said.

    The middle reading counts, as a share of its spoke's target, so that a slip at one spoke is no doubt
    of all.
    """
    if tensions is None or tensions.unit == "scale":
        return None
    shares = [
        typed / task.target_n[side]
        for typed, side in zip(tensions.typed, task.sides, strict=False)
        if typed is not None
    ]
    if not shares:
        return None
    said, other, factor = (
        ("N", "kgf", NEWTON_PER_KGF) if tensions.unit == "n" else ("kgf", "N", 1.0)
    )
    low, high = _NEAR
    if not low <= median(shares) * factor <= high:
        return None
    return found(
        "bench.gauge-range",
        "block",
        "/tension/unit",
        f"The readings were said to be in {said}; as {other} they would lie near the targets. Look at the "
        f"gauge's scale and say the unit again. If they are {said}, the wheel is far from its targets.",
        have={"unit": tensions.unit},
        need={"unit": "kgf" if tensions.unit == "n" else "n"},
    )
