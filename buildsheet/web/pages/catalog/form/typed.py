"""From the texts of a form to the values of a catalog table, and what could not be read.

A number is read with a decimal point or a decimal comma, never with both. What cannot be read stays
text: the catalog's own reading then says what is allowed there.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from buildsheet.web.pages.catalog.form.field import Field
from buildsheet.web.pages.catalog.form.written import as_text

Texts = Mapping[str, Sequence[str]]
"""Name of an input -> what was sent under it, as often as it was sent."""

_NUMBER: Final = re.compile(r"[+-]?[0-9]+([.,][0-9]+)?([eE][+-]?[0-9]{1,2})?")
_WHOLE: Final = re.compile(r"[+-]?[0-9]{1,12}")
_BETWEEN: Final = {
    "whole": re.compile(r"[\s,;]+"),
    "line": re.compile(r"[\s,;]+"),
    # A comma right before a digit is a decimal comma.
    "number": re.compile(r"[\s;]+|,(?=\s)"),
}
_SEVERAL_WORDS: Final = re.compile(r"\s*[,;]\s*")
MOST_ROWS: Final = 40
MOST_LETTERS: Final = 2000


@dataclass(frozen=True, slots=True)
class Typed:
    """``values`` as a catalog table has them; ``unread`` key -> sentence where a text is no value."""

    values: dict[str, Any]
    unread: Mapping[str, str]


def typed(fields: Sequence[Field], texts: Texts) -> Typed:
    """The values that a form sent. An empty text is no value, so that the key is left out."""
    values: dict[str, Any] = {}
    unread: dict[str, str] = {}
    for field in fields:
        value = _value(field, field.key, texts, unread)
        if value is not None:
            put(values, field.path, value)
    return Typed(values, unread)


def without_defaults(
    fields: Sequence[Field], values: Mapping[str, Any], there: Mapping[str, Any]
) -> dict[str, Any]:
    """The values without those that an empty field stands for and that nobody has written down."""
    bare = {
        field.key
        for field in fields
        if field.default and field.key not in there
        if as_text(values.get(field.key)) == field.default
    }
    return {key: value for key, value in values.items() if key not in bare}


def put(values: dict[str, Any], path: Sequence[str], value: object) -> None:
    """Put a value at a key, with the tables above it."""
    *above, last = path
    for key in above:
        values = values.setdefault(key, {})
    values[last] = value


def _value(field: Field, name: str, texts: Texts, unread: dict[str, str]) -> Any:
    if field.shape == "rows":
        return list(_rows(field, texts, unread)) or None
    if field.shape == "ticks":
        return [word for word in field.words if word in texts.get(name, ())] or None
    text = _one(texts, name)
    if not text:
        return None
    if field.shape == "list":
        between = _SEVERAL_WORDS if field.key == "colours" else _BETWEEN[field.item]
        entries = [each for each in between.split(text) if each]
        return [_read(field.item, entry, name, unread) for entry in entries]
    if field.is_yes_no:
        return {"yes": True, "no": False}.get(text, text)
    return _read(field.shape, text, name, unread)


def _rows(field: Field, texts: Texts, unread: dict[str, str]) -> Iterator[dict[str, Any]]:
    for row in range(MOST_ROWS):
        cells: dict[str, Any] = {}
        for column in field.columns:
            name = f"{field.key}.{row}.{column.key}"
            value = _value(column, name, texts, unread)
            if value is not None:
                cells[column.key] = value
        if cells:
            yield cells


def _one(texts: Texts, name: str) -> str:
    text = next(iter(texts.get(name, ())), "")
    # Browsers send line ends as CR LF.
    return text.replace("\r\n", "\n").strip()[:MOST_LETTERS]


def _read(shape: str, text: str, name: str, unread: dict[str, str]) -> Any:
    if shape == "number":
        return _number(text, name, unread)
    if shape == "whole":
        if _WHOLE.fullmatch(text):
            return int(text)
        unread[name] = f"“{text[:60]}” is no whole number."
    return text


def _number(text: str, name: str, unread: dict[str, str]) -> float | str:
    """The number, or the text as it was typed.

    >>> _number("573,6", "x", {}), _number("1.35e7", "x", {})
    (573.6, 13500000.0)
    """
    if _NUMBER.fullmatch(text):
        return float(text.replace(",", "."))
    if re.fullmatch(r"[+-]?[\d.,]+", text) and "." in text and "," in text:
        unread[name] = f"“{text[:60]}” has a point and a comma: which of them is the decimal sign?"
    else:
        unread[name] = f"“{text[:60]}” is no number; the unit stands beside the field already."
    return text
