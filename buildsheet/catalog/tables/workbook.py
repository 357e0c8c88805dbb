"""An .xlsx file as grids of cells. Only what is stored is read: nothing is calculated, no link
followed, no macro looked at.

A file is measured before it is opened: how large it says that it is when unpacked, which is also the
most that the unpacking library hands out; and whether it defines entities of its own.
"""

from __future__ import annotations

import io
import re
import warnings
from collections.abc import Iterable
from datetime import date, datetime, time, timedelta
from typing import Any, Final
from zipfile import BadZipFile, ZipFile

from buildsheet.catalog.faults import Place, fault, plain
from buildsheet.catalog.tables.grid import (
    MOST_COLUMNS,
    MOST_ROWS,
    MOST_SHEETS,
    Cell,
    Cells,
    Grid,
    without_empty_ends,
)
from buildsheet.findings import Finding

MOST_MEMBERS: Final = 200
MOST_UNPACKED: Final = 4_000_000
"""Bytes of all members together. The demo's whole catalog needs 134 000; five hundred
rims 1.1 million; reading takes up to two seconds for each million [measured here on a busy machine]."""

MOST_MARKS: Final = 600_000
"""Openings and endings of elements, four or so for each cell: what takes the time of reading, two seconds
at most [measured here on a busy machine]. Two thousand rows of sixty columns have 480 000."""

OLD_FORMAT: Final = b"\xd0\xcf\x11\xe0"
_ZIP: Final = b"PK"


def grids_of(name: str, data: bytes) -> tuple[tuple[Grid, ...], Finding | None]:
    """Every sheet of the file, or none and what keeps it from being read."""
    trouble = _trouble(name, data)
    if trouble is not None:
        return (), trouble
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # about styles and links, which are not read
            return _read(name, data)
    except Exception as error:  # noqa: BLE001 - a damaged file can fail anywhere in the library
        says = f"cannot be read as a spreadsheet: {plain(f'{type(error).__name__}: {error}')}."
        return (), _unreadable(name, says)


def _unreadable(name: str, says: str) -> Finding:
    return fault("data.unreadable", Place(plain(name)), says)


def _trouble(name: str, data: bytes) -> Finding | None:
    """What keeps the file from being opened at all."""
    if data.startswith(OLD_FORMAT):
        return _unreadable(name, "is in the old .xls form, or locked; save it as .xlsx.")
    if not data.startswith(_ZIP):
        return _unreadable(name, "is no .xlsx file.")
    try:
        with ZipFile(io.BytesIO(data)) as archive:
            members = archive.infolist()
            unpacked = sum(each.file_size for each in members)
            if len(members) > MOST_MEMBERS or unpacked > MOST_UNPACKED:
                says = (
                    f"holds {len(members)} files of {unpacked} bytes; allowed are {MOST_MEMBERS} of "
                    f"{MOST_UNPACKED}. Take out pictures, other sheets and empty rows."
                )
                return _unreadable(name, says)
            if "xl/workbook.xml" not in archive.namelist():
                return _unreadable(name, "is no .xlsx workbook.")
            return _swelling(name, [archive.read(each) for each in members])
    except (BadZipFile, OSError, ValueError, RuntimeError, NotImplementedError, EOFError) as error:
        return _unreadable(name, f"is damaged: {plain(str(error)) or type(error).__name__}.")
    except Exception as error:  # noqa: BLE001 - each way of packing has exceptions of its own
        return _unreadable(name, f"is damaged: {type(error).__name__}.")


def _swelling(name: str, members: list[bytes]) -> Finding | None:
    """What keeps members that are short enough from being parsed: more work than their length says."""
    if any(map(_defines_entities, members)):
        return _unreadable(name, "defines entities of its own; no spreadsheet does.")
    marks = sum(each.count(b"<") for each in members)
    if marks > MOST_MARKS:
        says = f"holds {marks} marks of XML; allowed are {MOST_MARKS}. Import it in pieces."
        return _unreadable(name, says)
    return None


def _defines_entities(member: bytes) -> bool:
    """In any of the encodings that a parser of XML would accept."""
    return b"<!DOCTYPE" in member.replace(b"\0", b"").upper()


def _read(name: str, data: bytes) -> tuple[tuple[Grid, ...], Finding | None]:
    from openpyxl import load_workbook  # slow to import: only a call that reads one pays for it

    book = load_workbook(io.BytesIO(data), read_only=True, data_only=False, keep_links=False)
    try:
        sheets = book.worksheets
        if len(sheets) > MOST_SHEETS:
            return (), _unreadable(name, f"has {len(sheets)} sheets; allowed are {MOST_SHEETS}.")
        grids = []
        for sheet in sheets:
            rows = [_cells(row) for row in _bounded(sheet)]
            grid = Grid(str(sheet.title), without_empty_ends(rows), _merged(data, sheet))
            if len(grid.rows) > MOST_ROWS or any(len(row) > MOST_COLUMNS for row in grid.rows):
                says = f"goes beyond {MOST_ROWS} rows or {MOST_COLUMNS} columns."
                return (), fault("data.unreadable", Place(plain(grid.title)), says)
            grids.append(grid)
        return tuple(grids), None
    finally:
        book.close()


_MERGED: Final = re.compile(rb"<(?:\w+:)?mergeCell\s[^>]*?\bref\s*=\s*[\"']([A-Z0-9:$]{2,30})[\"']")


def _merged(data: bytes, sheet: Any) -> str:
    """The first block of merged cells of a sheet. The library tells of them only where it reads a whole
    file at once, so the sheet's own member is looked at; it is measured already."""
    with ZipFile(io.BytesIO(data)) as archive:
        found = _MERGED.search(archive.read(sheet._worksheet_path))  # noqa: SLF001 - no open name
    return found[1].decode("ascii") if found else ""


def _bounded(sheet: Any) -> Iterable[Iterable[Any]]:
    rows: Iterable[Iterable[Any]] = sheet.iter_rows(
        min_row=1, max_row=MOST_ROWS + 1, min_col=1, max_col=MOST_COLUMNS + 1
    )
    return rows


def _cells(row: Iterable[Any]) -> Cells:
    return tuple(_cell(each) for each in row)


def _cell(cell: Any) -> Cell | None:
    value, kind = cell.value, getattr(cell, "data_type", "n")
    if value is None or value == "":
        return None
    if kind == "f":
        return Cell("formula", str(value))
    if kind == "e":
        return Cell("error", str(value))
    if isinstance(value, bool):
        return Cell("truth", value)
    if isinstance(value, (int, float)):
        return Cell("number", value)
    if isinstance(value, (datetime, date, time, timedelta)):
        return Cell("date", _date(value))
    text = str(value)
    return Cell("text", text) if text.strip() else None


def _date(value: datetime | date | time | timedelta) -> str:
    if isinstance(value, datetime) and value.time() == time():
        return value.date().isoformat()
    return str(value)
