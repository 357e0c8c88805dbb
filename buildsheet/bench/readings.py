"""One pass at the stand, as it was typed. Every convention is said, none is guessed.

Arrays go by rim hole: hole 1 first, one value for every hole, None where nothing was read. Lateral is
positive toward the right, radial outward.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import isfinite
from typing import Literal

from buildsheet.bench.gauges import Unit
from buildsheet.wheel.spec import Side

ByHole = tuple[float | None, ...]
GivenAs = Literal["full", "plus-minus"]
"""Run-out as the full indicator reading of a turn, or as plus/minus about the middle: half of it."""

DishAs = Literal["offset", "gap"]
"""How far the rim's middle stands off, or what a dish gauge shows when turned round: twice that."""

ThreadEnd = Literal["below", "in", "above"]
"""Where a sampled spoke ends in its nipple: below the slot, in the window, above the head."""


@dataclass(frozen=True, slots=True)
class Tensions:
    """One reading a spoke, all with one gauge."""

    gauge: str
    unit: Unit
    typed: ByHole


@dataclass(frozen=True, slots=True)
class RunOut:
    """One run-out of a turn: a figure, a reading at each hole, or both (then the readings count)."""

    given_as: GivenAs
    typed_mm: float | None = None
    by_hole_mm: ByHole | None = None
    at_joint: bool = False

    @property
    def full_mm(self) -> float | None:
        """The full indicator reading; None where nothing was read, or a hole was left out.

        >>> RunOut("plus-minus", 0.15).full_mm
        0.3
        """
        if self.by_hole_mm is not None:
            read = [each for each in self.by_hole_mm if each is not None]
            return max(read) - min(read) if read and len(read) == len(self.by_hole_mm) else None
        if self.typed_mm is None:
            return None
        return self.typed_mm * (2.0 if self.given_as == "plus-minus" else 1.0)


@dataclass(frozen=True, slots=True)
class Dish:
    """How far the rim stands off the middle between the locknuts, and toward which side."""

    given_as: DishAs
    typed_mm: float
    toward: Side

    @property
    def offset_mm(self) -> float:
        """Offset of the rim's middle, positive toward the right.

        >>> Dish("gap", 0.4, "left").offset_mm
        -0.2
        """
        size_mm = self.typed_mm / (2.0 if self.given_as == "gap" else 1.0)
        return size_mm if self.toward == "right" else -size_mm


@dataclass(frozen=True, slots=True)
class Pass:
    """One complete or incomplete set of readings of a wheel, from one sheet issue.

    Raises ValueError for a number that is not finite, or a size below zero.
    ``threads`` are the sampled spoke ends; ``caps_fitted`` the ordered end caps while the dish was
    read; ``free_play`` True where the hub has play or drags; ``twisted`` True where spokes are wound up.
    """

    issue: str
    rim_serial: str = ""
    hub_serial: str = ""
    tensions: Tensions | None = None
    lateral: RunOut | None = None
    radial: RunOut | None = None
    dish: Dish | None = None
    mass_g: float | None = None
    caps_fitted: bool | None = None
    threads: tuple[ThreadEnd, ...] = ()
    free_play: bool | None = None
    twisted: bool | None = None
    relief_rounds: int | None = None

    def __post_init__(self) -> None:
        typed = (
            *(self.tensions.typed if self.tensions else ()),
            *(each for run in (self.lateral, self.radial) if run for each in _numbers(run)),
            self.dish.typed_mm if self.dish else None,
            self.mass_g,
        )
        if any(each is not None and not isfinite(each) for each in typed):
            raise ValueError("a reading is no finite number")
        sizes = (
            *(self.tensions.typed if self.tensions else ()),
            *(run.typed_mm for run in (self.lateral, self.radial) if run),
            self.dish.typed_mm if self.dish else None,
            self.mass_g,
            self.relief_rounds,
        )
        if any(each is not None and each < 0 for each in sizes):
            raise ValueError("tension, run-out, dish, mass and rounds are sizes: not below zero")


def _numbers(run: RunOut) -> ByHole:
    return (run.typed_mm, *(run.by_hole_mm or ()))
