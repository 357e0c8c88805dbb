"""Our own signs. LEFT is round and open, RIGHT is square and full: in every block, on both sides."""

from __future__ import annotations

from math import cos, pi, sin

from buildsheet.sheet.layout.pen import BOLD, HAIR, READ, THIN, Pen, capital
from buildsheet.sheet.layout.primitives import Box, Disc, Outline, Point, Strokes
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


def station(pen: Pen, x: float, y: float, number: str) -> None:
    """A station's number, white on black: the order in which the sheet is used."""
    pen.draw(Box(x, y, 5.6, 5.6, fill="black"))
    pen.say(x + 2.8, pen.middle(y + 2.8), number, READ, "bold", "middle", white=True)


def rim_section(pen: Pen, x: float, y: float, toward: Side) -> None:
    """A cut through an asymmetric rim, 20 x 17 mm, seen from the saddle, its bed toward this side."""
    lean = -1.0 if toward == "left" else 1.0
    middle, bed = x + 10.0, x + 10.0 + lean * 4.4
    wall = ((-8.5, 0.0), (-8.5, 5.0), (0.0, 12.5), (8.5, 5.0), (8.5, 0.0))
    bent = tuple((middle + dx + (lean * 4.4 if dy > 12.0 else 0.0), y + dy) for dx, dy in wall)
    pen.draw(
        Outline(bent, 0.8, closed=False),
        Strokes(((middle - 8.5, y + 3.6, middle + 8.5, y + 3.6),), THIN),
        Strokes(((middle, y - 0.5, middle, y + 17.0),), HAIR, (2.0, 0.8, 0.5, 0.8)),
        Strokes(((bed, y + 10.5, bed, y + 17.0),), 1.2),
        Strokes(((middle, y + 15.4, bed - lean * 1.4, y + 15.4),), THIN),
        arrow_head(bed, y + 15.4, lean * pi / 2, 2.2),
    )


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
