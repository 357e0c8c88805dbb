"""One cell to the value of its key, and back. What cannot be read says what happened to it."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Final

from buildsheet.catalog.faults import nearest, said
from buildsheet.catalog.tables.columns import Column, Form
from buildsheet.catalog.tables.grid import Cell
from buildsheet.catalog.tables.quoting import is_ditto, neutral, restored, retyped
from buildsheet.catalog.typed import decimal_mark, typed_number
from buildsheet.findings import Value

NONE: Final = "none"
"""The empty list: what does not apply is said with a word, silence is *unknown*."""

TRUTHS: Final[Mapping[str, bool]] = {"true": True, "yes": True, "false": False, "no": False}

LARGEST: Final = 1e15
"""Beyond it neither this program nor a spreadsheet knows the last digit."""

_SPACES: Final = re.compile(r"[\s;]+")
_SPACES_AND_COMMAS: Final = re.compile(r"[\s,;]+")
_SEMICOLONS: Final = re.compile(r"\s*[,;]\s*")
_COMMA_AND_SPACE: Final = re.compile(r"\s*;\s*|,?\s+")


@dataclass(frozen=True, slots=True)
class Misread:
    """Why a cell gives no value: a code of `buildsheet.catalog.codes` and a sentence."""

    code: str
    says: str


@dataclass(slots=True)
class Marks:
    """The decimal marks that were met: mark -> where first."""

    first: dict[str, str] = field(default_factory=dict)

    def meet(self, text: str, where: str) -> None:
        """Remember a typed number's mark."""
        mark = decimal_mark(text)
        if mark:
            self.first.setdefault(mark, where)


def read_cell(column: Column, cell: Cell, marks: Marks, where: str) -> Value | Misread:
    """The value that a cell gives its key. ``where`` is the cell's address, for ``marks``."""
    if cell.holds == "formula":
        says = f"found the formula {said(cell.shown)}; nothing is calculated here. Paste its value."
        return Misread("data.formula", says)
    if cell.holds == "error":
        return Misread("data.formula", f"found the error {cell.shown}; write the value.")
    if cell.holds == "date":
        says = f"became a date, {cell.shown}; format the column as text and type it again."
        return Misread("data.retyped", says)
    if cell.holds == "text" and is_ditto(str(cell.value)):
        says = f"found {said(str(cell.value).strip())}; write the value out, rows may be sorted."
        return Misread("data.ditto", says)
    if column.shape == "rows":
        return _rows(column, cell, marks, where)
    if column.shape == "list":
        return _list(column, cell, marks, where)
    return _one(column.form, cell, marks, where)


def _one(form: Form, cell: Cell, marks: Marks, where: str) -> Value | Misread:
    if form == "text":
        return _text(cell)
    if form == "truth":
        return _truth(cell)
    return _number(form, cell, marks, where)


def _text(cell: Cell) -> str | Misread:
    if cell.holds == "text":
        became = retyped(str(cell.value))
        if became:
            says = (
                f"became {became}, {cell.shown.strip()}; format the column as text and type it again, or "
                "put it in double quotes where it is meant."
            )
            return Misread("data.retyped", says)
        return restored(str(cell.value))
    what = "a number" if cell.holds == "number" else "true or false"
    says = (
        f"is {what}, {cell.shown}, in a column of text: zeros in front and more may be lost. Format the "
        "column as text and type it again."
    )
    return Misread("data.retyped", says)


def _truth(cell: Cell) -> bool | Misread:
    if isinstance(cell.value, bool):
        return cell.value
    word = str(cell.value).strip().lower()
    if cell.holds == "text" and word in TRUTHS:
        return TRUTHS[word]
    return Misread("data.wrong-type", f"found {said(cell.shown)}; allowed is true or false.")


def _number(form: Form, cell: Cell, marks: Marks, where: str) -> int | float | Misread:
    if isinstance(cell.value, bool):
        return Misread("data.wrong-type", f"found {cell.shown}; a number is wanted.")
    if isinstance(cell.value, (int, float)):
        return _sensible(form, cell.value)
    return _typed(form, cell.value, marks, where)


