"""What lies on the shelves, by the stock list beside the catalog files."""

from __future__ import annotations

from pathlib import Path

from buildsheet.actions.catalog_files import demo_directory, read_stock_file
from buildsheet.catalog.edition import Edition
from buildsheet.catalog.stock import StockLine
from buildsheet.errors import WorldError
from buildsheet.findings import Finding


def shelves(
    edition: Edition, directory: Path | None = None
) -> tuple[tuple[StockLine, ...] | None, tuple[Finding, ...]]:
    """Every line of ``stock.csv`` in a directory, or none and what is wrong with the file.

    Without a directory it is the one of the catalog beside the program; None where there is no such
    catalog or its list is empty. Raises WorldError where a named directory cannot be read.
    """
    try:
        where = directory or demo_directory()
    except WorldError:
        return None, ()
    lines, findings = read_stock_file(where, edition)
    return lines or None, findings
