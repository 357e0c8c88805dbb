"""The lacing in words beside its picture: first four spokes, repetition, cues, the half-way gate."""

from __future__ import annotations

from buildsheet.sheet.content.says import LacingSays
from buildsheet.sheet.layout.marks import hole_mark, tick_box
from buildsheet.sheet.layout.paper import Area
from buildsheet.sheet.layout.pen import BOLD, FINE, HAIR, READ, THIN, Pen, capital
from buildsheet.sheet.layout.picture import FAR_DASH, FAR_MM, NEAR_MM
from buildsheet.sheet.layout.primitives import Strokes


def draw_first(pen: Pen, says: LacingSays, area: Area) -> float:
    """The first four spokes as a table, and how they go on; the y below comes back."""
    columns = (0.0, 11.0, 29.0, 49.0, 68.0)
    base = area.y + capital(READ)
    for x, words in zip(columns, ("rim", "side", "hub hole", "runs", ""), strict=True):
        pen.say(area.x + x, base, words, READ)
    y = area.y + 6.2
    for spoke in says.first:
        pen.lines(((area.x, y - 0.5, area.right, y - 0.5),), HAIR)
        hole_mark(pen, area.x + 3.8, y + 3.7, spoke.hole, spoke.side, first=True)
        base = y + 3.7 + capital(READ) / 2
        pen.say(area.x + columns[1], base, spoke.word, READ, "bold")
        pen.say(area.x + columns[2], base, spoke.hub_hole, 6.0, "bold")
        pen.say(area.x + columns[3], base, spoke.run, READ)
        pen.say(area.x + columns[4], base, spoke.head, READ)
        y += 8.2
    pen.lines(((area.x, y - 0.5, area.right, y - 0.5),), HAIR)
    y += 1.2
    for line in (*says.repeat, *says.faces):
        y = pen.fitted(area.x, y, area.w, line, READ, lines=2, floor=3.6) + 1.0
    return y


def draw_legend(pen: Pen, says: LacingSays, area: Area) -> float:
    """Which line and which shape is which side."""
    y = area.y
    for side, words in (("right", says.near), ("left", says.far)):
        middle = y + capital(READ) / 2
        dash = () if side == "right" else FAR_DASH
        pen.draw(
            Strokes(
                ((area.x, middle, area.x + 9.0, middle),),
                NEAR_MM if side == "right" else FAR_MM,
                dash,
            )
        )
        y = pen.fitted(area.x + 11.0, y, area.w - 11.0, words, READ, lines=2, floor=3.6) + 1.0
    return y


def draw_cues(pen: Pen, says: LacingSays, area: Area) -> float:
    """What keeps the wheel from being laced the wrong way round."""
    y = area.y
    for cue in says.cues:
        pen.say(area.x, y + capital(READ), "▶", 4.0)
        y = (
            pen.fitted(area.x + 5.5, y, area.w - 5.5, cue, READ, face="bold", lines=2, floor=3.6)
            + 1.0
        )
    return y


def draw_gate(pen: Pen, says: tuple[str, ...], area: Area) -> None:
    """The half-way gate: look before the second half goes in."""
    pen.box(area.x, area.y, area.w, area.h, BOLD)
    inner = area.inset(2.2)
    pen.say(inner.x, inner.y + capital(5.7), "HALF-WAY GATE", 5.7, "bold")
    y = inner.y + 6.6
    for line in says:
        y = pen.fitted(inner.x, y, inner.w, line, READ, lines=1, floor=3.4) + 0.8
    y += 0.6
    tick_box(pen, inner.x, y, 5.2)
    pen.say(inner.x + 7.0, y + 4.3, "as drawn", READ, "bold")
    tick_box(pen, inner.x + 30.0, y, 5.2)
    pen.say(inner.x + 37.0, y + 4.3, "not: unlace", READ, "bold")
    pen.lines(((inner.right - 14.0, y + 5.2, inner.right, y + 5.2),), THIN)
    pen.say(inner.right - 14.0, y + 4.6, "initials", FINE)
