"""Cells and their addresses, before anybody knows what they mean."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

from buildsheet.catalog.faults import Place, plain

Holds = Literal["text", "number", "truth", "date", "formula", "error"]

MOST_ROWS: Final = 2_000
"""Of all sheets together. A small factory has some 400 parts; so many new ones take some ten seconds."""

MOST_COLUMNS: Final = 200
MOST_SHEETS: Final = 30
MOST_BYTES: Final = 2_000_000
"""Of a file as it comes. The demo's whole catalog needs some 40 000."""


CellValue = str | int | float | bool
"""Its unit, where it has one, stands in the column's header."""


@dataclass(frozen=True, slots=True)
class Cell:
    """What a cell holds. A date is given as the text that a spreadsheet would show for it."""

    holds: Holds
    value: CellValue

    @property
    def shown(self) -> str:
        """The value in one line."""
        if isinstance(self.value, bool):
            return "true" if self.value else "false"
        return plain(f"{self.value:g}" if isinstance(self.value, float) else str(self.value))


Cells = tuple[Cell | None, ...]


@dataclass(frozen=True, slots=True)
class Grid:
    """One sheet, row by row from the top; None is an empty cell. Rows may be of different lengths.
    ``merged`` is the first block of cells that were merged into one, such as ``C2:C4``, or empty."""

    title: str
    rows: tuple[Cells, ...]
    merged: str = ""

    def place(self, row: int, column: int) -> Place:
        """Where a cell stands, row and column from 0."""
        return Place(f"{plain(self.title)}!{address(row, column)}")


def address(row: int, column: int) -> str:
    """A cell's address as spreadsheets write it; row and column from 0.

    >>> address(0, 0), address(6, 2), address(0, 26), address(9, 701)
    ('A1', 'C7', 'AA1', 'ZZ10')
    """
    letters = ""
    column += 1
    while column:
        column, letter = divmod(column - 1, 26)
        letters = chr(ord("A") + letter) + letters
    return f"{letters}{row + 1}"


def without_empty_ends(rows: list[Cells]) -> tuple[Cells, ...]:
    """The rows without empty cells at their ends, and without empty rows at the end."""
    trimmed = []
    for row in rows:
        last = max((place for place, cell in enumerate(row) if cell is not None), default=-1)
        trimmed.append(row[: last + 1])
    while trimmed and not trimmed[-1]:
        trimmed.pop()
    return tuple(trimmed)
