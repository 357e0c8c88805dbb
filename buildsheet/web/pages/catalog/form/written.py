"""From the values of a catalog table to the texts of a form, and for reading."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from buildsheet.web.pages.catalog.form.field import Field

Texts = dict[str, list[str]]


def written(fields: Sequence[Field], values: Mapping[str, Any]) -> Texts:
    """What stands in the form's fields for these values, the inverse of `typed`.

    Values of a wrong type (a draft may hold faults) are written as they are.
    """
    texts: Texts = {}
    for field in fields:
        value = value_at(values, field.path)
        if value is not None:
            texts.update(_texts(field, value))
    return texts


def value_at(values: Mapping[str, Any], path: Sequence[str]) -> Any:
    """What stands at a key, or None."""
    found: Any = values
    for key in path:
        if not isinstance(found, Mapping):
            return None
        found = found.get(key)
    return found


def _texts(field: Field, value: Any) -> Texts:
    is_list = isinstance(value, (list, tuple))
    if field.shape == "rows" and is_list:
        return {
            f"{field.key}.{row}.{key}": [as_text(cell)]
            for row, cells in enumerate(value)
            if isinstance(cells, Mapping)
            for key, cell in cells.items()
            if cell is not None
        }
    if field.shape == "ticks" and is_list:
        return {field.key: [as_text(each) for each in value]}
    between = ", " if field.key == "colours" else " "
    text = between.join(as_text(each) for each in value) if is_list else as_text(value)
    return {field.key: [text]}


def as_text(value: Any) -> str:
    """One value as somebody would type it.

    >>> as_text(33.0), as_text(1.35e7), as_text(True), as_text("KF2")
    ('33', '13500000', 'yes', 'KF2')
    """
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return f"{value:.12g}"
    return str(value)
