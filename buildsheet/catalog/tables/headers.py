"""The first row of a sheet: which column is which key; and which kind a sheet is of."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Final

from buildsheet.catalog.edition import KINDS
from buildsheet.catalog.faults import fault, listed, nearest, said
from buildsheet.catalog.tables.columns import Column, columns_of
from buildsheet.catalog.tables.grid import Grid
from buildsheet.findings import Change, Finding

ABOUT: Final = "About"
"""A sheet of words that stands in every export and is passed over."""

_BRACKETS: Final = re.compile(r"[()\[\]]")
_GAPS: Final = re.compile(r"[\s_\-]+")


def spelled(header: str) -> str:
    r"""A header as keys are spelled.

    >>> spelled(" Depth (mm) "), spelled("Left flange.circle [mm]"), spelled("Section mm\u00b2")
    ('depth_mm', 'left_flange.circle_mm', 'section_mm2')
    """
    plainly = _BRACKETS.sub(" ", header.lower().replace("\u00b2", "2"))
    return ".".join(_GAPS.sub("_", part.strip()).strip("_") for part in plainly.split("."))


def title_of(kind: str) -> str:
    """The name of a kind's sheet.

    >>> title_of("end_caps")
    'End caps'
    """
    return kind.replace("_", " ").capitalize()


def kind_of(title: str) -> str | None:
    """The kind that a sheet's name or a file's name stands for; a single part will do.

    >>> kind_of("Rims"), kind_of("end caps"), kind_of("Rim"), kind_of("Sheet1")
    ('rims', 'end_caps', 'rims', None)
    """
    word = spelled(title)
    return next((kind for kind in KINDS if word in (kind, kind.removesuffix("s"))), None)


def read_headers(grid: Grid, kind: str) -> tuple[Mapping[int, Column], list[Finding]]:
    """Place of a column in the sheet -> its key; and every header that is none."""
    known = {each.header: each for each in columns_of(kind)}
    columns: dict[int, Column] = {}
    first: dict[str, int] = {}
    faults: list[Finding] = []
    head = grid.rows[0] if grid.rows else ()
    for place in range(max(map(len, grid.rows), default=0)):
        cell = head[place] if place < len(head) else None
        if cell is None:
            if any(len(row) > place and row[place] for row in grid.rows):
                says = "the column has values and no header; name its key in the first row."
                faults.append(fault("data.missing-key", grid.place(0, place), says))
            continue
        word = spelled(str(cell.value)) if cell.holds == "text" else ""
        if word not in known:
            faults.append(_unknown(grid, place, cell.shown, word, list(known)))
        elif word in first:
            says = f"{word} stands in {grid.place(0, first[word])} already."
            faults.append(fault("data.duplicate", grid.place(0, place), says))
        else:
            first[word] = place
            columns[place] = known[word]
    if "code" not in first and not faults:
        says = "there is no column code; a row without one is no part."
        faults.append(fault("data.missing-key", grid.place(0, 0), says))
    return columns, faults


def _unknown(grid: Grid, place: int, shown: str, word: str, known: list[str]) -> Finding:
    # A unit that is left out is the usual slip: the key that goes on from here comes first.
    longer = [each for each in known if each.startswith(f"{word}_")] if word else []
    meant = longer[0] if longer else nearest(word, known)
    why = " The unit belongs to the name." if longer else ""
    hint = f"{why} Try {meant}." if meant else f" Known are {listed(known)}."
    at = grid.place(0, place)
    change = (Change(at.at, (meant,)),) if meant else ()
    says = f"{said(shown)} is no key of {grid.title}.{hint}"
    return fault("data.unknown-key", at, says, have={"found": shown}, try_=change)
