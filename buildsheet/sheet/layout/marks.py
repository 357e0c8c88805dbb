"""Our own signs. LEFT is round and open, RIGHT is square and full: in every block, on both sides."""

from __future__ import annotations

from math import cos, pi, sin

from buildsheet.sheet.layout.pen import BOLD, READ, THIN, Pen, capital
from buildsheet.sheet.layout.primitives import Box, Disc, Outline, Point
from buildsheet.wheel.spec import Side


def side_mark(pen: Pen, x: float, y: float, size: float, side: Side) -> None:
    """The side's sign in a square of ``size`` whose top left corner is given: L in a ring, R in a block."""
    middle, baseline = x + size / 2, y + size / 2 + capital(size * 0.62) / 2
    if side == "left":
        pen.draw(Disc(middle, y + size / 2, size / 2 - BOLD / 2, BOLD))
        pen.say(middle, baseline, "L", size * 0.62, "bold", "middle")
    else:
        pen.draw(Box(x, y, size, size, fill="black"))
        pen.say(middle, baseline, "R", size * 0.62, "bold", "middle", white=True)


def hole_mark(
    pen: Pen, x: float, y: float, number: str, side: Side, *, first: bool, size: float = READ
) -> None:
    """A rim hole's number in its side's shape, centred; the first four are white on black."""
    fill = "black" if first else "white"
    reach = 0.79 * size
    if side == "left":
        pen.draw(Disc(x, y, reach, THIN, fill))
    else:
        w, h = 1.52 * size, 1.3 * size
        pen.draw(Box(x - w / 2, y - h / 2, w, h, THIN, fill))
    pen.say(x, y + capital(size) / 2, number, size, "bold", "middle", white=first)


def tick_box(pen: Pen, x: float, y: float, size: float = 4.6) -> None:
    """An empty box to tick, its top left corner given."""
    pen.box(x, y, size, size, 0.4)


def arc(
    x: float, y: float, radius: float, start_rad: float, end_rad: float, steps: int = 24
) -> tuple[Point, ...]:
    """Points of an arc, angles clockwise from straight up."""
    turn = (end_rad - start_rad) / steps
    angles = (start_rad + turn * step for step in range(steps + 1))
    return tuple((x + radius * sin(angle), y - radius * cos(angle)) for angle in angles)


def arrow_head(x: float, y: float, toward_rad: float, size: float = 2.6) -> Outline:
    """A full arrow head with its tip here, pointing clockwise from straight up."""
    tip = (x, y)
    wings = tuple(
        (
            x + size * sin(toward_rad + pi + spread),
            y - size * cos(toward_rad + pi + spread),
        )
        for spread in (-0.42, 0.42)
    )
    return Outline((tip, *wings), 0.0, fill="black")
