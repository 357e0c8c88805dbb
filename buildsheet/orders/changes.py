"""What may be put at which place of an order, and the order with it put there."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from functools import lru_cache
from typing import Final, TypeVar

from buildsheet.catalog.edition import Edition
from buildsheet.catalog.parts import Part
from buildsheet.findings import Value

P = TypeVar("P", bound=Part)

Changes = tuple[tuple[str, Value], ...]
"""Places with what is put there, in the order of places."""

MOST_CROSSINGS: Final = 4
"""More than four crossings wrap every usual drilling past a right angle."""


def values_at(at: str, edition: Edition, document: Mapping[str, Value]) -> tuple[Value, ...]:
    """Every value worth trying at a place, in a stable order, without the one that stands there.

    Nobody's mass and nobody's use is on offer: a way out is another part, not another rider.
    """
    offered = _offered(at, edition)
    standing = value_at(document, at)
    return tuple(each for each in offered if each != standing)


def _offered(at: str, edition: Edition) -> tuple[Value, ...]:
    if at in _ORDER_PLACES:
        return tuple(_ORDER_PLACES[at](edition))
    position, _, member = at[1:].partition("/")
    if position in ("front", "rear") and member in _WHEEL_PLACES:
        return tuple(_WHEEL_PLACES[member](edition, position))
    return ()


def _open(parts: Mapping[str, Part]) -> list[Value]:
    return [code for code, part in parts.items() if part.state == "active"]


def _active(parts: Mapping[str, P]) -> Iterator[P]:
    return (part for part in parts.values() if part.state == "active")


def _holes(edition: Edition) -> list[Value]:
    return [*sorted({each for rim in _active(edition.rims) for each in rim.holes})]


def _hubs(edition: Edition, position: str) -> list[Value]:
    hubs = {code: hub for code, hub in edition.hubs.items() if hub.position == position}
    return _open(hubs)


def _axles(edition: Edition, position: str) -> list[Value]:
    hubs = (each for each in _active(edition.hubs) if each.position == position)
    return [*sorted({axle for hub in hubs for axle in hub.axles})]


def _spokes(edition: Edition) -> list[Value]:
    return [{"left": code, "right": code} for code in _open(edition.spokes)]


def _nipple_colours(edition: Edition) -> list[Value]:
    return [*sorted({each for nipple in _active(edition.nipples) for each in nipple.colours})]


def _tyre_widths(edition: Edition) -> list[Value]:
    rows = (row for rim in _active(edition.rims) for row in rim.pressure_limits or ())
    return [*sorted({row.tyre_mm for row in rows})]


_COMPANIONS: Final[Mapping[str, tuple[str, ...]]] = {
    "rim": ("holes", "nipple", "nipple_colour", "hub", "crossings"),
    "holes": ("hub", "rim", "crossings"),
    "hub": ("crossings", "spoke", "holes", "/use/rotor_mount"),
    "crossings": ("holes", "hub"),
    "spoke": ("crossings", "hub"),
    "nipple": ("nipple_colour", "rim"),
    "driver": ("hub",),
}
"""What often has to change with a member of a wheel."""


def companions(at: str) -> tuple[str, ...]:
    """The places that often have to change together with this one.

    >>> companions("/front/nipple")
    ('/front/nipple_colour', '/front/rim')
    """
    wheel, _, member = at.rpartition("/")
    if wheel not in ("/front", "/rear"):
        return ("/finish/decal_size", "/finish/decal_colour") if wheel == "/finish" else ()
    return tuple(
        each if each.startswith("/") else f"{wheel}/{each}" for each in _COMPANIONS.get(member, ())
    )


def _colours(edition: Edition) -> list[Value]:
    return [*sorted({each.colour for each in _active(edition.decals)})]


_ONE_SIDE: Final[tuple[Value, ...]] = tuple(range(MOST_CROSSINGS + 1))
_SAME_CROSSINGS: Final[list[Value]] = [{"left": each, "right": each} for each in _ONE_SIDE]
_BOTH_SIDES: Final[tuple[Value, ...]] = (None, *_SAME_CROSSINGS)

_WHEEL_PLACES: Final[Mapping[str, Callable[[Edition, str], Iterable[Value]]]] = {
    "": lambda _edition, _position: [None],
    "rim": lambda edition, _: _open(edition.rims),
    "holes": lambda edition, _: _holes(edition),
    "hub": _hubs,
    "crossings": lambda _edition, _position: _BOTH_SIDES,
    "crossings/left": lambda _edition, _position: _ONE_SIDE,
    "crossings/right": lambda _edition, _position: _ONE_SIDE,
    "spoke": lambda edition, _: _spokes(edition),
    "spoke/left": lambda edition, _: _open(edition.spokes),
    "spoke/right": lambda edition, _: _open(edition.spokes),
    "nipple": lambda edition, _: _open(edition.nipples),
    "nipple_colour": lambda edition, _: _nipple_colours(edition),
    "washer": lambda edition, _: [None, *_open(edition.washers)],
    "driver": lambda edition, position: _open(edition.drivers) if position == "rear" else [],
}

_ORDER_PLACES: Final[Mapping[str, Callable[[Edition], Iterable[Value]]]] = {
    "/kind": lambda _: ["set", "front", "rear"],
    "/market": lambda edition: list(edition.house.markets),
    "/edition_seen": lambda edition: [edition.number],
    "/use/brake": lambda _: ["disc", "rim"],
    "/use/rotor_mount": lambda _: ["none", "splined", "six-bolt"],
    "/use/front_axle": lambda edition: _axles(edition, "front"),
    "/use/rear_axle": lambda edition: _axles(edition, "rear"),
    "/use/tyre_system": lambda _: ["clincher", "tubeless", "tubular"],
    "/use/tyre_width_mm": _tyre_widths,
    "/finish/decal_colour": _colours,
    "/finish/rear_decal_colour": lambda edition: [None, *_colours(edition)],
    "/finish/decal_size": lambda _: ["S", "M", "L", None],
}


@lru_cache(maxsize=4096)
def names_of(at: str) -> tuple[str, ...]:
    """The names in a JSON Pointer."""
    return tuple(part.replace("~1", "/").replace("~0", "~") for part in at.split("/")[1:])


def value_at(document: Mapping[str, Value], at: str) -> Value:
    """What stands at a JSON Pointer; None where nothing does."""
    return value_inside(document if isinstance(document, dict) else dict(document), names_of(at))


def value_inside(value: Value, names: tuple[str, ...]) -> Value:
    """What stands inside a value, by the names of the members on the way."""
    for name in names:
        value = value.get(name) if isinstance(value, dict) else None
    return value


def changed(
    document: Mapping[str, Value], changes: Iterable[tuple[str, Value]]
) -> dict[str, Value]:
    """A copy of the document with every value put at its place; objects on the way are made.

    >>> changed({"front": {"holes": 24}}, [("/front/holes", 28)])
    {'front': {'holes': 28}}
    """
    copy = dict(document)
    for at, value in changes:
        _put(copy, names_of(at), value)
    return copy


def _put(into: dict[str, Value], names: tuple[str, ...], value: Value) -> None:
    name, *rest = names
    if not rest:
        into[name] = value
        return
    standing = into.get(name)
    inner = dict(standing) if isinstance(standing, dict) else {}
    into[name] = inner
    _put(inner, tuple(rest), value)
