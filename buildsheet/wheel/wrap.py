"""How far a spoke wraps round the hub: seat, angle, tangent, clearance to the next head.

The wrap is the angle between the radius of a spoke's hub hole and the radius of its rim hole. Every
function here is plain geometry and judges nothing: who wants 3.1 mm to the next head says so
himself.
"""

from __future__ import annotations

from math import acos, atan2, cos, degrees, floor, hypot, pi, sin

from buildsheet.errors import CannotCompute
from buildsheet.wheel.spec import FlangeSide, HubSide, Side, StraightPullSide, WheelSpec

RIGHT_ANGLE_DEG = 90.0
"""The trade wants the wrap below this [common practice]; the tangent comes a few degrees before."""


def rim_radius_mm(spec: WheelSpec) -> float:
    """Radius of the circle on which the spokes end: half the effective rim diameter."""
    return spec.rim.erd_mm / 2.0


def from_centre_mm(spec: WheelSpec, side: Side) -> float:
    """Distance along the axle from the spoke bed to one side's seats.

    A bed moved toward the right comes nearer to the right seats and leaves the left ones: the sum
    of both sides does not change.
    """
    offset = spec.rim.bed_offset_mm
    bare = spec.hub[side].from_centre_mm
    return bare + offset if side == "left" else bare - offset


def seat_radius_mm(hub_side: HubSide) -> float:
    """Distance from the axis to where the spoke is held: flange hole, or straight-pull seat.

    >>> seat_radius_mm(FlangeSide(circle_mm=45.0, from_centre_mm=30.0, hole_mm=2.6))
    22.5
    >>> seat_radius_mm(StraightPullSide(3.0, 4.0, from_centre_mm=30.0))
    5.0
    """
    if isinstance(hub_side, FlangeSide):
        return hub_side.circle_mm / 2.0
    return hypot(hub_side.line_from_axis_mm, hub_side.seat_ahead_mm)


def seat_correction_mm(hub_side: HubSide) -> float:
    """What a spoke is shorter than the way to its seat's centre: half a flange hole, or nothing."""
    return hub_side.hole_mm / 2.0 if isinstance(hub_side, FlangeSide) else 0.0


def wrap_rad(spec: WheelSpec, side: Side) -> float:
    """Wrap of one side as the pattern gives it, before the hub takes any turn, in radians.

    A flange: a full turn times crossings over the side's own count. Straight-pull seats: from the
    line's distance to the axis and the seat's place on it. Raises CannotCompute for a flange
    without a crossing count, or a spoke line that misses the rim.
    """
    hub_side, spokes = spec.hub[side], spec.spokes[side]
    if isinstance(hub_side, FlangeSide):
        if spokes.crossings is None:
            raise CannotCompute(f"the {side} flange needs a crossing count; 0 is radial")
        return 2.0 * pi * spokes.crossings / spokes.count
    radius, line = rim_radius_mm(spec), hub_side.line_from_axis_mm
    if not 0.0 <= line < radius:
        raise CannotCompute(
            f"a spoke line {line} mm from the axis misses a rim of radius {radius} mm"
        )
    return acos(line / radius) - atan2(hub_side.seat_ahead_mm, line) if line > 0.0 else 0.0


def wrap_deg(spec: WheelSpec, side: Side) -> float:
    """Wrap of one side as the pattern gives it, in degrees (see `wrap_rad`)."""
    return degrees(wrap_rad(spec, side))


def tangent_deg(spec: WheelSpec, side: Side) -> float:
    """The wrap at which a spoke leaves the flange as a tangent.

    Beyond it the spoke's line passes back over its own hub hole. cos(limit) = hub radius / rim
    radius [encyclopedia article "Spoke", read].
    """
    return degrees(acos(seat_radius_mm(spec.hub[side]) / rim_radius_mm(spec)))


def crossings_of(spec: WheelSpec, side: Side) -> int:
    """How many spokes of its own side each spoke crosses, also where the hub dictates it.

    A trailing and a leading spoke whose rim holes lie ``m`` side pitches apart (``m`` odd) meet
    between rim and seat exactly when ``m`` pitches are less than twice the wrap; counting those
    gives the wrap in pitches, rounded to the nearest whole number.
    """
    given = spec.spokes[side].crossings
    if isinstance(spec.hub[side], FlangeSide) and given is not None:
        return given
    pitch = 2.0 * pi / spec.spokes[side].count
    return floor(wrap_rad(spec, side) / pitch + 0.5)


def clearance_at_mm(hub_radius_mm: float, rim_radius_mm: float, count: int, wrap: float) -> float:
    """Distance from a spoke's line to the centre of the neighbouring hole of its flange.

    ``wrap`` in radians. Negative: the line has passed the neighbour's centre on the wrong side.
    Source: own derivation, plane geometry.
    """
    # r hub radius, R rim radius, th flange pitch, b the spoke's angle from the radius at the hub
    r, R, th = hub_radius_mm, rim_radius_mm, 2.0 * pi / count
    b = atan2(R * sin(wrap), R * cos(wrap) - r)
    return 2.0 * r * sin(th / 2.0) * sin(pi / 2.0 + th / 2.0 - b)


def head_clearance_mm(spec: WheelSpec, side: Side) -> float | None:
    """Distance from the spoke's line to the next head's centre; None for radial and straight-pull.

    For the pattern as it stands before the hub takes any turn. Also holds past the tangent, so that
    a refusal can name the number.
    """
    hub_side, spokes = spec.hub[side], spec.spokes[side]
    if isinstance(hub_side, StraightPullSide) or not spokes.crossings:
        return None
    radius = seat_radius_mm(hub_side)
    return clearance_at_mm(radius, rim_radius_mm(spec), spokes.count, wrap_rad(spec, side))


def most_crossings(
    spec: WheelSpec, side: Side, clearance_mm: float, below_deg: float = RIGHT_ANGLE_DEG
) -> int:
    """The largest crossing count that fits one side; 0 where only radial does.

    It stays below ``below_deg``, not past the tangent, and leaves ``clearance_mm`` to the next
    head's centre. ``clearance_mm`` of 0 asks for nothing but that the line does not pass the
    neighbour's centre. A straight-pull hub dictates its pattern: its own count comes back. An odd
    count cannot be crossed.
    """
    hub_side, count = spec.hub[side], spec.spokes[side].count
    if isinstance(hub_side, StraightPullSide):
        return crossings_of(spec, side)
    if count % 2:
        return 0
    hub_radius, rim_radius = seat_radius_mm(hub_side), rim_radius_mm(spec)
    limit_deg = tangent_deg(spec, side)
    for crossings in range(count // 2, 0, -1):
        wrap = 2.0 * pi * crossings / count
        fits = degrees(wrap) < below_deg and degrees(wrap) <= limit_deg
        if fits and clearance_at_mm(hub_radius, rim_radius, count, wrap) >= clearance_mm:
            return crossings
    return 0
