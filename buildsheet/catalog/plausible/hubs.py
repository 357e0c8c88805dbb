"""Sense within a hub."""

from __future__ import annotations

from collections.abc import Iterator
from math import hypot, pi

from buildsheet.catalog.parts import Hub, JBendFlange, StraightPullSeats
from buildsheet.catalog.plausible.doubt import (
    Doubt,
    contradiction,
    implausible,
    needed,
    too_light,
    too_low_a_mass,
    twice,
)
from buildsheet.findings import Value

HUB_ENDS_MM = 12.0
"""Least room outside both flanges for bearings, caps and rotor or driver [trade figure, no source]."""

SWAPPED_MM = 3.0
"""How far the flange beside rotor or gears may stand out beyond the other one [own choice]. Gears and
rotors take the room on their side, so that side's flange stands nearer the middle."""

BETWEEN_HOLES_MM = 2.5
"""Least metal from spoke hole to spoke hole along the circle [own choice]; usual hubs leave 3 and more."""

LIGHTEST_HUB_G = 40.0
"""Less is a hub in kilograms [own choice]."""


def hub_doubts(hub: Hub) -> Iterator[Doubt]:
    """Everything that a hub's own dimensions and words speak against."""
    yield from _sides(hub)
    yield from _words(hub)
    yield from too_light(hub, "mass_g", LIGHTEST_HUB_G)
    yield from too_low_a_mass(hub.system_limit_kg, ("system_limit_kg",))


def _sides(hub: Hub) -> Iterator[Doubt]:
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
    yield from _room(hub)
    yield from _flange_hub(hub) if flanges else _straight_pull_hub(hub)


def _room(hub: Hub) -> Iterator[Doubt]:
    left = hub.left_flange or hub.left_seats
    right = hub.right_flange or hub.right_seats
    if left is None or right is None:
        return
    yield from _swapped(hub, left.from_centre_mm, right.from_centre_mm)
    for key, side in _sides_of(hub):
        if side.from_centre_mm >= hub.over_locknut_mm / 2.0:
            yield Doubt(
                "data.implausible",
                (key, "from_centre_mm"),
                f"{side.from_centre_mm:g} lies outside the locknut, {hub.over_locknut_mm / 2.0:g} from the "
                "middle. The distance from flange to flange typed for the one from the middle?",
                have={"from_centre_mm": side.from_centre_mm},
                need={"exclusiveMaximum": hub.over_locknut_mm / 2.0},
                also=("over_locknut_mm",),
            )
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
            also=tuple(key for key, _ in _sides_of(hub)),
        )
        return
    widths_mm = [float(each.partition("x")[2]) for each in hub.axles]
    if hub.over_locknut_mm not in widths_mm:
        yield Doubt(
            "data.contradiction",
            ("over_locknut_mm",),
            f"found {hub.over_locknut_mm:g}, but the axles are {', '.join(hub.axles)}: one of them has the "
            "hub's own width.",
            have={"over_locknut_mm": hub.over_locknut_mm},
            need={"enum": [*dict.fromkeys(widths_mm)]},
            values=tuple(dict.fromkeys(widths_mm)),
            also=("axles",),
        )


def _sides_of(hub: Hub) -> Iterator[tuple[str, JBendFlange | StraightPullSeats]]:
    for key in ("left_flange", "right_flange", "left_seats", "right_seats"):
        side = getattr(hub, key)
        if side is not None:
            yield key, side


