"""Sense within a hub."""

from __future__ import annotations

from collections.abc import Iterator
from math import hypot

from buildsheet.catalog.parts import Hub
from buildsheet.catalog.plausible.doubt import Doubt, contradiction, implausible, needed, twice
from buildsheet.findings import Value

HUB_ENDS_MM = 12.0
"""Least room outside both flanges for bearings, caps and rotor or driver [trade figure, no source]."""


def hub_doubts(hub: Hub) -> Iterator[Doubt]:
    """Everything that a hub's own dimensions and words speak against."""
    yield from _sides(hub)
    yield from _words(hub)


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
        yield needed("hole_mm", "needed, because every spoke length counts half a flange hole.")
    if not hub.crossings and not hub.radial_holes:
        yield needed(
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
