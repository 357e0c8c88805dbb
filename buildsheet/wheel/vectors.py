"""Spoke end points and directions as arrays, one row per spoke in rim-hole order.

For one wheel's geometry by sides, `groups` says the same in at most four rows; these arrays are for
whoever needs every spoke in its place, such as the structure.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from buildsheet.wheel.spec import Lacing, WheelSpec
from buildsheet.wheel.wrap import rim_radius_mm, seat_radius_mm

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class SpokeVectors:
    """All spokes of a wheel, in the axes of `buildsheet.wheel` (x right, y up to the valve, z
    forward).

    ``rim_mm`` and ``hub_mm`` (n, 3): where the spokes end, and the centres of their hub holes or
    seats. ``unit`` (n, 3): from rim to hub, length 1. ``length_mm`` (n,): between those points, so
    half a flange hole longer than a J-bend spoke. ``rim_angle_rad`` (n,): clockwise from the valve.
    ``right`` (n,): True for right-side spokes. ``local`` (n, 3): ``unit`` in each rim hole's own
    axes: toward the right, inward along the radius, clockwise. The arrays cannot be written to.
    """

    rim_mm: Floats
    hub_mm: Floats
    unit: Floats
    length_mm: Floats
    rim_angle_rad: Floats
    right: NDArray[np.bool_]
    local: Floats


def spoke_vectors(spec: WheelSpec, lacing: Lacing) -> SpokeVectors:
    """End points, directions and lengths of every spoke of a laced wheel."""
    rows = [(s.rim_angle_rad, s.hub_angle_rad, s.side == "right") for s in lacing.spokes]
    table = np.array(rows, dtype=np.float64)
    rim_angle, hub_angle, right = table[:, 0].copy(), table[:, 1], table[:, 2] > 0.5
    hub = spec.hub
    radius = np.where(right, seat_radius_mm(hub.right), seat_radius_mm(hub.left))
    axial = np.where(right, hub.right.from_centre_mm, -hub.left.from_centre_mm)
    rim_mm = _points(np.full(len(rows), spec.rim.bed_offset_mm), rim_radius_mm(spec), rim_angle)
    hub_mm = _points(axial, radius, hub_angle)
    span = hub_mm - rim_mm
    length = np.sqrt(np.einsum("ij,ij->i", span, span))
    unit = span / length[:, None]
    cosine, sine = np.cos(rim_angle), np.sin(rim_angle)
    inward = -(unit[:, 1] * cosine + unit[:, 2] * sine)
    clockwise = unit[:, 2] * cosine - unit[:, 1] * sine
    local = np.column_stack((unit[:, 0], inward, clockwise))
    for array in (rim_mm, hub_mm, unit, length, rim_angle, right, local):
        array.setflags(write=False)
    return SpokeVectors(rim_mm, hub_mm, unit, length, rim_angle, right, local)


def _points(x: Floats, radius: Floats | float, angle: Floats) -> Floats:
    return np.column_stack((x, radius * np.cos(angle), radius * np.sin(angle)))
