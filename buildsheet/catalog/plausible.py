"""Sense within one part: dimensions that contradict each other, each taken on its own in bounds.

A doubt is a fault without its file and table; `buildsheet.catalog.reading` adds those.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from itertools import pairwise
from math import hypot, pi
from types import MappingProxyType
from typing import Final

from buildsheet.catalog.parts import Hub, Nipple, Part, Rim, Spoke
from buildsheet.findings import Value

RIM_WALLS_MM = 12.0
"""Outer diameter less bead seat diameter: 634 for 622 [trade figure: outer about 634, no source]."""

SEAT_TOLERANCE_MM = 3.0
"""What depth, wall height and bed may differ from their round figures [own choice]. An effective rim
diameter typed for a seat (3.2 mm more with the shortest nipple) must not pass."""

HUB_ENDS_MM = 12.0
"""Least room outside both flanges for bearings, caps and rotor or driver [trade figure, no source]."""

SECTION_TOLERANCE = 0.03
"""Round wire: area against thickness. The third digit of a printed area may be rounded."""

FLATTENED_OVAL = 0.95
"""A blade is never thinner than this share of an oval of its width and thickness [own choice]."""


@dataclass(frozen=True, slots=True)
class Doubt:
    """What does not make sense at ``keys`` of a part. ``values``: what would."""

    code: str
    keys: tuple[str | int, ...]
    says: str
    have: Mapping[str, Value] = field(default_factory=dict)
    need: Mapping[str, Value] = field(default_factory=dict)
    values: tuple[Value, ...] = ()
    also: tuple[str, ...] = ()


def doubts(part: Part) -> Iterator[Doubt]:
    """Everything about one part that its own dimensions speak against."""
    for check in _CHECKS.get(type(part), ()):
        yield from check(part)


def _implausible(key: str, says: str, **facts: Value) -> Doubt:
    return Doubt("data.implausible", (key,), says, have=facts)


def _contradiction(key: str, says: str, **facts: Value) -> Doubt:
    return Doubt("data.contradiction", (key,), says, have=facts)


def _needed(key: str, says: str) -> Doubt:
    return Doubt("data.missing-key", (key,), says)


def _out_of_order(part: Part, low: str, high: str) -> Iterator[Doubt]:
    """``low`` above ``high``, where both are known."""
    lower, upper = getattr(part, low), getattr(part, high)
    if lower is not None and upper is not None and lower > upper:
        says = f"{lower:g} is above {high} {upper:g}."
        yield Doubt(
            "data.contradiction", (low,), says, have={low: lower, high: upper}, also=(high,)
        )


def _twice(part: Part, key: str) -> Iterator[Doubt]:
    values = getattr(part, key) or ()
    for row, value in enumerate(values):
        if value in values[:row]:
            yield Doubt(
                "data.duplicate", (key, row), f"{value} stands twice.", have={"found": value}
            )


def expected_seat_mm(rim: Rim) -> float:
    """The seat diameter that bead seat, depth and bed call for: outer - 2 depth + 2 bed."""
    return rim.bead_seat_mm + RIM_WALLS_MM - 2.0 * rim.depth_mm + 2.0 * rim.bed_mm


def _rim_seat(rim: Rim) -> Iterator[Doubt]:
    expected_mm = expected_seat_mm(rim)
    # A glued rim has no bead walls: its outer diameter does not follow from the nominal bead seat.
    if rim.bead == "tubular" or abs(rim.seat_diameter_mm - expected_mm) <= SEAT_TOLERANCE_MM:
        return
    yield Doubt(
        "data.implausible",
        ("seat_diameter_mm",),
        f"found {rim.seat_diameter_mm:g}; a {rim.bead_seat_mm} rim of depth {rim.depth_mm:g} with a bed of "
        f"{rim.bed_mm:g} has about {expected_mm:g}, within {SEAT_TOLERANCE_MM:g}. An effective rim "
        "diameter typed for the nipple seat?",
        have={"seat_diameter_mm": rim.seat_diameter_mm},
        need={"about_mm": round(expected_mm, 3), "within_mm": SEAT_TOLERANCE_MM},
        values=(round(expected_mm, 3),),
        also=("depth_mm", "bed_mm"),
    )


def _rim_widths(rim: Rim) -> Iterator[Doubt]:
    if rim.inner_width_mm >= rim.outer_width_mm:
        says = f"{rim.inner_width_mm:g} is not below outer_width_mm {rim.outer_width_mm:g}."
        yield _implausible("inner_width_mm", says, inner_width_mm=rim.inner_width_mm)
    if rim.bed_offset_mm > rim.outer_width_mm / 4.0:
        says = f"{rim.bed_offset_mm:g} puts the spoke bed outside the rim's middle half."
        yield _implausible("bed_offset_mm", says, bed_offset_mm=rim.bed_offset_mm)
    section = rim.section
    seat_mm = rim.seat_diameter_mm / 2.0
    outer_mm = (rim.bead_seat_mm + RIM_WALLS_MM) / 2.0
    if section and seat_mm < outer_mm and not seat_mm - rim.bed_mm <= section.radius_mm <= outer_mm:
        says = f"radius_mm {section.radius_mm:g} lies outside the rim, {seat_mm:g} to {outer_mm:g}."
        yield Doubt(
            "data.implausible",
            ("section", "radius_mm"),
            says,
            have={"radius_mm": section.radius_mm},
            need={"minimum": seat_mm, "maximum": outer_mm},
        )


def _rim_drillings(rim: Rim) -> Iterator[Doubt]:
    for drilling in rim.drillings:
        if getattr(rim, f"{drilling}_hole_mm") is None:
            says = f"needed, because drillings offers {drilling}."
            yield _needed(f"{drilling}_hole_mm", says)
    for row, holes in enumerate(rim.holes):
        if holes % (2 if rim.split == "1:1" else 3):
            says = f"{holes} holes cannot be split {rim.split} between the sides."
            yield Doubt("data.contradiction", ("holes", row), says, have={"found": holes})


def _rim_limits(rim: Rim) -> Iterator[Doubt]:
    seen: list[int] = []
    for row, limit in enumerate(rim.system_limits or ()):
        place = ("system_limits", row, "holes")
        have: dict[str, Value] = {"found": limit.holes}
        if limit.holes not in rim.holes:
            need: dict[str, Value] = {"enum": list(rim.holes)}
            says = f"the rim is drilled {', '.join(map(str, rim.holes))}, not {limit.holes}."
            yield Doubt("data.unknown-reference", place, says, have, need, values=tuple(rim.holes))
        if limit.holes in seen:
            yield Doubt("data.duplicate", place, f"{limit.holes} holes stand twice.", have)
        seen.append(limit.holes)
    rows = rim.pressure_limits or ()
    for row, (before, after) in enumerate(pairwise(rows), start=1):
        if after.tyre_mm <= before.tyre_mm:
            says = f"{after.tyre_mm:g} does not follow {before.tyre_mm:g}: rows run from narrow to wide."
            place = ("pressure_limits", row, "tyre_mm")
            yield Doubt("data.contradiction", place, says, have={"found": after.tyre_mm})


def _rim_words(rim: Rim) -> Iterator[Doubt]:
    yield from _twice(rim, "holes")
    yield from _twice(rim, "drillings")
    yield from _twice(rim, "use_classes")
    yield from _out_of_order(rim, "tyre_min_mm", "tyre_max_mm")
    if rim.bead == "hookless" and not rim.tubeless:
        yield _contradiction("tubeless", "a hookless rim holds tubeless tyres only.", bead=rim.bead)
    if rim.bead == "tubular" and rim.tubeless:
        yield _contradiction(
            "tubeless", "a rim for glued tyres takes no tubeless tyre.", bead=rim.bead
        )
    if rim.brake == "rim" and rim.track_mm is None:
        yield _needed("track_mm", "needed, because the rim is braked on its track.")
    if rim.brake == "disc" and rim.track_mm is not None:
        yield _contradiction(
            "track_mm", "a rim for disc brakes has no brake track.", brake=rim.brake
        )


def _hub_sides(hub: Hub) -> Iterator[Doubt]:
    named = {
        key: getattr(hub, key) is not None
        for key in ("left_flange", "right_flange", "left_seats", "right_seats")
    }
    flanges = named["left_flange"] and named["right_flange"]
    seats = named["left_seats"] and named["right_seats"]
    if sum(named.values()) != 2 or not (flanges or seats):
        found: list[Value] = [key for key, given in named.items() if given]
        missing = next((key for key, given in named.items() if not given), "right_seats")
        listed = ", ".join(key for key, given in named.items() if given) or "neither"
        yield Doubt(
            "data.contradiction",
            (missing,) if not found else (str(found[0]),),
            f"a hub has left_flange and right_flange, or left_seats and right_seats; found {listed}.",
            have={"found": found},
            need={"enum": [["left_flange", "right_flange"], ["left_seats", "right_seats"]]},
        )
        return
    yield from _hub_room(hub)
    yield from _flange_hub(hub) if flanges else _straight_pull_hub(hub)


def _hub_room(hub: Hub) -> Iterator[Doubt]:
    left = hub.left_flange or hub.left_seats
    right = hub.right_flange or hub.right_seats
    if left is None or right is None:
        return
    across_mm, room_mm = (
        left.from_centre_mm + right.from_centre_mm,
        hub.over_locknut_mm - HUB_ENDS_MM,
    )
    if across_mm >= room_mm:
        yield Doubt(
            "data.implausible",
            ("over_locknut_mm",),
            f"the sides stand {across_mm:g} apart, but {hub.over_locknut_mm:g} over the locknuts leaves "
            f"room for less than {room_mm:g}.",
            have={"across_mm": across_mm, "over_locknut_mm": hub.over_locknut_mm},
            need={"exclusiveMaximum": room_mm},
            also=("left_flange", "right_flange")
            if hub.left_flange
            else ("left_seats", "right_seats"),
        )


def _flange_hub(hub: Hub) -> Iterator[Doubt]:
    if hub.hole_mm is None:
        yield _needed("hole_mm", "needed, because every spoke length counts half a flange hole.")
    if not hub.crossings and not hub.radial_holes:
        yield _needed(
            "crossings", "needed: a hub with flanges that releases no pattern builds no wheel."
        )
    for row, holes in enumerate(hub.radial_holes):
        if holes not in hub.holes:
            says = f"the hub is drilled {', '.join(map(str, hub.holes))}, not {holes}."
            place = ("radial_holes", row)
            yield Doubt(
                "data.unknown-reference", place, says, {"found": holes}, {"enum": list(hub.holes)}
            )


def _straight_pull_hub(hub: Hub) -> Iterator[Doubt]:
    for key in ("hole_mm", "crossings", "radial_holes"):
        if getattr(hub, key):
            yield _contradiction(
                key, "straight-pull seats have no holes and dictate their own pattern."
            )
    for key in ("left_seats", "right_seats"):
        seats = getattr(hub, key)
        radius_mm = hypot(seats.line_from_axis_mm, seats.seat_ahead_mm)
        if not 8.0 <= radius_mm <= 75.0:  # the flange circles that parts.py allows, as radii
            yield _implausible(
                key, f"its seats lie {radius_mm:.1f} from the axis, outside 8 to 75."
            )


def _hub_words(hub: Hub) -> Iterator[Doubt]:
    for key in ("holes", "axles", "crossings", "radial_holes", "drivers", "use_classes"):
        yield from _twice(hub, key)
    if hub.brake == "disc" and hub.rotor_mount == "none":
        yield _contradiction(
            "rotor_mount", "a hub for disc brakes has a rotor mount.", brake=hub.brake
        )
    if hub.brake == "rim" and hub.rotor_mount != "none":
        yield _contradiction(
            "rotor_mount", "a hub for rim brakes has no rotor mount.", brake=hub.brake
        )
    if hub.position == "rear" and not hub.drivers:
        yield _needed("drivers", "needed: a rear hub without a driver body drives nothing.")
    if hub.position == "front" and hub.drivers:
        yield _contradiction(
            "drivers", "a front hub carries no driver body.", position=hub.position
        )


def _spoke(spoke: Spoke) -> Iterator[Doubt]:
    yield from _twice(spoke, "use_classes")
    yield from _out_of_order(spoke, "flange_min_mm", "flange_max_mm")
    yield from _out_of_order(spoke, "shortest_mm", "longest_mm")
    if spoke.blade_mm and spoke.blade_mm < spoke.thickness_mm:
        says = f"{spoke.blade_mm:g} wide and {spoke.thickness_mm:g} thick: width and thickness swapped?"
        yield _implausible(
            "blade_mm", says, blade_mm=spoke.blade_mm, thickness_mm=spoke.thickness_mm
        )
        return
    oval_mm2 = pi / 4.0 * spoke.thickness_mm * (spoke.blade_mm or spoke.thickness_mm)
    low_mm2, high_mm2 = oval_mm2 * (1.0 - SECTION_TOLERANCE), oval_mm2 * (1.0 + SECTION_TOLERANCE)
    if spoke.blade_mm:
        low_mm2, high_mm2 = oval_mm2 * FLATTENED_OVAL, spoke.blade_mm * spoke.thickness_mm
    if not low_mm2 <= spoke.section_mm2 <= high_mm2:
        size = (
            f"{spoke.thickness_mm:g} x {spoke.blade_mm:g}"
            if spoke.blade_mm
            else f"{spoke.thickness_mm:g}"
        )
        yield Doubt(
            "data.implausible",
            ("section_mm2",),
            f"found {spoke.section_mm2:g}; a middle of {size} mm has {low_mm2:.2f} to {high_mm2:.2f}.",
            have={"section_mm2": spoke.section_mm2},
            need={"minimum": round(low_mm2, 3), "maximum": round(high_mm2, 3)},
            also=("thickness_mm", "blade_mm"),
        )


def _nipple(nipple: Nipple) -> Iterator[Doubt]:
    yield from _twice(nipple, "colours")
    yield from _twice(nipple, "excluded_rims")
    yield from _twice(nipple, "use_classes")
    if nipple.head_height_mm >= nipple.length_mm:
        says = f"{nipple.head_height_mm:g} is not below length_mm {nipple.length_mm:g}."
        yield _implausible("head_height_mm", says, head_height_mm=nipple.head_height_mm)


_CHECKS: Final[Mapping[type[Part], tuple[Callable[..., Iterator[Doubt]], ...]]] = MappingProxyType(
    {
        Rim: (_rim_seat, _rim_widths, _rim_drillings, _rim_limits, _rim_words),
        Hub: (_hub_sides, _hub_words),
        Spoke: (_spoke,),
        Nipple: (_nipple,),
    }
)
