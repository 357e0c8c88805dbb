"""The shelves: ``stock.csv``, handed in as text, to counted pieces; or to every fault in it."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from buildsheet.catalog.edition import KINDS, Edition
from buildsheet.catalog.faults import Place, fault, listed, nearest, plain, said, shown
from buildsheet.catalog.parts import Hub, Nipple, Part, Rim, Spoke
from buildsheet.findings import Change, Finding

STOCK_FILE: Final = "stock.csv"
COLUMNS: Final = ("part", "variant", "bin", "quantity")

LARGEST_FILE = 1_000_000
"""Characters. A shelf of 10 000 places needs some 200 000."""

MOST_PIECES = 1_000_000
"""Of one part and variant; more is a slip of the keyboard."""

MOST_FAULTS: Final = 1000
"""Told of one file. Nobody mends more at once."""

LONGEST_BIN = 24


@dataclass(frozen=True, slots=True)
class StockLine:
    """One place on the shelves. ``variant``: holes of a rim or hub, length of a spoke, colour of a
    nipple; '' for a part that comes one way only."""

    part: str
    variant: str
    bin: str
    quantity: int

    @property
    def item(self) -> str:
        """The name that pick lists use.

        >>> StockLine("SSB9", "267", "S4-267", 11).item
        'SSB9/267'
        """
        return f"{self.part}/{self.variant}" if self.variant else self.part


def read_stock(text: str, edition: Edition) -> tuple[tuple[StockLine, ...], tuple[Finding, ...]]:
    """Every line of the file, or no line and every fault; both in the order of the file.

    A fault's ``at`` is a JSON Pointer of file, line number (the heading is line 1) and column.
    """
    if len(text) > LARGEST_FILE:
        says = f"{len(text)} characters; allowed are {LARGEST_FILE}."
        return (), (fault("data.unreadable", Place(STOCK_FILE), says, have={"found": len(text)}),)
    rows, faults = _rows(text)
    if faults:
        return (), (faults[0],)
    parts = _parts(edition)
    lines: list[StockLine] = []
    first: dict[str, int] = {}
    for number, row in rows:
        place = Place(STOCK_FILE, (number,))
        if len(faults) > MOST_FAULTS:
            says = f"more than {MOST_FAULTS} faults stand above; the rest was not looked at."
            faults.append(fault("data.wrong-count", place, says, need={"most_faults": MOST_FAULTS}))
            break
        trouble = list(_row_faults(row, place, parts))
        faults.extend(trouble)
        if trouble:
            continue
        line = StockLine(row[0], row[1], row[2], int(row[3]))
        if line.item in first:
            says = f"{line.item} stands in line {first[line.item]} already; one part, one line."
            also = (Place(STOCK_FILE, (first[line.item],)),)
            faults.append(fault("data.duplicate", place.under("part"), says, also=also))
        first.setdefault(line.item, number)
        lines.append(line)
    return (() if faults else tuple(lines)), tuple(faults)


def _rows(text: str) -> tuple[list[tuple[int, list[str]]], list[Finding]]:
    """The rows below the heading with their line numbers, blank ones left out; or the fault that
    stops the reading."""
    reader = csv.reader(io.StringIO(text, newline=""), strict=True)
    rows: list[tuple[int, list[str]]] = []
    try:
        rows.extend((reader.line_num, [cell.strip() for cell in row]) for row in reader if row)
    except csv.Error as error:
        place = Place(STOCK_FILE, (reader.line_num,))
        return [], [fault("data.syntax", place, f"not comma-separated text: {plain(str(error))}.")]
    heading = tuple(rows[0][1]) if rows else ()
    if heading != COLUMNS:
        found = ",".join(heading) or "nothing"
        says = f"the heading is {said(found)}; allowed is {','.join(COLUMNS)}."
        return [], [fault("data.syntax", Place(STOCK_FILE, (1,)), says)]
    return rows[1:], []


def _parts(edition: Edition) -> dict[str, Part]:
    kinds: tuple[Mapping[str, Part], ...] = tuple(
        getattr(edition, kind) for kind in KINDS if kind != "programs"
    )
    return {code: part for parts in kinds for code, part in parts.items()}


def _row_faults(row: list[str], place: Place, parts: Mapping[str, Part]) -> Iterator[Finding]:
    if len(row) != len(COLUMNS):
        says = f"{len(row)} columns; allowed are {len(COLUMNS)}: {', '.join(COLUMNS)}."
        yield fault("data.wrong-count", place, says, have={"found": len(row)})
        return
    code, variant, shelf, quantity = row
    part = parts.get(code)
    if part is None:
        yield _unknown(place.under("part"), code, list(parts))
    elif variant not in variants(part):
        yield _unknown(place.under("variant"), variant, variants(part), of=f"{code} ")
    if not 0 < len(shelf) <= LONGEST_BIN or not shelf.isprintable():
        says = f"found {said(shelf)}; allowed is a place of 1 to {LONGEST_BIN} characters."
        yield fault("data.wrong-form", place.under("bin"), says, have={"found": shown(shelf)})
    if not (quantity.isascii() and quantity.isdigit()):
        says = f"found {said(quantity)}; allowed is a whole number of pieces."
        yield fault(
            "data.wrong-type", place.under("quantity"), says, have={"found": shown(quantity)}
        )
    elif len(quantity) > len(str(MOST_PIECES)) or int(quantity) > MOST_PIECES:
        says = f"found {said(quantity)}; allowed are up to {MOST_PIECES} pieces."
        yield fault(
            "data.out-of-range",
            place.under("quantity"),
            says,
            have={"found": shown(quantity)},
            need={"maximum": MOST_PIECES},
        )


def _unknown(place: Place, word: str, known: list[str], *, of: str = "") -> Finding:
    meant = nearest(word, known)
    choices = f" {of}comes as {listed(known)}." if of and known != [""] else ""
    hint = f" Try {meant}." if meant else choices
    says = f"{of or 'the catalog '}has no {said(word)}.{hint}"
    change = (Change(place.at, (meant,)),) if meant else ()
    return fault("data.unknown-reference", place, says, have={"found": shown(word)}, try_=change)


def variants(part: Part) -> list[str]:
    """The ways a part lies on the shelf; one empty word where there is only one."""
    if isinstance(part, (Rim, Hub)):
        return [str(holes) for holes in part.holes]
    if isinstance(part, Spoke):
        return [str(length) for length in part.lengths_mm]
    if isinstance(part, Nipple):
        return list(part.colours)
    return [""]


def articles(edition: Edition) -> frozenset[str]:
    """Every article that may lie on a shelf, as pick lists name it: ``SSB9/267``, ``B``."""
    return frozenset(
        f"{code}/{variant}" if variant else code
        for code, part in _parts(edition).items()
        for variant in variants(part)
    )


def part_names(edition: Edition) -> dict[str, str]:
    """Code -> name of every part that may lie on a shelf."""
    return {code: part.name for code, part in _parts(edition).items()}
