"""Columns over an axis of equal steps: where each stands and how high it is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import floor, log10
from typing import Final

from buildsheet.sheet.layout.paper import Area
from buildsheet.sheet.layout.pen import FINE, HAIR, THIN, Pen
from buildsheet.sheet.layout.primitives import Box

PHONE_MM: Final = 120.0
"""How wide a picture is that a phone shows whole, on some 354 CSS px."""

LETTER: Final = 3.8
"""Size of what is read in a picture of that width: 11 CSS px on a phone."""

_HEAD_MM: Final = 3.0
"""Free above the highest column."""


@dataclass(frozen=True, slots=True)
class Bars:
    """A frame for ``columns`` columns, none higher than ``most``."""

    area: Area
    columns: int
    most: int

    @property
    def step_mm(self) -> float:
        """From one column's middle to the next."""
        return self.area.w / self.columns

    def middle_mm(self, column: float) -> float:
        """Where a column stands."""
        return self.area.x + (column + 0.5) * self.step_mm

    def height_mm(self, value: float) -> float:
        """How high a value is."""
        return (self.area.h - _HEAD_MM) * value / self.most if self.most else 0.0

    @property
    def foot_mm(self) -> float:
        """Where columns stand on."""
        return self.area.y + self.area.h

    def draw(self, pen: Pen, values: Sequence[int], share: float, fills: Sequence[str]) -> None:
        """One column a value, as wide as a share of the step; a fill '' leaves the outline alone."""
        width = share * self.step_mm
        for column, (value, fill) in enumerate(zip(values, fills, strict=True)):
            if not value:
                continue
            high = self.height_mm(value)
            left = self.middle_mm(column) - width / 2
            outline = 0.0 if fill == "black" else HAIR
            pen.draw(Box(left, self.foot_mm - high, width, high, outline, fill))

    def frame(self, pen: Pen, letter_mm: float = FINE) -> None:
        """The axis and lines at round numbers, with their figures to the left."""
        right = self.area.x + self.area.w
        for value in round_steps(self.most):
            y = self.foot_mm - self.height_mm(value)
            if value:
                pen.lines([(self.area.x, y, right, y)], HAIR / 2)
            pen.say(
                self.area.x - 1.2, pen.middle(y, letter_mm), str(value), letter_mm, align="right"
            )
        pen.lines([(self.area.x, self.foot_mm, right, self.foot_mm)], THIN)


def round_steps(most: int) -> tuple[int, ...]:
    """Round numbers from 0 up to ``most``, two to five of them above 0 where there is room.

    >>> round_steps(130), round_steps(7), round_steps(0)
    ((0, 50, 100), (0, 2, 4, 6), (0,))
    """
    if most < 1:
        return (0,)
    ten = 10 ** floor(log10(most))
    step = next(each for each in (ten // 5, ten // 2, ten, 2 * ten) if each and most / each <= 5)
    return tuple(range(0, most + 1, step))
