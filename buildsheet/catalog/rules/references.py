"""What a checked expression refers to: facts, functions, and where they stand.

The checker hands its result out as a serialised `cel.expr.CheckedExpr` (Common Expression Language
specification, `proto/cel/expr/checked.proto` and `syntax.proto`; memory, and seen in its output). Only
the fields that are read here are decoded: field 2 of the message is the map from a node to what it
refers to (name in field 1, overloads in field 3), field 5 the source with the nodes' places (field 4).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

Field = tuple[int, int | bytes]


@dataclass(frozen=True, slots=True)
class Reference:
    """A name in an expression. ``overloads`` is empty for a fact or a type; ``place`` is in characters,
    None where the checker made the node itself."""

    name: str
    overloads: tuple[str, ...]
    place: int | None


def references(serialised: bytes) -> tuple[Reference, ...]:
    """Every reference of a checked expression, by node. Raises ValueError for bytes of another form."""
    checked = _first(serialised, 2)
    places: dict[int, int] = {}
    found: list[tuple[int, str, tuple[str, ...]]] = []
    for number, value in _fields(checked):
        if number == 2 and isinstance(value, bytes):
            node, reference = _entry(value)
            name = _first(reference, 1).decode()
            overloads = tuple(
                each.decode()
                for field, each in _fields(reference)
                if field == 3 and isinstance(each, bytes)
            )
            found.append((node, name, overloads))
        elif number == 5 and isinstance(value, bytes):
            places = dict(_places(value))
    found.sort()
    return tuple(Reference(name, overloads, places.get(node)) for node, name, overloads in found)


def _places(source: bytes) -> Iterator[tuple[int, int]]:
    for number, value in _fields(source):
        if number == 4 and isinstance(value, bytes):
            entry = dict(_fields(value))
            node, place = entry.get(1, 0), entry.get(2, 0)
            if isinstance(node, int) and isinstance(place, int):
                yield node, place


def _entry(value: bytes) -> tuple[int, bytes]:
    entry = dict(_fields(value))
    node, reference = entry.get(1, 0), entry.get(2, b"")
    if not isinstance(node, int) or not isinstance(reference, bytes):
        raise ValueError("not a checked expression")  # noqa: TRY004 - bytes of another form
    return node, reference


def _first(message: bytes, wanted: int) -> bytes:
    for number, value in _fields(message):
        if number == wanted and isinstance(value, bytes):
            return value
    return b""


def _fields(message: bytes) -> Iterator[Field]:
    """Field numbers with their values: whole numbers, or bytes of texts and inner messages."""
    at = 0
    while at < len(message):
        tag, at = _varint(message, at)
        kind = tag & 7
        if kind == 0:
            value, at = _varint(message, at)
            yield tag >> 3, value
        elif kind == 2:
            length, at = _varint(message, at)
            yield tag >> 3, message[at : at + length]
            at += length
        elif kind == 1:
            at += 8
        elif kind == 5:
            at += 4
        else:
            raise ValueError("not a checked expression")


def _varint(message: bytes, at: int) -> tuple[int, int]:
    value, shift = 0, 0
    while at < len(message) and shift < 70:
        byte = message[at]
        at += 1
        value |= (byte & 0x7F) << shift
        shift += 7
        if not byte & 0x80:
            return value, at
    raise ValueError("not a checked expression")