def _swapped(hub: Hub, left_mm: float, right_mm: float) -> Iterator[Doubt]:
    """Left and right the wrong way round: gears are on the right, the rotor of a front hub on the left."""
    if hub.position == "rear":
        side, reason, beyond_mm = "right", "the set of gears", right_mm - left_mm
    elif hub.brake == "disc":
        side, reason, beyond_mm = "left", "the rotor", left_mm - right_mm
    else:
        return
    if beyond_mm > SWAPPED_MM:
        key = f"{side}_flange" if hub.left_flange else f"{side}_seats"
        meant_mm = left_mm if side == "right" else right_mm
        yield Doubt(
            "data.implausible",
            (key, "from_centre_mm"),
            f"left {left_mm:g} and right {right_mm:g}: on a {hub.position} hub {reason} needs the room on "
            f"the {side}, so that flange stands nearer the middle. Left and right swapped? Try left "
            f"{right_mm:g} and right {left_mm:g}.",
            have={"left_mm": left_mm, "right_mm": right_mm},
            need={"left_mm": right_mm, "right_mm": left_mm},
            values=(meant_mm,),
            also=tuple(each for each, _ in _sides_of(hub) if each != key),
        )


def _flange_hub(hub: Hub) -> Iterator[Doubt]:
    if hub.hole_mm is None:
        yield needed("hole_mm", "needed, because every spoke length counts half a flange hole.")
    if not hub.crossings and not hub.radial_holes:
        yield needed(
            "crossings", "needed: a hub with flanges that releases no pattern builds no wheel."
        )
    yield from _crowded_holes(hub)
    for row, holes in enumerate(hub.radial_holes):
        if holes not in hub.holes:
            says = f"the hub is drilled {', '.join(map(str, hub.holes))}, not {holes}."
            place = ("radial_holes", row)
            yield Doubt(
                "data.unknown-reference", place, says, {"found": holes}, {"enum": list(hub.holes)}
            )


def _crowded_holes(hub: Hub) -> Iterator[Doubt]:
    """A circle on which the holes run into each other: most often a radius typed for it."""
    most = max(hub.holes) // 2
    for key, side in _sides_of(hub):
        if hub.hole_mm is None or hub.split != "1:1" or not isinstance(side, JBendFlange):
            continue
        least_mm = most * (hub.hole_mm + BETWEEN_HOLES_MM) / pi
        if side.circle_mm < least_mm:
            twice_mm = 2.0 * side.circle_mm
            helps = twice_mm >= least_mm
            yield Doubt(
                "data.implausible",
                (key, "circle_mm"),
                f"{most:g} holes of {hub.hole_mm:g} on a circle of {side.circle_mm:g} leave less than "
                f"{BETWEEN_HOLES_MM:g} between them. A radius typed for the diameter?"
                + (f" Try {twice_mm:g}." if helps else ""),
                have={"circle_mm": side.circle_mm},
                need={"minimum": round(least_mm, 1)},
                values=(twice_mm,) if helps else (),
                also=("holes", "hole_mm"),
            )


def _straight_pull_hub(hub: Hub) -> Iterator[Doubt]:
    for key in ("hole_mm", "crossings", "radial_holes"):
        if getattr(hub, key):
            yield contradiction(
                key, "straight-pull seats have no holes and dictate their own pattern."
            )
    for key in ("left_seats", "right_seats"):
        seats = getattr(hub, key)
        radius_mm = hypot(seats.line_from_axis_mm, seats.seat_ahead_mm)
        if not 8.0 <= radius_mm <= 75.0:  # the flange circles that parts.py allows, as radii
            yield implausible(key, f"its seats lie {radius_mm:.1f} from the axis, outside 8 to 75.")


def _words(hub: Hub) -> Iterator[Doubt]:
    for key in ("holes", "axles", "crossings", "radial_holes", "drivers", "use_classes"):
        yield from twice(hub, key)
    if hub.brake == "disc" and hub.rotor_mount == "none":
        yield contradiction(
            "rotor_mount", "a hub for disc brakes has a rotor mount.", brake=hub.brake
        )
    if hub.brake == "rim" and hub.rotor_mount != "none":
        yield contradiction(
            "rotor_mount", "a hub for rim brakes has no rotor mount.", brake=hub.brake
        )
    if hub.position == "rear" and not hub.drivers:
        yield needed("drivers", "needed: a rear hub without a driver body drives nothing.")
    if hub.position == "front" and hub.drivers:
        yield contradiction("drivers", "a front hub carries no driver body.", position=hub.position)
