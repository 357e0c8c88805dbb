"""What lies on the shelves: the workshop's where stock is kept, else the list beside the catalog files."""

from __future__ import annotations

from pathlib import Path

from buildsheet.actions.catalog_files import demo_directory, read_stock_file
from buildsheet.actions.workshop import Workshop
from buildsheet.catalog.edition import Edition
from buildsheet.catalog.stock import StockLine
from buildsheet.errors import WorldError
from buildsheet.findings import Finding
from buildsheet.storage import stock


def shelves(
    workshop: Workshop | None, edition: Edition, directory: Path | None = None
) -> tuple[tuple[StockLine, ...] | None, tuple[Finding, ...]]:
    """Every place on the shelves, or none and what is wrong with the list that was read.

    A named directory is read whatever the workshop keeps. Without one it is the workshop's own shelves,
    and for a workshop that keeps no stock ``stock.csv`` of the catalog beside the program; None where there
    is no such catalog or its list is empty. Raises WorldError where a named directory cannot be read.
    """
    own = None if workshop is None or directory is not None else _kept(workshop)
    if own is not None:
        return own, ()
    try:
        where = directory or demo_directory()
    except WorldError:
        return None, ()
    lines, findings = read_stock_file(where, edition)
    return lines or None, findings


def _kept(workshop: Workshop) -> tuple[StockLine, ...] | None:
    """What the workshop file says lies there, held pieces included; None where it keeps no stock."""
    with workshop.database.reading() as section:
        levels = stock.every_level(section)
    if not levels:
        return None
    found = []
    for level in levels:
        part, _, variant = level.item.partition("/")
        found.append(StockLine(part, variant, level.bin, max(level.shelf, 0)))
    return tuple(found)
