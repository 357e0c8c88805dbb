"""A spreadsheet file, handed in as bytes, to rows of values; and every fault in it at its cell."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from buildsheet.catalog.edition import KINDS
from buildsheet.catalog.faults import Place, fault, listed, nearest, plain
from buildsheet.catalog.tables.columns import Column, Keys
from buildsheet.catalog.tables.commas import grid_of
from buildsheet.catalog.tables.entries import Marks, Misread, read_cell
from buildsheet.catalog.tables.grid import MOST_BYTES, MOST_ROWS, Cells, Grid
from buildsheet.catalog.tables.headers import ABOUT, kind_of, read_headers, title_of
from buildsheet.catalog.tables.workbook import grids_of
from buildsheet.findings import Finding, Value

CODE: Final[Keys] = ("code",)


@dataclass(frozen=True, slots=True)
class Row:
    """One part as far as its row says. ``values``: key -> what its cell holds, None for an empty cell;
    columns that are not there are not mentioned. ``cells``: key -> where it stands. ``sound`` is False
    where a cell of the row could not be read."""

    kind: str
    code: str
    values: Mapping[Keys, Value]
    cells: Mapping[Keys, Place]
    sound: bool = True


@dataclass(frozen=True, slots=True)
class Imported:
    """Every row of a file in its order, and every fault of its cells. ``at`` of a fault is a JSON
    Pointer of sheet and cell: ``/Rims!C7``."""

    rows: tuple[Row, ...]
    findings: tuple[Finding, ...]


def read_table(name: str, data: bytes, kind: str | None = None) -> Imported:
    """Every row of an .xlsx or .csv file, and every fault in it; never an exception.

    ``name`` is the file's name: of a .csv it says the kind (``rims.csv``), unless ``kind`` does. A
    workbook has one sheet for each kind; a workbook of one sheet may be named by ``kind`` too.
    """
    if len(data) > MOST_BYTES:
        says = f"more than {MOST_BYTES} bytes; allowed are {MOST_BYTES}."
        return Imported((), (fault("data.unreadable", Place(plain(name)), says),))
    if kind is not None and kind not in KINDS:
        return Imported((), (_no_kind(name, kind),))
    if data.startswith((b"PK", b"\xd0\xcf")) or name.lower().endswith((".xlsx", ".xlsm")):
        grids, trouble = grids_of(name, data)
    else:
        stem = plain(name.rsplit("/", 1)[-1].rsplit(".", 1)[0])
        title = title_of(kind) if kind else stem
        grid, trouble = grid_of(name, title, data)
        grids = (grid,) if grid else ()
    if trouble is not None:
        return Imported((), (trouble,))
    return _read(grids, kind)


def _read(grids: tuple[Grid, ...], kind: str | None) -> Imported:
    faults: list[Finding] = []
    rows: list[Row] = []
    marks = Marks()
    first: dict[str, Place] = {}
    filled = [each for each in grids if each.rows and each.title != ABOUT]
    if sum(len(each.rows) for each in filled) > MOST_ROWS:
        says = f"has more than {MOST_ROWS} rows in all its sheets; import it in pieces."
        return Imported((), (fault("data.unreadable", Place("the file"), says),))
    for grid in filled:
        here = kind if kind and len(filled) == 1 else kind_of(grid.title)
        if here is None:
            faults.append(_no_kind(grid.title, grid.title))
            continue
        if grid.merged:
            faults.append(_merged(grid))
        columns, trouble = read_headers(grid, here)
        faults.extend(trouble)
        if not trouble:
            for row, found in _rows(grid, here, columns, marks):
                faults.extend(found)
                if row is not None:
                    faults.extend(_twice(row, first))
                    rows.append(row)
    if not rows and not faults:
        faults.append(fault("data.wrong-count", Place("the file"), "holds no rows."))
    faults.extend(_mixed(marks))
    return Imported(tuple(rows), tuple(faults))


def _no_kind(place: str, word: str) -> Finding:
    meant = nearest(word.lower(), KINDS)
    hint = f" Try {meant}." if meant else ""
    says = f"{plain(word)} is no kind of part; they are {listed(list(KINDS))}.{hint}"
    return fault("data.unknown-word", Place(plain(place)), says, need={"enum": list(KINDS)})


def _merged(grid: Grid) -> Finding:
    """Only the first of merged cells holds anything; the rows below would read as left empty."""
    says = "cells are merged into one; split them and write the value into each row."
    return fault("data.ditto", Place(f"{plain(grid.title)}!{grid.merged}"), says)


def _rows(
    grid: Grid, kind: str, columns: Mapping[int, Column], marks: Marks
) -> Iterator[tuple[Row | None, list[Finding]]]:
    for number, cells in enumerate(grid.rows[1:], start=1):
        if any(cell is not None for cell in cells):
            yield _row(grid, kind, columns, marks, (number, cells))


def _row(
    grid: Grid,
    kind: str,
    columns: Mapping[int, Column],
    marks: Marks,
    numbered: tuple[int, Cells],
) -> tuple[Row | None, list[Finding]]:
    number, cells = numbered
    faults: list[Finding] = []
    values: dict[Keys, Value] = {}
    places: dict[Keys, Place] = {}
    for place, column in columns.items():
        at = grid.place(number, place)
        places[column.keys] = at
        cell = cells[place] if place < len(cells) else None
        if cell is None:
            values[column.keys] = None
            continue
        value = read_cell(column, cell, marks, str(at))
        if isinstance(value, Misread):
            faults.append(fault(value.code, at, value.says, have={"found": cell.shown}))
        else:
            values[column.keys] = value
    code = values.pop(CODE, None)
    if code is None:
        if not any(each.at == places[CODE].at for each in faults):
            says = "the row has no code; a part has one, and it stands in every row."
            faults.append(fault("data.missing-key", places[CODE], says))
        return None, faults
    return Row(kind, str(code), values, places, sound=not faults), faults


def _twice(row: Row, first: dict[str, Place]) -> Iterator[Finding]:
    """A code names one part in the whole catalog."""
    here = row.cells[CODE]
    if row.code in first:
        says = f"{plain(row.code)} stands in {first[row.code]} already; one part, one row."
        yield fault("data.duplicate", here, says, also=(first[row.code],))
    first.setdefault(row.code, here)


def _mixed(marks: Marks) -> Iterator[Finding]:
    if len(marks.first) > 1:
        comma, point = marks.first[","], marks.first["."]
        says = (
            f"typed with a decimal comma, {point} with a decimal point; one file has one of the two, or "
            "1.250 could be read both ways."
        )
        yield fault("data.mixed-decimals", Place(comma), says, also=(Place(point),))
