"""Where the numbers and the readings round a wheel stand, so that none of them covers another.

Every text has a box: as wide as its characters in a bold face can be, as high as its line. A reading
stands as near to the rim as its box allows, right-side ones outside, left-side ones inside, and farther
off where it would lie on another.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import cos, hypot, sin
from types import MappingProxyType
from typing import Final

from buildsheet.wheel.spec import Side

RIM: Final = (143.5, 161.5)
"""The rim's inner and outer edge; the numbers of its holes stand between them."""
NUMBER: Final = 152.5

_NUMBER_HALF: Final = (8.2, 7.5)
"""Half of two digits, and half of their line, at the size the page draws numbers in."""
_READING_HALF: Final = (18.2, 7.8)
"""The same of four bold digits."""
_RADII: Final[Mapping[Side, tuple[float, ...]]] = MappingProxyType(
    {
        "right": tuple(RIM[1] + steps / 2.0 for steps in range(80)),
        "left": tuple(RIM[0] - steps / 2.0 for steps in range(120)),
    }
)
"""Where a reading is tried, one after the other. More than forty holes find no room: their texts lie on one
another."""


@dataclass(frozen=True, slots=True)
class TextBox:
    """A text about its middle, in the drawing's units, y downward."""

    x: float
    y: float
    half_width: float
    half_height: float

    @property
    def nearest(self) -> float:
        """How far its nearest point is from the hub; the hub is not in it."""
        beside = max(0.0, abs(self.x) - self.half_width)
        return hypot(beside, max(0.0, abs(self.y) - self.half_height))

    @property
    def farthest(self) -> float:
        """How far its farthest corner is from the hub."""
        return hypot(abs(self.x) + self.half_width, abs(self.y) + self.half_height)

    def covers(self, other: TextBox) -> bool:
        """Whether the two share more than an edge."""
        beside = self.half_width + other.half_width - abs(self.x - other.x)
        above = self.half_height + other.half_height - abs(self.y - other.y)
        return beside > 0.0 and above > 0.0


def number_boxes(angles_rad: Sequence[float]) -> tuple[TextBox, ...]:
    """The boxes of the numbers of holes at these angles from the top, clockwise."""
    return tuple(_box(angle, NUMBER, _NUMBER_HALF) for angle in angles_rad)


def reading_boxes(angles_rad: Sequence[float], sides: Sequence[Side]) -> tuple[TextBox, ...]:
    """The boxes of the readings of spokes at these angles, in their order."""
    numbers = number_boxes(angles_rad)
    placed: list[TextBox] = []
    for angle, side in zip(angles_rad, sides, strict=True):
        farther = [_box(angle, radius, _READING_HALF) for radius in _RADII[side]]
        free = (
            box
            for box in farther
            if _beside_the_rim(box, side) and not any(map(box.covers, (*numbers, *placed)))
        )
        placed.append(next(free, farther[-1]))
    return tuple(placed)


def _beside_the_rim(box: TextBox, side: Side) -> bool:
    return box.nearest > RIM[1] if side == "right" else box.farthest < RIM[0]


def _box(angle_rad: float, radius_of: float, half: tuple[float, float]) -> TextBox:
    x, y = radius_of * sin(angle_rad), -radius_of * cos(angle_rad)
    return TextBox(round(x, 1), round(y, 1), *half)
