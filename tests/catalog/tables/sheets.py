"""Spreadsheet files made for a test: workbooks of plain values, text with commas, damaged archives."""

from __future__ import annotations

import csv
import io
import zipfile
from collections.abc import Mapping, Sequence
from typing import Any

from openpyxl import Workbook

from buildsheet.catalog.tables.comparing import Compared, compared
from buildsheet.catalog.tables.reading import Imported, read_table
from buildsheet.findings import Finding
from tests.catalog.demo_texts import demo_texts

Rows = Sequence[Sequence[Any]]


def workbook(sheets: Mapping[str, Rows]) -> bytes:
    """An .xlsx file with these values; what begins with = is a formula."""
    book = Workbook()
    book.remove(book.worksheets[0])
    for title, rows in sheets.items():
        sheet = book.create_sheet(title)
        for row in rows:
            sheet.append(list(row))
    file = io.BytesIO()
    book.save(file)
    return file.getvalue()


def commas(rows: Rows, separator: str = ",") -> bytes:
    file = io.StringIO(newline="")
    csv.writer(file, delimiter=separator).writerows(rows)
    return file.getvalue().encode()


def repacked(data: bytes, changes: Mapping[str, bytes | None]) -> bytes:
    """The same archive with some members replaced, added, or (None) left out."""
    file = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(file, "w") as new:
        for name in old.namelist():
            if name not in changes:
                new.writestr(name, old.read(name), zipfile.ZIP_DEFLATED)
        for name, content in changes.items():
            if content is not None:
                new.writestr(name, content, zipfile.ZIP_DEFLATED)
    return file.getvalue()


def imported(sheets: Mapping[str, Rows]) -> Imported:
    return read_table("parts.xlsx", workbook(sheets))


def against_demo(sheets: Mapping[str, Rows]) -> Compared:
    return compared(demo_texts(), imported(sheets))


def the_only(findings: Sequence[Finding]) -> Finding:
    assert len(findings) == 1, [each.says for each in findings]
    return findings[0]
