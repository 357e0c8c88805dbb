"""Collects the primitives of one page; text is placed by its baseline and aligned here, not later."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final, Literal

from buildsheet.sheet.fonts import CAPITAL_SHARE, Face, width_share
from buildsheet.sheet.layout.fit import LEADING, Fitted, fit
from buildsheet.sheet.layout.primitives import Box, Primitive, Segment, Strokes, Text

Align = Literal["left", "middle", "right"]

READ: Final = 4.6
"""Size of what is read while building: capitals of 3.35 mm, 16 arc-minutes at 700 mm."""

GOOD: Final = 5.7
"""The better size: capitals of 4.15 mm, 20 arc-minutes at 700 mm."""

KEY: Final = 12.6
"""Key numbers: 36 pt."""

COUNT: Final = 9.9
"""The smallest key number: 28 pt."""

FINE: Final = 3.1
"""For the file, not for the bench: origin, fingerprint, the name of an empty box."""

HAIR, THIN, BOLD, HEAVY = 0.18, 0.3, 0.6, 1.0


def capital(size_mm: float) -> float:
    """Height of a capital."""
    return CAPITAL_SHARE * size_mm


class Pen:
    """What has been drawn so far."""

    def __init__(self) -> None:
        self.ink: list[Primitive] = []

    def draw(self, *primitives: Primitive) -> None:
        """Add ready primitives."""
        self.ink.extend(primitives)

    def lines(self, segments: Iterable[Segment], width_mm: float = THIN) -> None:
        """Add plain strokes."""
        self.ink.append(Strokes(tuple(segments), width_mm))

    def box(
        self, x: float, y: float, w: float, h: float, width: float = THIN, radius: float = 0.0
    ) -> None:
        """Add an empty rectangle."""
        self.ink.append(Box(x, y, w, h, width, "", radius))

    def say(
        self,
        x: float,
        y: float,
        text: str,
        size: float = READ,
        face: Face = "plain",
        align: Align = "left",
        white: bool = False,
    ) -> float:
        """Set one line of our own words; the width it takes comes back."""
        width = width_share(text, face) * size
        left = x - width * {"left": 0.0, "middle": 0.5, "right": 1.0}[align]
        self.ink.append(Text(left, y, text, size, face, width, white))
        return width

    def fitted(
        self,
        x: float,
        top: float,
        w: float,
        text: str,
        size: float = READ,
        face: Face = "plain",
        floor: float | None = None,
        lines: int = 1,
    ) -> float:
        """Set text from outside into a width, from its top edge down; the last baseline comes back."""
        found = fit(text, w, size, face=face, floor_mm=floor, lines=lines)
        return self.set(found, x, top, face)

    def set(self, found: Fitted, x: float, top: float, face: Face = "plain") -> float:
        """Set fitted lines from their top edge down; the last baseline comes back."""
        baseline = top + capital(found.size_mm)
        for line in found.lines:
            self.say(x, baseline, line, found.size_mm, face)
            baseline += LEADING * found.size_mm
        return baseline - LEADING * found.size_mm

    def middle(self, y: float, size: float = READ) -> float:
        """The baseline that centres capitals on a height."""
        return y + capital(size) / 2
