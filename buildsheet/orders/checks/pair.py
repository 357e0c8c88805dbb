"""Two wheels as a set, and what goes into the box with them."""

from __future__ import annotations

from collections.abc import Iterator

from buildsheet.findings import Value
from buildsheet.orders.checks.tyre import tape_mm, valve_mm
from buildsheet.orders.posted import SAME, Posted
from buildsheet.orders.raised import Raised

THROUGH_FROM_MM = 11.0
"""Axle ends thinner than this are quick releases, thicker ones through axles [common practice]."""


def alike(order: Posted) -> Iterator[Raised]:
    """Front and rear brake in one way, and carry one kind of rotor and tyre."""
    if order.pair is None:
        return
    front, rear = order.pair
    if front.rim and rear.rim and front.rim.brake != rear.rim.brake:
        yield order.found(
            "pair.brake",
            "block",
            "/front/rim",
            f"Front rim {front.rim.code} is for {front.rim.brake} brakes, rear rim {rear.rim.code} "
            f"for {rear.rim.brake} brakes. Take two for the same.",
            have={"front": front.rim.brake, "rear": rear.rim.brake},
            need={"front": rear.rim.brake},
            also=("/rear/rim",),
            ways=("/front/rim", "/rear/rim"),
        )
    if front.rim and rear.rim and front.rim.bead_seat_mm != rear.rim.bead_seat_mm:
        yield order.found(
            "pair.bead-seat",
            "caution",
            "/front/rim",
            f"Front rim {front.rim.code} takes {front.rim.bead_seat_mm} mm tyres, rear rim "
            f"{rear.rim.code} {rear.rim.bead_seat_mm} mm ones: intended?",
            have={"front_mm": front.rim.bead_seat_mm, "rear_mm": rear.rim.bead_seat_mm},
            also=("/rear/rim",),
            ways=("/front/rim", "/rear/rim"),
        )
    if front.hub and rear.hub and front.hub.rotor_mount != rear.hub.rotor_mount:
        yield order.found(
            "pair.rotor-mount",
            "caution",
            "/front/hub",
            f"Front hub {front.hub.code} takes {front.hub.rotor_mount} rotors, rear hub "
            f"{rear.hub.code} {rear.hub.rotor_mount} ones. Take two of a kind unless it is asked for.",
            have={"front": front.hub.rotor_mount, "rear": rear.hub.rotor_mount},
            also=("/rear/hub",),
            ways=("/front/hub", "/rear/hub"),
        )


def axle_family(order: Posted) -> Iterator[Raised]:
    """Quick releases or through axles at both ends."""
    if order.pair is None:
        return
    through = [_through_axle(each.axle) for each in order.pair]
    if None in through or through[0] == through[1]:
        return
    front, rear = (each.axle for each in order.pair)
    yield order.found(
        "pair.axle",
        "caution",
        "/use/front_axle",
        f"The bicycle has {front} in front and {rear} behind, one quick release and one through "
        "axle: intended?",
        have={"front": front, "rear": rear},
        also=("/use/rear_axle",),
    )


def _through_axle(axle: str | None) -> bool | None:
    """Whether an end of this name takes a through axle; None where the name does not say.

    >>> _through_axle("12x100"), _through_axle("9x100"), _through_axle("bolted")
    (True, False, None)
    """
    diameter = (axle or "").split("x", 1)[0].strip()
    return float(diameter) > THROUGH_FROM_MM if diameter.isascii() and diameter.isdigit() else None


def depth(order: Posted) -> Iterator[Raised]:
    """The front rim is not deeper than the rear, and not much shallower."""
    if order.pair is None or not order.pair[0].rim or not order.pair[1].rim:
        return
    front, rear = order.pair[0].rim, order.pair[1].rim
    most_mm = order.house.pair.depth_difference_mm
    deeper = front.depth_mm > rear.depth_mm + SAME
    if not deeper and rear.depth_mm - front.depth_mm <= most_mm + SAME:
        return
    why = "the front is the deeper one" if deeper else f"more than {most_mm:g} mm apart"
    yield order.found(
        "pair.depth",
        "caution",
        "/front/rim",
        f"Front rim {front.code} is {front.depth_mm:g} mm deep, rear rim {rear.code} "
        f"{rear.depth_mm:g} mm: {why}. Swap them or take two of one depth, unless it is meant.",
        have={"front_mm": front.depth_mm, "rear_mm": rear.depth_mm},
        need={"front_mm": {"at_most": rear.depth_mm, "at_least": rear.depth_mm - most_mm}},
        also=("/rear/rim",),
        ways=("/front/rim", "/rear/rim"),
    )


def rim_mass(order: Posted) -> Iterator[Raised]:
    """Two rims of one kind are picked by mass where their tolerance is wider than a set's."""
    if order.pair is None or not order.pair[0].rim:
        return
    front, rear, most_g = (
        order.pair[0].rim,
        order.pair[1].rim,
        order.house.pair.rim_mass_difference_g,
    )
    if front is not rear or 2.0 * front.mass_tolerance_g <= most_g + SAME:
        return
    yield order.found(
        "pair.rim-mass",
        "note",
        "/rear/rim",
        f"Two rims {front.code} may differ by {2.0 * front.mass_tolerance_g:g} g: pick two of one "
        f"batch within {most_g:g} g.",
        have={"tolerance_g": front.mass_tolerance_g},
        need={"apart_g": {"at_most": most_g}},
        also=("/front/rim",),
    )


def spares(order: Posted) -> Iterator[Raised]:
    """Spare spokes of every length go with the wheels."""
    if order.wheels and order.house.pair.spares_per_length == 0:
        yield order.found(
            "pair.spares",
            "caution",
            "/kind",
            "The house sends no spare spokes. Add some to the order's pick by hand.",
            have={"spares_per_length": 0},
            need={"spares_per_length": {"at_least": 1}},
        )


def box(order: Posted) -> Iterator[Raised]:
    """Valves, tape, pads and spacers that these wheels need in the box."""
    if not order.wheels:
        return
    tubeless = order.use.word("tyre_system") == "tubeless"
    items: list[str] = []
    for wheel in order.wheels:
        valve, tape = valve_mm(wheel), tape_mm(wheel)
        if tubeless and valve is not None and tape is not None:
            items.append(f"{wheel.position}: valve {valve} mm, tape {tape} mm")
    if any(wheel.rim is not None and wheel.rim.brake == "rim" for wheel in order.wheels):
        items.append("pads for carbon brake tracks")
    drivers = (wheel.driver for wheel in order.wheels if wheel.driver is not None)
    items.extend(f"for driver body {each.code}: {each.spacer}" for each in drivers if each.spacer)
    if not items:
        return
    listed: list[Value] = [*items]
    yield order.found(
        "pair.accessories",
        "note",
        "/kind",
        f"Into the box: {'; '.join(items)}.",
        need={"box": listed},
    )


ORDER_CHECKS = (alike, axle_family, depth, rim_mass, spares, box)
