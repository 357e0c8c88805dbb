"""Every spoke by rim hole: LEFT at the left, RIGHT at the right, two passes of scale and newtons."""

from __future__ import annotations

from typing import Final

from buildsheet.sheet.content.says import SideSays
from buildsheet.sheet.layout.marks import hole_mark, side_mark
from buildsheet.sheet.layout.paper import Area
from buildsheet.sheet.layout.pen import BOLD, FINE, HAIR, READ, THIN, Pen, capital

TITLE: Final = 12.2
HEAD: Final = 5.0
LARGEST_ROW: Final = 7.4
WRITTEN_ROW: Final = 5.4
"""What a figure written by hand needs: notes and warnings give way to it."""

ENDS: Final[tuple[str, ...]] = ("mean", "± %")
_FIRST: Final = 13.0
"""Width of the column of holes."""

_COLUMNS: Final[tuple[str, ...]] = ("1: scale", "1: N", "2: scale", "2: N")


def draw_readings(
    pen: Pen, says: SideSays, holes: tuple[str, ...], stop: str, area: Area, row: float
) -> None:
    """One side's table; the last two rows take its mean and its spread."""
    left = says.side == "left"
    h = TITLE + HEAD + row * (len(holes) + len(ENDS))
    pen.box(area.x, area.y, area.w, h, 0.5 if left else 1.2, 4.0 if left else 0.0)
    _title(pen, says, stop, area)
    _grid(pen, Area(area.x, area.y + TITLE, area.w, h - TITLE), row, len(holes))
    size = min(READ, row / 1.62)
    y = area.y + TITLE + HEAD
    for hole in holes:
        hole_mark(pen, area.x + 6.5, y + row / 2, hole, says.side, first=False, size=size)
        y += row
    for words in ENDS:
        pen.fitted(
            area.x + 1.6, y + row / 2 - capital(FINE) / 2, _FIRST - 1.6, words, FINE, "plain", 2.4
        )
        y += row


def _title(pen: Pen, says: SideSays, stop: str, area: Area) -> None:
    side_mark(pen, area.x + 2.6, area.y + 1.9, 8.4, says.side)
    pen.say(area.x + 12.6, area.y + 1.9 + capital(5.7), says.word, 5.7, "bold")
    pen.fitted(area.x + 12.6, area.y + 7.6, 22.0, says.feature, 3.8, "plain", 2.8)
    x = area.x + 36.0
    mean = f"mean {says.tension_n} N, {says.tension_kgf} kgf"
    pen.fitted(x, area.y + 2.0, area.right - x - 1.5, mean, READ, "bold", 3.6)
    band = f"each {says.band_n}, STOP {stop}"
    pen.fitted(x, area.y + 7.2, area.right - x - 1.5, band, 3.8, "plain", 3.2)


def _grid(pen: Pen, area: Area, row: float, holes: int) -> None:
    wide = (area.w - _FIRST) / len(_COLUMNS)
    xs = [area.x + _FIRST + wide * place for place in range(len(_COLUMNS))]
    for x, words in zip(xs, _COLUMNS, strict=True):
        pen.say(x + 1.2, area.y + 3.7, words, FINE)
    rows = [area.y + HEAD + row * place for place in range(holes + len(ENDS))]
    pen.lines(((area.x, y, area.right, y) for y in rows), HAIR)
    pen.lines(((area.x, rows[holes], area.right, rows[holes]),), BOLD)
    pen.lines(((x, area.y, x, area.bottom) for x in xs), HAIR)
    pen.lines(((xs[2], area.y, xs[2], area.bottom),), THIN)
