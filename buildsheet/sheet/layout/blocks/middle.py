"""What belongs to both sides: parts and checks, the half-way gate, STOP."""

from __future__ import annotations

from typing import Final

from buildsheet.sheet.content.says import Named, PickSays, StopSays
from buildsheet.sheet.layout.fit import fit
from buildsheet.sheet.layout.marks import station, tick_box
from buildsheet.sheet.layout.paper import Area
from buildsheet.sheet.layout.pen import BOLD, FINE, KEY, READ, THIN, Pen, capital
from buildsheet.sheet.layout.primitives import Box

GATE: Final = 14.0
ROW: Final = 6.0


def draw_parts(pen: Pen, says: tuple[PickSays, ...], area: Area) -> None:
    """One row for each part: box, count where it is more than one, kind and code."""
    _heading(pen, area, "1", "PICK")
    row = min(ROW, (area.h - 7.0) / max(1, len(says)))
    for place, part in enumerate(says):
        y = area.y + 7.0 + place * row
        tick_box(pen, area.x, y, 4.2)
        found = fit(part.line, area.w - 5.8, READ, face="bold", floor_mm=3.2)
        pen.set(found, area.x + 5.8, y + 2.1 - capital(found.size_mm) / 2, "bold")


def draw_checks(pen: Pen, says: tuple[Named, ...], area: Area) -> None:
    """One row for each look before the first spoke."""
    _heading(pen, area, "2", "CHECK")
    row = min(ROW, (area.h - 7.0) / max(1, len(says)))
    for place, check in enumerate(says):
        y = area.y + 7.0 + place * row
        tick_box(pen, area.x, y, 4.2)
        words = f"{check.name} {check.value}".strip()
        found = fit(words, area.w - 5.8, READ, floor_mm=3.6)
        pen.set(found, area.x + 5.8, y + 2.1 - capital(found.size_mm) / 2)


def _heading(pen: Pen, area: Area, number: str, words: str) -> None:
    station(pen, area.x, area.y, number)
    pen.say(area.x + 7.2, pen.middle(area.y + 2.8), words, READ, "bold")


def draw_gate(pen: Pen, says: str, area: Area) -> None:
    """The half-way gate: look before the second half goes in."""
    pen.box(area.x, area.y, area.w, area.h, BOLD)
    station(pen, area.x, area.y, "4")
    pen.fitted(area.x + 7.2, area.y + 1.5, area.w - 9.0, says, READ, "bold", 3.8)
    y = area.y + 7.8
    tick_box(pen, area.x + 2.0, y, 4.4)
    pen.say(area.x + 8.0, pen.middle(y + 2.2), "as drawn", READ)
    tick_box(pen, area.x + 31.0, y, 4.4)
    pen.say(area.x + 37.0, pen.middle(y + 2.2), "not: unlace", READ)
    pen.lines(((area.right - 21.0, y + 4.6, area.right - 2.0, y + 4.6),), THIN)
    pen.say(area.right - 21.0, y + 3.8, "initials", FINE)


def draw_stop(pen: Pen, says: StopSays, area: Area) -> None:
    """The one number that is white on black."""
    pen.draw(Box(area.x, area.y, area.w, area.h, fill="black"))
    base = area.y + 2.2 + capital(KEY)
    pen.draw(Box(area.x + 1.6, area.y + 1.6, 5.6, 5.6, fill="white"))
    pen.say(area.x + 4.4, pen.middle(area.y + 4.4), "5", READ, "bold", "middle")
    pen.say(area.x + 9.0, base, "STOP", KEY, "bold", "left", True)
    unit = pen.say(area.right - 3.0, base, "N", 6.4, "bold", "right", True)
    pen.say(area.right - unit - 4.4, base, says.newtons, KEY, "bold", "right", True)
    middle = (base + area.bottom) / 2 + 0.2
    words = f"{says.kgf} kgf at most"
    used = pen.say(area.x + 3.0, pen.middle(middle), words, READ, "bold", "left", True)
    x = area.x + 4.8 + used
    label = pen.say(x, pen.middle(middle), "scale", READ, "plain", "left", True)
    x += label + 1.4
    pen.draw(Box(x, middle - 3.4, area.right - 2.2 - x, 6.8, fill="white"))
