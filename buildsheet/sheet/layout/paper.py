"""Paper sizes and the margin that every printer leaves."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from buildsheet.sheet.request import Paper

SIZES_MM: Final[dict[Paper, tuple[float, float]]] = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
"""ISO 216, and 8 1/2 x 11 in of 25.4 mm."""

MARGIN_MM: Final = 8.0


@dataclass(frozen=True, slots=True)
class Area:
    """A rectangle to fill."""

    x: float
    y: float
    w: float
    h: float

    @property
    def right(self) -> float:
        """Right edge."""
        return self.x + self.w

    @property
    def bottom(self) -> float:
        """Bottom edge."""
        return self.y + self.h

    def columns(self, *shares: float, gap: float = 3.0) -> tuple[Area, ...]:
        """Side by side, widths in these proportions."""
        free = self.w - gap * (len(shares) - 1)
        found: list[Area] = []
        x = self.x
        for share in shares:
            w = free * share / sum(shares)
            found.append(Area(x, self.y, w, self.h))
            x += w + gap
        return tuple(found)

    def inset(self, by: float) -> Area:
        """The same, smaller on all sides."""
        return Area(self.x + by, self.y + by, self.w - 2 * by, self.h - 2 * by)


def printable_area(paper: Paper) -> Area:
    """What of the paper may carry ink."""
    w, h = SIZES_MM[paper]
    return Area(MARGIN_MM, MARGIN_MM, w - 2 * MARGIN_MM, h - 2 * MARGIN_MM)
