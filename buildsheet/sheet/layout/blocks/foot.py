"""Below the columns: what this order was warned of, limits, steps, and the house's cautions."""

from __future__ import annotations

from typing import Final

from buildsheet.sheet.content.says import Named
from buildsheet.sheet.layout.fit import LEADING, Fitted, fit
from buildsheet.sheet.layout.marks import station
from buildsheet.sheet.layout.paper import Area
from buildsheet.sheet.layout.pen import BOLD, READ, Pen
from buildsheet.sheet.layout.primitives import Box

ROW: Final = 5.1
WARNED_LINES: Final = 3
CAUTIONS: Final = 21.0
_WARNED_INDENT: Final = 24.0


def limits_height(says: tuple[Named, ...]) -> float:
    """Height of limits and steps side by side."""
    return ROW * len(says)


def fit_warned(says: tuple[str, ...], w: float) -> tuple[Fitted, ...]:
    """Each warning in at most three lines, never in smaller letters."""
    return tuple(fit(words, w - _WARNED_INDENT, READ, lines=WARNED_LINES) for words in says)


def warned_height(found: tuple[Fitted, ...]) -> float:
    """Height of these warnings."""
    return sum(LEADING * each.size_mm * len(each.lines) + 0.6 for each in found)


def draw_warned(pen: Pen, found: tuple[Fitted, ...], left_out: int, area: Area) -> None:
    """What this order was warned of; what does not fit is counted aloud."""
    y = area.y
    for each in found:
        pen.say(area.x, y + 3.35, "CAUTION", READ, "bold")
        pen.set(each, area.x + _WARNED_INDENT, y)
        y += LEADING * each.size_mm * len(each.lines) + 0.6
    if left_out:
        words = f"CAUTION  … {left_out} more on the record side"
        pen.say(area.x, y + 3.35, words, READ, "bold")


def draw_limits(pen: Pen, says: tuple[Named, ...], area: Area) -> None:
    """Name, value, how it is read."""
    station(pen, area.x, area.y, "6")
    for place, limit in enumerate(says):
        top = area.y + place * ROW
        pen.fitted(area.x + 7.2, top + 1.0, 15.4, limit.name, READ)
        pen.fitted(area.x + 23.2, top + 1.0, 27.4, limit.value, READ, "bold", 3.8)
        pen.fitted(
            area.x + 51.6, top + 1.0, area.right - area.x - 51.6, limit.meant, READ, "plain", 3.8
        )


def draw_steps(pen: Pen, says: tuple[str, ...], area: Area) -> None:
    """In the order of work, lettered so that nobody takes them for the stations."""
    station(pen, area.x, area.y, "7")
    top = area.y + 1.0
    for letter, step in zip("abcdefgh", says, strict=False):
        pen.say(area.x + 7.2, top + 3.35, letter, READ, "bold")
        found = fit(step, area.w - 12.5, READ, floor_mm=3.8, lines=2)
        pen.set(found, area.x + 12.0, top)
        top += ROW * len(found.lines)


def draw_cautions(pen: Pen, says: tuple[str, ...], area: Area) -> None:
    """The house's cautions, always the same words in the same place."""
    pen.box(area.x, area.y, area.w, area.h, BOLD)
    pen.draw(Box(area.x, area.y, 7.0, area.h, fill="black"))
    pen.say(area.x + 3.5, pen.middle(area.y + area.h / 2, 9.0), "!", 9.0, "bold", "middle", True)
    cells = Area(area.x + 9.0, area.y, area.w - 10.0, area.h).columns(1.0, 1.0, gap=2.0)
    rows = (len(says) + 1) // 2
    for place, caution in enumerate(says):
        cell = cells[place // rows]
        top = area.y + 1.4 + (place % rows) * (area.h - 1.2) / rows
        pen.fitted(cell.x, top, cell.w, caution, READ, "plain", 3.8)
