"""The lists that an order is filled from: parts on offer, and every use worth telling apart."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from itertools import chain, pairwise
from math import prod
from typing import Final

from pydantic import ValidationError

from buildsheet.catalog.edition import Edition
from buildsheet.catalog.parts import Part, Position
from buildsheet.catalog.rules.judge import reads
from buildsheet.findings import Value
from buildsheet.orders.document import Cassette

Lists = Mapping[str, tuple[Value, ...]]
"""By place of the order (JSON Pointer): the values that may stand there."""

LIGHTEST: Final[Lists] = {
    "/use/rider_kg": (20.0,),
    "/use/bike_kg": (3.0,),
    "/use/luggage_kg": (0.0,),
}
"""The lightest masses that an order's form allows: what is not built for them is built for nobody."""

TYRES_MM: Final = (15.0, 120.0)
"""The narrowest and the widest tyre that an order's form allows."""

TYRE_FACT: Final = "use.tyre_width_mm"
NUMBER: Final = re.compile(r"(?<![\w.])\d+(?:\.\d+)?")
"""A number in a rule's condition."""

SPROCKETS: Final = tuple(range(8, 17))
_USE: Final[Lists] = {
    "/use/class": tuple(range(1, 7)),
    **LIGHTEST,
    "/use/brake": ("disc", "rim"),
    "/use/rotor_mount": (None, "none", "splined", "six-bolt"),
    "/use/tyre_system": ("clincher", "tubeless", "tubular"),
    "/use/bike": (None, "e-bike"),
    "/use/salt": (None, True),
    "/use/cassette/smallest_sprocket": SPROCKETS,
}


def wheel_lists(edition: Edition, position: Position) -> Lists:
    """What one wheel is chosen from: the parts that are open for new orders and what they offer.

    A pattern is one that some hub is made for (None: the hub dictates it), a washer may be left out.
    """
    hubs = [hub for hub in edition.hubs.values() if _open(hub) and hub.position == position]
    rims = [rim for rim in edition.rims.values() if _open(rim)]
    spokes = _codes(edition.spokes)
    lists: dict[str, Iterable[Value]] = {
        "rim": (rim.code for rim in rims),
        "holes": sorted({*chain.from_iterable(rim.holes for rim in rims)}),
        "hub": (hub.code for hub in hubs),
        "crossings": patterns(edition),
        "spoke/left": spokes,
        "spoke/right": spokes,
        "nipple": _codes(edition.nipples),
        "washer": (None, *_codes(edition.washers)),
        "nipple_colour": nipple_colours(edition),
    }
    if position == "rear":
        lists["driver"] = _codes(edition.drivers)
    return {f"/{position}/{member}": tuple(values) for member, values in lists.items()}


def patterns(edition: Edition) -> tuple[Value, ...]:
    """Every pattern made of crossings that some hub is released for; None where some hub dictates."""
    hubs = [hub for hub in edition.hubs.values() if _open(hub)]
    counts = {*chain.from_iterable(hub.crossings for hub in hubs)}
    counts |= {0 for hub in hubs if hub.radial_holes}
    named: list[Value] = [
        {"left": left, "right": right} for left in sorted(counts) for right in sorted(counts)
    ]
    return (*((None,) if any(hub.left_seats for hub in hubs) else ()), *named)


def nipple_colours(edition: Edition) -> tuple[str, ...]:
    """Every colour in which some nipple is made."""
    made = (nipple.colours for nipple in edition.nipples.values() if _open(nipple))
    return tuple(sorted({*chain.from_iterable(made)}))


def decal_colours(edition: Edition) -> tuple[str, ...]:
    """Every colour in which some decal is made."""
    return tuple(sorted({each.colour for each in edition.decals.values() if _open(each)}))


def use_lists(edition: Edition) -> Lists:
    """Every use that a check can tell from another: riders at their lightest, what may be left out
    left out."""
    hubs = edition.hubs.values()
    axles = {
        position: sorted({axle for hub in hubs if hub.position == position for axle in hub.axles})
        for position in ("front", "rear")
    }
    return {
        **_USE,
        "/use/front_axle": tuple(axles["front"]),
        "/use/rear_axle": tuple(axles["rear"]),
        "/use/cassette/spline": _splines(edition),
        "/use/tyre_width_mm": _tyres_mm(edition),
        "/market": tuple(edition.house.markets),
    }


def _splines(edition: Edition) -> tuple[Value, ...]:
    """The splines that driver bodies have and that the order's form can name."""
    splines = sorted({driver.spline for driver in edition.drivers.values() if _open(driver)})
    return tuple(spline for spline in splines if _can_be_ordered(spline))


def _can_be_ordered(spline: str) -> bool:
    try:
        Cassette(spline=spline, smallest_sprocket=SPROCKETS[0])
    except ValidationError:
        return False
    return True


def _tyres_mm(edition: Edition) -> tuple[Value, ...]:
    """Every width at which a rim changes its mind, and one between each two: any width is judged as
    one of these."""
    over_mm = edition.house.tyre.hookless_tyre_over_rim_mm
    turns = {*TYRES_MM, *_rules_turns_mm(edition)}
    for rim in edition.rims.values():
        turns |= {row.tyre_mm for row in rim.pressure_limits or ()}
        turns |= {width for width in (rim.tyre_min_mm, rim.tyre_max_mm) if width is not None}
        turns.add(rim.inner_width_mm + over_mm)
    widths = sorted(width for width in turns if TYRES_MM[0] <= width <= TYRES_MM[1])
    between = ((low + high) / 2.0 for low, high in pairwise(widths))
    return tuple(sorted({*widths, *between}))


def _rules_turns_mm(edition: Edition) -> set[float]:
    """Where rules may change their mind about a tyre: at the numbers that they name, and, because they
    may reckon with figures of parts, at every half millimetre. A rule that accepts a narrower range than
    that, reckoned and not named, is not seen."""
    about_tyres = [rule for rule in edition.rules.values() if TYRE_FACT in reads(rule)]
    turns = set(half_steps_mm()) if about_tyres else set()
    for rule in about_tyres:
        turns |= {float(each) for each in NUMBER.findall(f"{rule.when or ''} {rule.needs}")}
    return turns


def half_steps_mm() -> Iterable[float]:
    """Every half millimetre between the narrowest and the widest tyre."""
    low, high = (round(2.0 * width) for width in TYRES_MM)
    return (step / 2.0 for step in range(low, high + 1))


def combinations(edition: Edition) -> int:
    """How many wheels the lists spell out, front and rear, sound or not: part by part, in every nipple
    and decal colour, the rear ones with every driver body."""
    positions: tuple[Position, Position] = ("front", "rear")
    by_position = (
        prod(len(values) for values in wheel_lists(edition, position).values())
        for position in positions
    )
    return sum(by_position) * len(decal_colours(edition))


def _open(part: Part) -> bool:
    return part.state == "active"


def _codes(parts: Mapping[str, Part]) -> tuple[str, ...]:
    return tuple(code for code, part in parts.items() if _open(part))
