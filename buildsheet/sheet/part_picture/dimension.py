"""Dimension lines: an arrow at either end, the figure beside it; dashed where nobody typed it."""

from __future__ import annotations

from math import pi
from typing import Final

from buildsheet.sheet.fonts import width_share
from buildsheet.sheet.layout.marks import arrow_head
from buildsheet.sheet.layout.pen import HAIR, READ, Align, Pen, capital
from buildsheet.sheet.layout.primitives import Box, Strokes
from buildsheet.sheet.part_picture.typed import Figure

UNKNOWN_DASH: Final = (1.6, 1.2)
CENTRE_DASH: Final = (4.0, 1.0, 1.0, 1.0)
_ARROW_MM: Final = 2.2
_ABOVE_MM: Final = 1.2


def dash(figure: Figure) -> tuple[float, ...]:
    """Solid for what was typed, dashed for a stand-in."""
    return () if figure.typed else UNKNOWN_DASH


def across(
    pen: Pen,
    y: float,
    ends: tuple[float, float],
    figure: Figure,
    words: str,
    align: Align = "middle",
) -> None:
    """A level dimension line at ``y``; its words stand above: over its middle, or from one end on."""
    x1, x2 = min(ends), max(ends)
    pen.draw(
        Strokes(((x1, y, x2, y),), HAIR, dash(figure)),
        arrow_head(x1, y, -pi / 2, _ARROW_MM),
        arrow_head(x2, y, pi / 2, _ARROW_MM),
    )
    x = {"left": x1 + _ABOVE_MM, "middle": (x1 + x2) / 2, "right": x2 - _ABOVE_MM}[align]
    _say_on_white(pen, x, y - _ABOVE_MM, f"{words} {figure.label}".strip(), align)


def _say_on_white(pen: Pen, x: float, baseline: float, text: str, align: Align) -> None:
    """Words that cover the guides of other dimensions behind them."""
    wide = width_share(text, "plain") * READ
    left = x - wide * {"left": 0.0, "middle": 0.5, "right": 1.0}[align]
    high = capital(READ)
    pen.draw(Box(left - 0.4, baseline - high - 0.4, wide + 0.8, high + 0.8, fill="white"))
    pen.say(x, baseline, text, READ, align=align)


def upright(
    pen: Pen, x: float, ends: tuple[float, float], figure: Figure, words: str, align: Align
) -> None:
    """An upright dimension line at ``x``; its words stand beside its middle, on the side that
    ``align`` leaves free: ``right`` puts them to the left of the line."""
    y1, y2 = min(ends), max(ends)
    pen.draw(
        Strokes(((x, y1, x, y2),), HAIR, dash(figure)),
        arrow_head(x, y1, 0.0, _ARROW_MM),
        arrow_head(x, y2, pi, _ARROW_MM),
    )
    beside = x - _ABOVE_MM if align == "right" else x + _ABOVE_MM
    lines = [*words.splitlines(), figure.label]
    baseline = (y1 + y2) / 2 + capital(READ) / 2 - (len(lines) - 1) * 0.65 * READ
    for line in lines:
        pen.say(beside, baseline, line, READ, align=align)
        baseline += 1.3 * READ


def guide(pen: Pen, x1: float, y1: float, x2: float, y2: float) -> None:
    """A thin line from the part to its dimension line."""
    pen.draw(Strokes(((x1, y1, x2, y2),), HAIR))
