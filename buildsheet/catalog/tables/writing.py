"""An edition as sheets of cells: every part of every kind, in the form that comes back unchanged."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from buildsheet.catalog.clone import as_values
from buildsheet.catalog.edition import KINDS, Edition
from buildsheet.catalog.parts import Part
from buildsheet.catalog.tables.columns import CODE, Column, columns_of
from buildsheet.catalog.tables.entries import written
from buildsheet.catalog.tables.grid import Cell, Cells, Grid
from buildsheet.catalog.tables.headers import ABOUT, title_of
from buildsheet.errors import CannotCompute

LONGEST_CELL: Final = 32_767
"""Characters; what is longer is cut by spreadsheets without a word [read: the format's limits]."""


def sheets_of(edition: Edition) -> tuple[Grid, ...]:
    """A sheet of words about the edition, and one sheet for each kind.

    Raises CannotCompute where a list is too long for a cell.
    """
    return (_about(edition), *(sheet_of(kind, getattr(edition, kind)) for kind in KINDS))


def sheet_of(kind: str, parts: Mapping[str, Part]) -> Grid:
    """The parts of one kind with every column that the kind has. Raises as `sheets_of`."""
    columns = columns_of(kind)
    head: Cells = tuple(Cell("text", each.header) for each in columns)
    return Grid(title_of(kind), (head, *(_row(columns, part) for part in parts.values())))


def _row(columns: tuple[Column, ...], part: Part) -> Cells:
    values = {**as_values(part), "code": part.code}
    cells = []
    for column in columns:
        value: Any = values
        for key in column.keys:
            value = value.get(key) if isinstance(value, Mapping) else None
        cell = None if _goes_without_saying(column, part, value) else written(column, value)
        if cell is not None and len(str(cell.value)) > LONGEST_CELL:
            where = f"{part.code} {column.header}"
            raise CannotCompute(f"{where} is too long for a cell; export the text files instead")
        cells.append(cell)
    return tuple(cells)


def _goes_without_saying(column: Column, part: Part, value: object) -> bool:
    """An empty text or list that an empty cell means as well."""
    if column is CODE or value not in ("", []):
        return False
    return len(column.keys) == 1 and type(part).model_fields[column.keys[0]].default in ("", ())


def _about(edition: Edition) -> Grid:
    lines = (
        f"Parts of edition {edition.number} of {edition.house.workshop}.",
        "One sheet for each kind, one row for each part, one column for each key, units in the names.",
        "An empty cell is unknown. Text stays text: format columns as text before typing codes.",
        "Lists: 20 24 28. Lists of tables: holes=20 front_kg=90; holes=24 front_kg=105 rear_kg=100.",
        "House figures and rules are not in here: they go with the catalog's text files.",
        "This sheet is passed over when the file is read.",
    )
    return Grid(ABOUT, tuple((Cell("text", line),) for line in lines))
