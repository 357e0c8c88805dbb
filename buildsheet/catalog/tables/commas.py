"""A .csv file as a grid: separated by commas, semicolons or tabs, in UTF-8. Every cell is text."""

from __future__ import annotations

import csv
import io
from typing import Final

from buildsheet.catalog.faults import Place, fault, plain
from buildsheet.catalog.tables.grid import (
    MOST_COLUMNS,
    MOST_ROWS,
    Cell,
    Cells,
    Grid,
    without_empty_ends,
)
from buildsheet.findings import Finding

SEPARATORS: Final = ",;\t"


def grid_of(name: str, title: str, data: bytes) -> tuple[Grid | None, Finding | None]:
    """The file as one sheet of this title, or what keeps it from being read."""
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        says = f"line {line} is not UTF-8; save the file as CSV in UTF-8."
        return None, fault("data.unreadable", Place(plain(name)), says, have={"line": line})
    if "\0" in text:
        return None, fault("data.unreadable", Place(plain(name)), "is no text file.")
    rows: list[Cells] = []
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=_separator(text), strict=True)
    try:
        for row in reader:
            if len(rows) > MOST_ROWS or len(row) > MOST_COLUMNS:
                says = f"goes beyond {MOST_ROWS} rows or {MOST_COLUMNS} columns."
                return None, fault("data.unreadable", Place(plain(name)), says)
            rows.append(tuple(Cell("text", cell) if cell.strip() else None for cell in row))
    except csv.Error as error:
        says = f"line {reader.line_num} is not separated text: {plain(str(error))}."
        return None, fault("data.syntax", Place(plain(name)), says)
    return Grid(title, without_empty_ends(rows)), None


def _separator(text: str) -> str:
    """The one that the first line has most of."""
    first = text.lstrip("\r\n").split("\n", 1)[0]
    return max(SEPARATORS, key=first.count)
