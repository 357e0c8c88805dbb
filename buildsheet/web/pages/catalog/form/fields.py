"""Every field of a part kind, read off the kind's model."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from typing import Final

from pydantic import BaseModel

from buildsheet.catalog.allowed import Schema, allowed_at, in_words
from buildsheet.catalog.edition import KINDS
from buildsheet.web.pages.catalog.form.field import YES_NO, Field, ItemShape, Shape
from buildsheet.web.pages.catalog.form.words import help_of, label_of, unit_of
from buildsheet.web.pages.catalog.form.written import as_text

Keys = tuple[str | int, ...]

_ITEM: Final[dict[str, ItemShape]] = {"number": "number", "integer": "whole", "string": "line"}


@cache
def fields_of(kind: str) -> tuple[Field, ...]:
    """The fields of one kind in the order of its model, without the code: that one is the table's name."""
    model = KINDS[kind]
    required = {key for key, info in model.model_fields.items() if info.is_required()}
    keys = (key for key in model.model_fields if key != "code")
    return tuple(
        field for key in keys for field in fields_in(kind, model, (key,), required=key in required)
    )


def fields_in(
    kind: str, model: type[BaseModel], keys: Keys, *, required: bool = True
) -> Iterator[Field]:
    """The fields of what stands at a key: one, or those of a table."""
    node = allowed_at(model, keys)
    if node.get("type") == "object":
        for key in _table_keys(node):
            needed = required and key in node.get("required", ())
            yield from fields_in(kind, model, (*keys, key), required=needed)
        return
    yield _field(kind, model, keys, node, required=required)


def _table_keys(node: Schema) -> tuple[str, ...]:
    """The keys of a table; of one with free keys those that it lists as allowed."""
    fixed = tuple(node.get("properties", ()))
    return fixed or tuple(node.get("propertyNames", {}).get("enum", ()))


def _field(kind: str, model: type[BaseModel], keys: Keys, node: Schema, *, required: bool) -> Field:
    key = ".".join(str(each) for each in keys if isinstance(each, str))
    shape, words = _shape(node, model, keys)
    items = allowed_at(model, (*keys, 0)) if node.get("type") == "array" else {}
    columns = _columns(kind, model, keys, items) if shape == "rows" else ()
    return Field(
        key=key,
        label=label_of(key),
        unit="" if shape == "line" else unit_of(key),
        shape=shape,
        required=required,
        # What a choice allows stands in its list.
        allowed="" if words else in_words(node, model),
        help=help_of(kind, key),
        words=words,
        default=_default(model, keys),
        columns=columns,
        item=_ITEM.get(str(items.get("type")), "line"),
    )


def _default(model: type[BaseModel], keys: Keys) -> str:
    info = model.model_fields.get(str(keys[0])) if len(keys) == 1 else None
    if info is None or info.is_required() or info.default in (None, (), ""):
        return ""
    return as_text(info.default)


def _shape(node: Schema, model: type[BaseModel], keys: Keys) -> tuple[Shape, tuple[str, ...]]:
    kind = node.get("type")
    if "enum" in node:
        return "choice", tuple(str(each) for each in node["enum"])
    if kind == "boolean":
        return "choice", YES_NO
    if kind == "array":
        items = allowed_at(model, (*keys, 0))
        if "enum" in items:
            return "ticks", tuple(str(each) for each in items["enum"])
        return ("rows" if items.get("type") == "object" else "list"), ()
    shapes: dict[object, Shape] = {"number": "number", "integer": "whole"}
    return shapes.get(kind, "line"), ()


def _columns(kind: str, model: type[BaseModel], keys: Keys, items: Schema) -> tuple[Field, ...]:
    """The fields of a row; their keys are the row's own."""
    needed = items.get("required", ())
    columns = []
    for key in items.get("properties", ()):
        node = allowed_at(model, (*keys, 0, key))
        shape, words = _shape(node, model, (*keys, 0, key))
        columns.append(
            Field(
                key=key,
                label=_COLUMN_LABELS.get(key, label_of(key)),
                unit=unit_of(key),
                shape=shape,
                required=key in needed,
                allowed=in_words(node, model),
                help=help_of(kind, key) if key != "holes" else "",
                words=words,
            )
        )
    return tuple(columns)


_COLUMN_LABELS: Final = {"holes": "Holes"}
