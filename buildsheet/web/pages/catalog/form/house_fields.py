"""The fields of the house figures, read off their model."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from functools import cache
from typing import Any, Final

from buildsheet.catalog.house import House
from buildsheet.web.pages.catalog.form.field import Field, Group
from buildsheet.web.pages.catalog.form.fields import fields_in
from buildsheet.web.pages.catalog.form.written import value_at

OWN: Final = frozenset({"edition", "starts", "markets"})
"""Keys that are no figures: number and start come with publishing; countries are a list of their own."""

HEADINGS: Final = {
    "lacing": "Lacing",
    "fit": "Fit",
    "length": "Length",
    "tension": "Tension",
    "load": "Load",
    "tyre": "Tyre",
    "finish": "Finish",
    "pair": "Pair and box",
    "sheet": "Sheet",
}


@cache
def house_fields() -> tuple[Field, ...]:
    """Every house figure in the order of the file."""
    keys = (key for key in House.model_fields if key not in OWN)
    return tuple(field for key in keys for field in fields_in("house", House, (key,)))


def house_groups(notes: Mapping[str, str]) -> tuple[Group, ...]:
    """The figures by table, each with what the file says of it."""
    tables: dict[str, list[Field]] = {}
    for field in house_fields():
        noted = replace(field, help=_sentence(notes.get(field.key, "")))
        tables.setdefault(field.path[0] if len(field.path) > 1 else "", []).append(noted)
    return tuple(
        Group(HEADINGS.get(table, "The workshop"), "", tuple(fields))
        for table, fields in tables.items()
    )


def _sentence(note: str) -> str:
    said = note[:1].upper() + note[1:]
    return said if not said or said.endswith(".") else f"{said}."


def changed_figures(before: Mapping[str, Any], after: Mapping[str, Any]) -> dict[str, Any]:
    """Dotted key -> new value of every figure that differs; None where it was emptied."""
    return dict(_changed(before, after))


def _changed(before: Mapping[str, Any], after: Mapping[str, Any]) -> Iterator[tuple[str, Any]]:
    for field in house_fields():
        old, new = value_at(before, field.path), value_at(after, field.path)
        if old != new:
            yield field.key, new
