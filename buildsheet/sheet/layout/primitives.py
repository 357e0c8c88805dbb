"""The few kinds of ink: everything is black on white, in millimetres from the page's top left corner.

A primitive holds no decision: no alignment, no wrapping, no style to look up.
"""

from __future__ import annotations

from dataclasses import dataclass

from buildsheet.sheet.fonts import CAPITAL_SHARE, DESCENT_SHARE, Face

Segment = tuple[float, float, float, float]
Dash = tuple[float, ...]
Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Strokes:
    """Straight strokes (x1, y1, x2, y2) of one width and dash."""

    segments: tuple[Segment, ...]
    width_mm: float
    dash_mm: Dash = ()


@dataclass(frozen=True, slots=True)
class Outline:
    """A polyline through points, closed or open; filled white or black or not at all."""

    points: tuple[Point, ...]
    width_mm: float
    closed: bool = True
    fill: str = ""
    dash_mm: Dash = ()


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle, its corners rounded by ``radius_mm``; ``width_mm`` 0 draws no outline."""

    x_mm: float
    y_mm: float
    w_mm: float
    h_mm: float
    width_mm: float = 0.0
    fill: str = ""
    radius_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class Disc:
    """A circle."""

    x_mm: float
    y_mm: float
    r_mm: float
    width_mm: float = 0.0
    fill: str = ""
    dash_mm: Dash = ()


@dataclass(frozen=True, slots=True)
class Cells:
    """Black rectangles (x, y, w, h) as one filled path, so that no seam shows between them."""

    cells: tuple[Segment, ...]


@dataclass(frozen=True, slots=True)
class Text:
    """One line of text: left end of the baseline, size of the face, and how wide it comes out."""

    x_mm: float
    y_mm: float
    text: str
    size_mm: float
    face: Face
    width_mm: float
    white: bool = False

    @property
    def frame(self) -> Segment:
        """Left, top, right, bottom of the ink it may use: capitals above, tails below the line."""
        top = self.y_mm - CAPITAL_SHARE * self.size_mm
        bottom = self.y_mm + DESCENT_SHARE * self.size_mm
        return self.x_mm, top, self.x_mm + self.width_mm, bottom


Primitive = Strokes | Outline | Box | Disc | Cells | Text


@dataclass(frozen=True, slots=True)
class Page:
    """One page of ink."""

    w_mm: float
    h_mm: float
    title: str
    ink: tuple[Primitive, ...]
