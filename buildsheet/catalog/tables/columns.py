"""The columns of a kind's sheet, read off its model: what a table may hold and what a sheet may say
are one statement."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any, Literal

from buildsheet.catalog.allowed import allowed_at, keys_of
from buildsheet.catalog.edition import KINDS
from buildsheet.catalog.parts import Part

Form = Literal["text", "number", "whole", "truth"]
Keys = tuple[str, ...]

_FORMS: Mapping[str, Form] = {
    "string": "text",
    "number": "number",
    "integer": "whole",
    "boolean": "truth",
}


@dataclass(frozen=True, slots=True)
class Column:
    """One column: where its values go, what one value is, and how many of them a cell holds.

    ``shape`` is ``one`` value, a ``list`` of them, or ``rows`` of a table whose keys and forms are
    ``inner``. ``spaced``: an entry may have spaces inside, so entries are parted by semicolons.
    """

    keys: Keys
    form: Form
    shape: Literal["one", "list", "rows"] = "one"
    inner: Mapping[str, Form] | None = None
    spaced: bool = False

    @property
    def header(self) -> str:
        """The first row's word: the keys with dots."""
        return ".".join(self.keys)


CODE = Column(("code",), "text")


@cache
def columns_of(kind: str) -> tuple[Column, ...]:
    """Every column of a kind, the code first, then in the order of its model."""
    return (CODE, *_under(KINDS[kind], ()))


def _under(model: type[Part], keys: Keys) -> Iterator[Column]:
    table = allowed_at(model, keys)
    for key in keys_of(table):
        here = (*keys, key)
        node = allowed_at(model, here)
        if node.get("type") == "object":
            yield from _under(model, here)
        elif node.get("type") == "array":
            yield _list(model, here)
        else:
            yield Column(here, _form(node))


def _list(model: type[Part], keys: Keys) -> Column:
    node = allowed_at(model, (*keys, 0))
    if node.get("type") == "object":
        inner = {key: _form(allowed_at(model, (*keys, 0, key))) for key in keys_of(node)}
        return Column(keys, "text", "rows", inner)
    return Column(keys, _form(node), "list", spaced=" " in node.get("pattern", ""))


def _form(node: Mapping[str, Any]) -> Form:
    """Words without a type are texts: a choice of one has no other mark."""
    return _FORMS[node.get("type", "string")]
