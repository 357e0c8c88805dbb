"""The angle at which each spoke leaves the rim, and how far that is from the axis of a drilled
hole."""

from __future__ import annotations

from math import asin, atan2, cos, degrees, hypot, radians, sin

from buildsheet.wheel.groups import SpokeGroup
from buildsheet.wheel.spec import HoleAngle, Lacing, Run, Side


def group_angles_deg(group: SpokeGroup) -> tuple[float, float]:
    """Lateral and in-plane angle of one group's spokes, with the signs of `HoleAngle`."""
    lateral = degrees(asin(group.axial_cosine))
    in_plane = degrees(atan2(group.clockwise_cosine, group.inward_cosine))
    return (lateral if group.side == "right" else -lateral), in_plane


def hole_angles(lacing: Lacing, groups: tuple[SpokeGroup, ...]) -> tuple[HoleAngle, ...]:
    """How every spoke leaves the rim, in rim-hole order. ``groups`` are those of the settled
    hub."""
    angles: dict[tuple[Side, Run], tuple[float, float]] = {
        (group.side, group.run): group_angles_deg(group) for group in groups
    }
    return tuple(
        HoleAngle(spoke.hole, spoke.side, *angles[spoke.side, spoke.run]) for spoke in lacing.spokes
    )


def misalignment_deg(spoke: HoleAngle, axis: HoleAngle) -> float:
    """Angle in degrees between a spoke's direction and the axis of a drilled hole, both as
    `HoleAngle`.

    >>> round(misalignment_deg(HoleAngle(1, "right", 6.0, 0.0), HoleAngle(1, "right", 0.0, 0.0)), 9)
    6.0
    """
    first, second = _direction(spoke), _direction(axis)
    # from sine and cosine together: the arc cosine alone loses small angles to rounding
    x = first[1] * second[2] - first[2] * second[1]
    y = first[2] * second[0] - first[0] * second[2]
    z = first[0] * second[1] - first[1] * second[0]
    along = sum(a * b for a, b in zip(first, second, strict=True))
    return degrees(atan2(hypot(x, y, z), along))


def _direction(angle: HoleAngle) -> tuple[float, float, float]:
    """Unit direction toward the right, inward, clockwise."""
    lateral, in_plane = radians(angle.lateral_deg), radians(angle.in_plane_deg)
    flat = cos(lateral)
    return sin(lateral), flat * cos(in_plane), flat * sin(in_plane)
