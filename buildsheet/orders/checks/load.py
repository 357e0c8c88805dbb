"""Rider and use: mass, class, what the parts are released for, heat and wind."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from buildsheet.catalog.parts import Hub, Nipple, Part, Rim, Spoke
from buildsheet.findings import Value
from buildsheet.orders.posted import SAME, Posted, PostedWheel
from buildsheet.orders.raised import Raised

OUT_OF_SCOPE = {"tandem": "a tandem", "cargo": "a cargo bicycle", "fixed-gear": "a fixed gear"}


@dataclass(frozen=True, slots=True)
class MassRelease:
    """What one part is released to carry; ``named`` as a person calls it."""

    named: str
    limit_kg: float


def system_mass(wheel: PostedWheel) -> Iterator[Raised]:
    """The lowest release of rim, hub, spokes and nipples carries rider, bicycle and luggage."""
    releases: list[MassRelease] = []
    for release in _releases(wheel):
        if isinstance(release, Raised):
            yield release
        else:
            releases.append(release)
    mass_kg = wheel.order.system_kg
    if mass_kg is None or not releases:
        return
    lowest = min(releases, key=lambda each: each.limit_kg)
    if mass_kg <= lowest.limit_kg + SAME:
        return
    too_low: dict[str, Value] = {
        each.named: each.limit_kg for each in releases if each.limit_kg < mass_kg
    }
    yield wheel.found(
        "load.system-mass",
        "block",
        "",
        f"{mass_kg:g} kg together; the {wheel.position} wheel is released to {lowest.limit_kg:g} kg by "
        f"{lowest.named}. Take a rim or a drilling that carries more.",
        have={"system_kg": mass_kg},
        need={"system_kg": {"at_most": lowest.limit_kg}, "by": lowest.named, "too_low": too_low},
        also=("/use/rider_kg", "/use/bike_kg", "/use/luggage_kg"),
        ways=("rim", "holes", "hub", "spoke", "nipple"),
    )


def lowest_release(wheel: PostedWheel) -> MassRelease | None:
    """The part that carries least, and how much; None where a part does not say, or is not known."""
    answered = list(_releases(wheel))
    releases = [each for each in answered if isinstance(each, MassRelease)]
    if not releases or len(releases) < len(answered):
        return None
    return min(releases, key=lambda each: each.limit_kg)


def _releases(wheel: PostedWheel) -> Iterator[MassRelease | Raised]:
    if wheel.rim is not None and wheel.holes is not None:
        yield from _rim_release(wheel, wheel.rim, wheel.holes)
    parts: list[tuple[str, Hub | Spoke | Nipple]] = []
    if wheel.hub is not None:
        parts.append(("hub", wheel.hub))
    parts.extend((at, spoke) for at, spoke, _ in wheel.spoke_types())
    if wheel.nipple is not None:
        parts.append(("nipple", wheel.nipple))
    for at, part in parts:
        if part.system_limit_kg is None:
            yield wheel.unknown(at, part, "system_limit_kg", "how heavy a rider it carries")
        else:
            kind = at.split("/", 1)[0]
            yield MassRelease(f"{kind} {part.code}", part.system_limit_kg)


def _rim_release(wheel: PostedWheel, rim: Rim, holes: int) -> Iterator[MassRelease | Raised]:
    if holes not in rim.holes:
        return
    row = next((each for each in rim.system_limits or () if each.holes == holes), None)
    if row is None:
        yield wheel.unknown(
            "rim", rim, f"system_limits with {holes} holes", "how heavy a rider it carries"
        )
        return
    limit_kg = row.front_kg if wheel.position == "front" else row.rear_kg
    if limit_kg is not None:
        yield MassRelease(f"rim {rim.code} with {holes} holes", limit_kg)
        return
    offered: list[Value] = [
        each.holes
        for each in rim.system_limits or ()
        if (each.front_kg if wheel.position == "front" else each.rear_kg) is not None
    ]
    yield wheel.found(
        "load.spoke-count",
        "block",
        "holes",
        f"Rim {rim.code} with {holes} holes is not released as a {wheel.position} wheel. "
        "Take more holes.",
        have={"holes": holes},
        need={"holes": offered},
        also=("rim",),
        ways=("holes", "rim"),
    )


def use_class(wheel: PostedWheel) -> Iterator[Raised]:
    """Every part is released for the class of use."""
    wanted = wheel.use.whole("class")
    if wanted is None:
        return
    named: tuple[tuple[str, Rim | Hub | Nipple | None], ...] = (
        ("rim", wheel.rim),
        ("hub", wheel.hub),
        ("nipple", wheel.nipple),
    )
    parts: list[tuple[str, Rim | Hub | Spoke | Nipple]] = [
        (at, known) for at, known in named if known is not None
    ]
    parts.extend((at, spoke) for at, spoke, _ in wheel.spoke_types())
    for at, part in parts:
        if part.use_classes is None:
            yield wheel.unknown(at, part, "use_classes", "what it is released for")
        elif wanted not in part.use_classes:
            yield _class_refused(wheel, at, part, part.use_classes, wanted)


def _class_refused(
    wheel: PostedWheel, at: str, part: Part, classes: tuple[int, ...], wanted: int
) -> Raised:
    kind = at.split("/", 1)[0]
    listed: list[Value] = list(classes)
    return wheel.found(
        "load.spoke-class" if kind == "spoke" else "load.use-class",
        "block",
        at,
        f"Class {wanted} is asked, {kind} {part.code} is released for class "
        f"{' and '.join(str(each) for each in classes) or 'none'}. Take another {kind}.",
        have={"class": wanted},
        need={"class": listed},
        also=("/use/class",),
        ways=(at,),
    )


def heat(wheel: PostedWheel) -> Iterator[Raised]:
    """Rim brakes under a heavy system."""
    limit_kg, mass_kg = wheel.house.load.rim_heat_system_kg, wheel.order.system_kg
    if wheel.rim is None or wheel.rim.brake != "rim" or mass_kg is None or mass_kg <= limit_kg:
        return
    yield wheel.found(
        "load.heat",
        "caution",
        "rim",
        f"{mass_kg:g} kg on rim {wheel.rim.code}: long descents heat its track. A disc version is "
        f"advised above {limit_kg:g} kg; the sheet and the rider's paper say so.",
        have={"system_kg": mass_kg},
        need={"system_kg": {"at_most": limit_kg}},
        also=("/use/rider_kg",),
    )


def cross_wind(wheel: PostedWheel) -> Iterator[Raised]:
    """A deep front rim under a light rider."""
    house, rider_kg = wheel.house.load, wheel.use.number("rider_kg")
    if wheel.position != "front" or wheel.rim is None or rider_kg is None:
        return
    if wheel.rim.depth_mm >= house.cross_wind_depth_mm and rider_kg < house.cross_wind_rider_kg:
        yield wheel.found(
            "load.cross-wind",
            "caution",
            "rim",
            f"{wheel.rim.depth_mm:g} mm deep front rim {wheel.rim.code} under a rider of "
            f"{rider_kg:g} kg: consider a shallower one.",
            have={"depth_mm": wheel.rim.depth_mm, "rider_kg": rider_kg},
            need={"depth_mm": {"below": house.cross_wind_depth_mm}},
            also=("/use/rider_kg",),
            ways=("rim",),
        )


def scope(order: Posted) -> Iterator[Raised]:
    """Tandems, cargo bicycles and fixed gears are outside what anything here is released for."""
    bike = order.use.word("bike")
    if bike in OUT_OF_SCOPE:
        yield order.found(
            "load.out-of-scope",
            "block",
            "/use/bike",
            f"No part of this catalog is released for {OUT_OF_SCOPE[bike]}. Ask for a special build.",
            have={"bike": bike},
            need={"bike": ["bicycle"]},
        )


def race(order: Posted) -> Iterator[Raised]:
    """Sportive use meets rules of racing bodies."""
    if order.use.whole("class") == 6:
        yield order.found(
            "load.race-rules",
            "note",
            "/use/class",
            "Class 6: whether these wheels may race depends on the body that runs the race; ask it.",
            have={"class": 6},
        )


CHECKS = (system_mass, use_class, heat, cross_wind)
ORDER_CHECKS = (scope, race)
