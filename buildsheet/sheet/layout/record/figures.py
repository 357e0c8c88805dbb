"""Readings with what was computed beside them, numbers to note, boxes to tick."""

from __future__ import annotations

from typing import Final

from buildsheet.sheet.content.says import Reading
from buildsheet.sheet.layout.marks import tick_box
from buildsheet.sheet.layout.paper import Area
from buildsheet.sheet.layout.pen import FINE, HAIR, THIN, Pen, capital

ROW: Final = 6.3
BOX_ROW: Final = 5.3
WORDS: Final = 3.9
COLUMNS: Final = 2
BOX_COLUMNS: Final = 3
SERIAL_COLUMNS: Final = 4
_NAME: Final = 20.0
_EXPECTED: Final = 47.0


def rows_of(count: int, columns: int) -> int:
    """Rows that so many cells take."""
    return -(-count // columns)


def draw_figures(pen: Pen, says: tuple[Reading, ...], area: Area) -> None:
    """Name, what was computed or is allowed, and the empty place."""
    rows = rows_of(len(says), COLUMNS)
    cells = area.columns(1.0, 1.0, gap=4.0)
    for place, reading in enumerate(says):
        cell = cells[place // rows]
        y = area.y + (place % rows) * ROW
        _reading(pen, reading, Area(cell.x, y, cell.w, ROW))


def _reading(pen: Pen, says: Reading, area: Area) -> None:
    top = area.y + ROW / 2 - capital(WORDS) / 2
    pen.fitted(area.x, top, _NAME - 1.0, says.name, WORDS, "bold", 3.0)
    pen.fitted(area.x + _NAME, top, _EXPECTED - 1.0, says.expected, WORDS, "plain", 3.0)
    x = area.x + _NAME + (_EXPECTED if says.expected else 0.0)
    for choice in says.choices:
        tick_box(pen, x, area.y + 1.6, 3.6)
        x += 4.4 + pen.say(x + 4.4, pen.middle(area.y + ROW / 2, FINE), choice, FINE) + 1.6
    if not says.places:
        return
    wide = (area.right - x) / len(says.places)
    for word in says.places:
        used = pen.say(x, pen.middle(area.y + ROW / 2, FINE), word, FINE) + 0.8 if word else 0.0
        pen.box(x + used, area.y + 0.6, wide - used - 0.8, ROW - 1.2, THIN)
        x += wide


def draw_serials(pen: Pen, says: tuple[str, ...], area: Area) -> None:
    """A name and a line to write on."""
    cells = area.columns(*[1.0] * SERIAL_COLUMNS, gap=4.0)
    for place, name in enumerate(says):
        cell = cells[place % SERIAL_COLUMNS]
        base = area.y + (place // SERIAL_COLUMNS + 1) * ROW - 1.2
        used = pen.say(cell.x, base, name, FINE)
        pen.lines(((cell.x + used + 1.0, base + 0.4, cell.right, base + 0.4),), THIN)


def draw_boxes(pen: Pen, says: tuple[str, ...], area: Area) -> None:
    """A box, what it stands for, and a line for initials and time."""
    rows = rows_of(len(says), BOX_COLUMNS)
    cells = area.columns(*[1.0] * BOX_COLUMNS, gap=4.0)
    for place, words in enumerate(says):
        cell = cells[place // rows]
        y = area.y + (place % rows) * BOX_ROW
        tick_box(pen, cell.x, y + 0.8, 4.0)
        found = pen.middle(y + BOX_ROW / 2, WORDS)
        used = pen.say(cell.x + 5.4, found, words, WORDS)
        pen.lines(((cell.x + 6.4 + used, found + 0.6, cell.right, found + 0.6),), HAIR)