def _typed(form: Form, text: str, marks: Marks, where: str) -> int | float | Misread:
    number = typed_number(text)
    if number is None:
        says = (
            f"found {said(text.strip())}; a number is wanted, with a decimal point or comma at most, the "
            "unit in the header."
        )
        return Misread("data.wrong-type", says)
    marks.meet(text, where)
    return _sensible(form, number)


def _sensible(form: Form, number: float) -> int | float | Misread:
    if not abs(number) < LARGEST:
        says = "found a number of more than 15 digits; nothing about a wheel is so large."
        return Misread("data.out-of-range", says)
    return _whole(number) if form == "whole" else number


def _whole(number: float) -> int | float:
    """24.0 is 24; 24.5 stays, and its key will refuse it."""
    return int(number) if float(number).is_integer() else number


def _list(column: Column, cell: Cell, marks: Marks, where: str) -> Value | Misread:
    if cell.holds != "text":
        one = _one(column.form, cell, marks, where)
        return one if isinstance(one, Misread) else [one]
    text = restored(str(cell.value))
    if text.lower() == NONE and not column.spaced:
        return []
    found: list[Value] = []
    for entry in _parted(column, text):
        if column.form == "text":
            found.append(entry)
            continue
        number = _typed(column.form, entry, marks, where)
        if isinstance(number, Misread):
            return Misread(number.code, f"in the list {said(text)}: {number.says}")
        found.append(number)
    return found


def _parted(column: Column, text: str) -> list[str]:
    if column.form == "number":
        separator = _COMMA_AND_SPACE
    elif column.spaced:
        separator = _SEMICOLONS
    else:
        separator = _SPACES_AND_COMMAS
    return [each for each in separator.split(text.strip()) if each]


def _rows(column: Column, cell: Cell, marks: Marks, where: str) -> Value | Misread:
    inner = column.inner or {}
    example = " ".join(f"{key}=..." for key in inner)
    if cell.holds != "text":
        says = f"found {cell.shown}; allowed are rows like {example}; {example}"
        return Misread("data.wrong-type", says)
    text = restored(str(cell.value))
    if text.lower() == NONE:
        return []
    rows: list[Value] = []
    for row in filter(None, (each.strip() for each in text.split(";"))):
        values: dict[str, Value] = {}
        for pair in _SPACES.split(row):
            key, sign, typed = pair.partition("=")
            if not sign:
                says = f"found {said(pair)} in {said(row)}; allowed are rows like {example}"
                return Misread("data.wrong-form", says)
            if key not in inner or key in values:
                meant = nearest(key, inner)
                hint = f" Try {meant}." if meant and key not in inner else ""
                what = "stands twice" if key in values else "is no key of these rows"
                return Misread("data.unknown-key", f"{said(key)} {what}.{hint}")
            number = _typed(inner[key], typed, marks, where)
            if isinstance(number, Misread):
                return Misread(number.code, f"{key}: {number.says}")
            values[key] = number
        rows.append(values)
    return rows


def written(column: Column, value: object) -> Cell | None:
    """The cell that gives `read_cell` this value back; None for a key that is not stated."""
    if value is None:
        return None
    if column.shape == "rows" and isinstance(value, list):
        rows = [" ".join(f"{key}={_exact(each)}" for key, each in row.items()) for row in value]
        return Cell("text", "; ".join(rows) or NONE)
    if column.shape == "list" and isinstance(value, list):
        entries = [each if isinstance(each, str) else _exact(each) for each in value]
        return Cell("text", ("; " if column.spaced else " ").join(entries) or NONE)
    if isinstance(value, bool):
        return Cell("truth", value)
    if isinstance(value, (int, float)):
        # Workbooks keep sixteen digits; the rare number that needs more is kept as text.
        exact = float(f"{value:.16g}") == value
        return Cell("number", value) if exact else Cell("text", _exact(value))
    return Cell("text", neutral(str(value)))


def _exact(number: object) -> str:
    """A number with every digit, whole where it is whole.

    >>> _exact(90.0), _exact(573.6), _exact(24)
    ('90', '573.6', '24')
    """
    if isinstance(number, float) and number.is_integer() and abs(number) < 1e15:
        return str(int(number))
    return repr(number)
