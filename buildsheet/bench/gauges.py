"""Spoke tension gauges: a calibration table for each gauge and spoke type, and nothing beyond it.

A gauge's scale is far from straight: a step that is 50 N at 540 N may be 200 N above 1000 N [common
practice]. Readings are therefore turned into newtons first and compared in newtons only.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from itertools import pairwise
from typing import Any, Final, Literal

from buildsheet.errors import CannotCompute
from buildsheet.units import NEWTON_PER_KGF

Unit = Literal["scale", "n", "kgf"]
"""What the builder typed: the gauge's own scale, newtons or kilogram-force."""

LEAST_POINTS: Final = 3
"""Tensions that a table must have been made at [common practice]."""


@dataclass(frozen=True, slots=True)
class Mark:
    """One calibrated point: the gauge showed ``shown`` on its own scale at ``force_n``."""

    shown: float
    force_n: float


@dataclass(frozen=True, slots=True)
class GaugeTable:
    """One gauge on one spoke type. ``error_share`` is the expanded error as a share of the force; the
    table may be used from ``made_on`` through ``due_on``.

    Raises ValueError for fewer than three marks, or marks that do not rise or fall throughout.
    """

    gauge: str
    spoke: str
    version: str
    made_on: date
    due_on: date
    error_share: float
    marks: tuple[Mark, ...]

    def __post_init__(self) -> None:
        if len(self.marks) < LEAST_POINTS:
            raise ValueError(f"a table needs {LEAST_POINTS} marks, this has {len(self.marks)}")
        if not 0.0 <= self.error_share < 0.5:
            raise ValueError(f"an error of {self.error_share:.0%} is no calibration")
        if self.due_on < self.made_on:
            raise ValueError(f"due on {self.due_on}, before it was made on {self.made_on}")
        ordered = sorted(self.marks, key=lambda each: each.shown)
        steps = [(b.shown - a.shown, b.force_n - a.force_n) for a, b in pairwise(ordered)]
        if any(shown <= 0.0 for shown, _ in steps):
            raise ValueError("two marks stand at one place of the scale")
        if not (all(force > 0.0 for _, force in steps) or all(force < 0.0 for _, force in steps)):
            raise ValueError("forces must rise, or fall, along the whole scale")

    @property
    def name(self) -> str:
        """As a record names it."""
        return f"{self.gauge} / {self.spoke} {self.version}"

    @property
    def range_n(self) -> tuple[float, float]:
        """Lowest and highest calibrated force."""
        forces = [each.force_n for each in self.marks]
        return min(forces), max(forces)

    @property
    def shown_range(self) -> tuple[float, float]:
        """Lowest and highest calibrated place of the scale."""
        shown = [each.shown for each in self.marks]
        return min(shown), max(shown)

    def valid_on(self, day: date) -> bool:
        """Whether the table may be used on that day."""
        return self.made_on <= day <= self.due_on


def force_n(typed: float, unit: Unit, table: GaugeTable) -> float:
    """Newtons for what was typed. Scale readings follow the table's monotone curve (piecewise cubic,
    [Fritsch and Carlson 1980, through the library's documentation: second-hand]).

    Raises CannotCompute beyond the table: a curve says nothing where nobody measured.

    >>> table = GaugeTable("G1", "S", "v1", date(2031, 1, 1), date(2032, 1, 1), 0.03,
    ...                    (Mark(10.0, 400.0), Mark(20.0, 800.0), Mark(25.0, 1300.0)))
    >>> force_n(20.0, "scale", table), round(force_n(100.0, "kgf", table), 1)
    (800.0, 980.7)
    """
    if unit == "scale":
        low, high = table.shown_range
        if not low <= typed <= high:
            raise CannotCompute(
                f"{typed:g} on the scale lies beyond table {table.name}: {low:g} to {high:g}"
            )
        return float(_curve(table.marks)(typed))
    value_n = typed * (NEWTON_PER_KGF if unit == "kgf" else 1.0)
    low_n, high_n = table.range_n
    if not low_n <= value_n <= high_n:
        raise CannotCompute(
            f"{value_n:.0f} N lies beyond table {table.name}: {low_n:.0f} to {high_n:.0f} N"
        )
    return value_n


@lru_cache(maxsize=256)
def _curve(marks: tuple[Mark, ...]) -> Any:
    # scipy is slow to import: only a bench that converts pays for it.
    from scipy.interpolate import PchipInterpolator

    ordered = sorted(marks, key=lambda each: each.shown)
    return PchipInterpolator([each.shown for each in ordered], [each.force_n for each in ordered])
