"""The places of an order where something can be chosen from a list, and what is on each list."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from itertools import product
from typing import Final, Literal, TypeVar

from buildsheet.catalog.edition import Edition
from buildsheet.catalog.parts import Hub, Part, Position
from buildsheet.findings import Value
from buildsheet.orders.changes import MOST_CROSSINGS

P = TypeVar("P", bound=Part)
Kind = Literal["set", "front", "rear"]
Brake = Literal["disc", "rim"]

KINDS: Final[tuple[Kind, ...]] = ("set", "front", "rear")
BRAKES: Final[tuple[Brake, ...]] = ("disc", "rim")
POSITIONS: Final[tuple[Position, ...]] = ("front", "rear")

BUILD_MEMBERS: Final = (
    "rim",
    "holes",
    "hub",
    "crossings",
    "spoke/left",
    "spoke/right",
    "nipple",
    "washer",
)
"""Members of a wheel that decide what it is; colour and driver body ride on it."""

SIDES: Final = ("left", "right")
SPROCKETS: Final = tuple(range(8, 17))
"""Smallest sprockets that an order can name."""


def positions_in(kind: Kind) -> tuple[Position, ...]:
    """The wheels of an order of this kind, front first.

    >>> positions_in("rear")
    ('rear',)
    """
    return POSITIONS if kind == "set" else (kind,)


def asked_places(kind: Kind, brake: Brake) -> tuple[str, ...]:
    """The places where such an order has to, or may, say something beside its wheels' builds.

    What such an order does not need (the rear axle of a front wheel, the rotors of a bicycle with rim
    brakes, the rear colour of a single wheel) is not asked for.
    """
    places = ["/market", "/use/class"]
    places += ["/use/rotor_mount"] if brake == "disc" else []
    places += [f"/use/{each}_axle" for each in positions_in(kind)]
    if "rear" in positions_in(kind):
        places += ["/use/cassette/spline", "/use/cassette/smallest_sprocket"]
    places += ["/use/tyre_width_mm", "/use/tyre_system"]
    places += [f"/{each}/nipple_colour" for each in positions_in(kind)]
    places += ["/rear/driver"] if "rear" in positions_in(kind) else []
    places += ["/finish/decal_colour", "/finish/decal_size"]
    places += ["/finish/rear_decal_colour"] if kind == "set" else []
    return tuple(places)


def build_places(position: Position) -> tuple[str, ...]:
    """The places of a wheel's build.

    >>> build_places("front")[:2]
    ('/front/rim', '/front/holes')
    """
    return tuple(f"/{position}/{member}" for member in BUILD_MEMBERS)


def values_of(at: str, edition: Edition) -> tuple[Value, ...]:
    """Everything on the list of a place, whether or not it can still be had, in a stable order.

    Parts that take no new orders any more are on it, drafts are not; None stands for a member left out
    on purpose. Empty for a place without a list.
    """
    if at in _ORDER_LISTS:
        return tuple(_ORDER_LISTS[at](edition))
    position, _, member = at[1:].partition("/")
    if position == "front" and member in _WHEEL_LISTS and member != "driver":
        return tuple(_WHEEL_LISTS[member](edition, "front"))
    if position == "rear" and member in _WHEEL_LISTS:
        return tuple(_WHEEL_LISTS[member](edition, "rear"))
    return ()


def as_number(value_mm: float) -> Value:
    """A measure as an order writes it: whole where it is whole.

    >>> as_number(28.0), as_number(28.5)
    (28, 28.5)
    """
    return int(value_mm) if value_mm == int(value_mm) else value_mm


def _shown(parts: Mapping[str, P]) -> list[P]:
    return [part for part in parts.values() if part.state != "draft"]


def _codes(parts: Mapping[str, P]) -> list[Value]:
    return [part.code for part in _shown(parts)]


def _hubs(edition: Edition, position: Position) -> list[Hub]:
    return [each for each in _shown(edition.hubs) if each.position == position]


def _axles(edition: Edition, position: Position) -> list[Value]:
    return [*sorted({axle for hub in _hubs(edition, position) for axle in hub.axles})]


def _tyre_widths(edition: Edition) -> list[Value]:
    """Every width at which some rim begins or ceases to take a tyre: a rim that takes any tyre takes
    one of these."""
    over_mm = edition.house.tyre.hookless_tyre_over_rim_mm
    widths_mm: set[float] = set()
    for rim in _shown(edition.rims):
        widths_mm.update(row.tyre_mm for row in rim.pressure_limits or ())
        widths_mm.update(each for each in (rim.tyre_min_mm, rim.tyre_max_mm) if each is not None)
        if rim.bead == "hookless":
            widths_mm.add(rim.inner_width_mm + over_mm)
    return [as_number(each) for each in sorted(widths_mm) if 15.0 <= each <= 120.0]


def _colours(edition: Edition) -> list[Value]:
    return [*sorted({each.colour for each in _shown(edition.decals)})]


def _holes(edition: Edition, position: Position) -> list[Value]:
    rims = {each for rim in _shown(edition.rims) for each in rim.holes}
    return [*sorted(rims | {each for hub in _hubs(edition, position) for each in hub.holes})]


def _most_crossings(edition: Edition) -> int:
    return max(MOST_CROSSINGS, *(each for hub in _shown(edition.hubs) for each in hub.crossings), 0)


def _one_side(edition: Edition, _: Position) -> list[Value]:
    return [*range(_most_crossings(edition) + 1)]


def _patterns(edition: Edition, _: Position) -> list[Value]:
    counts = range(_most_crossings(edition) + 1)
    patterns: list[Value] = [
        {"left": left, "right": right} for left, right in product(counts, counts)
    ]
    return [None, *patterns]


_ORDER_LISTS: Final[Mapping[str, Callable[[Edition], Iterable[Value]]]] = {
    "/kind": lambda _: KINDS,
    "/market": lambda edition: edition.house.markets,
    "/use/class": lambda _: range(1, 7),
    "/use/brake": lambda _: BRAKES,
    "/use/rotor_mount": lambda _: ("none", "splined", "six-bolt"),
    "/use/front_axle": lambda edition: _axles(edition, "front"),
    "/use/rear_axle": lambda edition: _axles(edition, "rear"),
    "/use/cassette/spline": lambda edition: sorted({d.spline for d in _shown(edition.drivers)}),
    "/use/cassette/smallest_sprocket": lambda _: SPROCKETS,
    "/use/tyre_width_mm": _tyre_widths,
    "/use/tyre_system": lambda _: ("clincher", "tubeless", "tubular"),
    "/finish/decal_colour": _colours,
    "/finish/decal_size": lambda _: (None, "S", "M", "L"),
    "/finish/rear_decal_colour": lambda edition: [None, *_colours(edition)],
}

_WHEEL_LISTS: Final[Mapping[str, Callable[[Edition, Position], Iterable[Value]]]] = {
    "rim": lambda edition, _: _codes(edition.rims),
    "holes": _holes,
    "hub": lambda edition, position: [each.code for each in _hubs(edition, position)],
    "crossings": _patterns,
    "crossings/left": _one_side,
    "crossings/right": _one_side,
    "spoke/left": lambda edition, _: _codes(edition.spokes),
    "spoke/right": lambda edition, _: _codes(edition.spokes),
    "nipple": lambda edition, _: _codes(edition.nipples),
    "nipple_colour": lambda edition, _: sorted(
        {each for nipple in _shown(edition.nipples) for each in nipple.colours}
    ),
    "washer": lambda edition, _: [None, *_codes(edition.washers)],
    "driver": lambda edition, _: _codes(edition.drivers),
}
