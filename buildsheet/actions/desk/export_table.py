"""The parts of an edition as an .xlsx file that reads back to the same parts."""

from __future__ import annotations

import io
from collections.abc import Iterable
from datetime import UTC, datetime
from typing import Any, Final

from buildsheet.actions.editions import edition_numbered, running_edition
from buildsheet.actions.workshop import Workshop
from buildsheet.catalog.edition import Edition
from buildsheet.catalog.tables.grid import Cells, Grid
from buildsheet.catalog.tables.headers import ABOUT
from buildsheet.catalog.tables.writing import sheets_of

TEXT_FORMAT: Final = "@"
"""The format of a column in which what is typed stays text."""

WIDEST: Final = 40
EPOCH: Final = datetime(2000, 1, 1)  # noqa: DTZ001 - the format has moments without a zone


def export_table(workshop: Workshop, number: int | None = None) -> bytes:
    """The running edition, or the one of this number, as an .xlsx file.

    Raises NoEdition where none is loaded, KeyError for an unknown number, CannotCompute where a list is
    too long for a cell.
    """
    edition = running_edition(workshop) if number is None else edition_numbered(workshop, number)
    return write_table(edition)


def write_table(edition: Edition) -> bytes:
    """The file's bytes; the same edition gives the same cells (`buildsheet.catalog.tables`)."""
    # The library would write this moment: the file says when its edition starts, and nothing else.
    starts = datetime.fromisoformat(edition.house.starts).astimezone(UTC).replace(tzinfo=None)
    return book_of(sheets_of(edition), f"Parts of edition {edition.number}", starts)


def book_of(grids: Iterable[Grid], title: str = "Parts", made: datetime = EPOCH) -> bytes:
    """Sheets of cells as the bytes of an .xlsx file."""
    from openpyxl import Workbook

    book = Workbook()
    book.remove(book.worksheets[0])
    book.properties.title = title
    book.properties.creator = "buildsheet"
    for grid in grids:
        _sheet(book.create_sheet(grid.title), grid)
    book.properties.created = book.properties.modified = made
    file = io.BytesIO()
    book.save(file)
    return file.getvalue()


def _sheet(sheet: Any, grid: Grid) -> None:
    from openpyxl.styles import Font
    from openpyxl.utils import get_column_letter

    for number, row in enumerate(grid.rows, start=1):
        for place, cell in enumerate(row, start=1):
            if cell is None:
                continue
            made = sheet.cell(number, place, cell.value)
            if cell.holds == "text":
                made.data_type = "s"  # never a formula, whatever it begins with
                made.number_format = TEXT_FORMAT
            if number == 1 and grid.title != ABOUT:
                made.font = Font(bold=True)
    if grid.title == ABOUT:
        return
    sheet.freeze_panes = "B2"
    for place in range(len(grid.rows[0])):
        cells = [row[place] for row in grid.rows if place < len(row) and row[place]]
        column = sheet.column_dimensions[get_column_letter(place + 1)]
        column.width = min(WIDEST, 2 + max((len(each.shown) for each in cells if each), default=8))
        if _is_text(grid.rows, place):
            column.number_format = TEXT_FORMAT


def _is_text(rows: tuple[Cells, ...], place: int) -> bool:
    """Whether a column's values are texts, so that what is typed below them should be one too."""
    values = [row[place] for row in rows[1:] if place < len(row)]
    return any(each is not None and each.holds == "text" for each in values)
