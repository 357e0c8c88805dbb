"""Rows of short texts in columns, each row ruled off: the only form in which a record lists things."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from buildsheet.sheet.fonts import CAPITAL_SHARE, Face
from buildsheet.sheet.layout.fit import fit
from buildsheet.sheet.layout.paper import Area
from buildsheet.sheet.layout.pen import HAIR, THIN, Pen

SIZE: Final = 2.9
FLOOR: Final = 1.9
ROW: Final = 4.1
HEAD: Final = 5.6


def draw_title(pen: Pen, text: str, area: Area) -> float:
    """A section's title on a rule; where its content begins comes back."""
    pen.say(area.x, area.y + 3.4, text, 3.3, "bold")
    pen.lines([(area.x, area.y + 4.6, area.right, area.y + 4.6)], THIN)
    return area.y + HEAD


def draw_rows(
    pen: Pen,
    area: Area,
    rows: Sequence[Sequence[str]],
    shares: Sequence[float],
    *,
    row: float = ROW,
    bold: frozenset[int] = frozenset(),
    head: Sequence[str] = (),
) -> float:
    """The rows from the area's top down, columns in these proportions; their lower edge comes back.

    Texts that are too long are set smaller, then cut with a sign; a row's last text has the room of all
    columns that follow. ``bold`` are rows by number.
    """
    size = min(SIZE, 0.72 * row)
    columns = area.columns(*shares, gap=1.2)
    y = area.y
    if head:
        _row(pen, columns, y, head, min(size, 2.4), row, bold=False)
        y += row
    for number, cells in enumerate(rows):
        _row(pen, columns, y, cells, size, row, bold=number in bold)
        pen.lines([(area.x, y + row, area.right, y + row)], HAIR / 2)
        y += row
    return y


def _row(
    pen: Pen,
    columns: Sequence[Area],
    y: float,
    cells: Sequence[str],
    size: float,
    row: float,
    *,
    bold: bool,
) -> None:
    face: Face = "bold" if bold else "plain"
    for place, (column, text) in enumerate(zip(columns, cells, strict=False), start=1):
        last = place == len(cells)
        w = (columns[-1].right - column.x) if last else column.w
        found = fit(text, w, size, face=face, floor_mm=min(FLOOR, size))
        pen.say(
            column.x,
            y + (row + CAPITAL_SHARE * found.size_mm) / 2.0,
            found.lines[0],
            found.size_mm,
            face,
        )


def named_height(count: int) -> float:
    """Height of a title with so many rows."""
    return HEAD + ROW * count
