"""The angle that the hub takes in the finished wheel: where the torque of all spokes vanishes.

A hub without brake or drive torque turns until its spokes no longer twist it. Symmetry keeps the
usual hub where it is; aligned flanges, and paired rim holes where the sides differ, turn it.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import pi
from typing import Final

from buildsheet.errors import CannotCompute
from buildsheet.wheel.groups import SpokeGroup, spoke_groups
from buildsheet.wheel.spec import WheelSpec
from buildsheet.wheel.tension import axial_pull
from buildsheet.wheel.wrap import from_centre_mm, rim_radius_mm

_STEPS: Final = 60
_NOTHING: Final = 1e-13
"""Torque below this share of all spokes pulling at the rim's radius is rounding."""


@dataclass(frozen=True, slots=True)
class SettledHub:
    """The hub at rest: how far it turned, clockwise, and the spoke groups as they then lie."""

    turn_rad: float
    groups: tuple[SpokeGroup, ...]


def spoke_torque_mm(spec: WheelSpec, groups: tuple[SpokeGroup, ...]) -> float:
    """Torque of all spokes on the rim, clockwise, per newton of tension on the right (N mm per N).

    Every spoke of a side carries that side's balanced tension. Where the sides cannot be balanced
    (no bracing), both carry the same.
    """
    weight = _left_share(spec, groups)
    radius = rim_radius_mm(spec)
    return radius * sum(
        group.count * group.clockwise_cosine * (weight if group.side == "left" else 1.0)
        for group in groups
    )


def settle_hub(spec: WheelSpec) -> SettledHub:
    """The hub turned from its even position until the spokes' torque vanishes.

    The turn is exactly 0 for the usual wheel. Solved by Newton's steps: short of the tangent the
    torque rises steadily with the turn. Raises CannotCompute where it does not settle within half a
    turn.
    """
    turn = 0.0
    for _ in range(_STEPS):
        groups = spoke_groups(spec, turn)
        torque = spoke_torque_mm(spec, groups)
        if abs(torque) <= _NOTHING * rim_radius_mm(spec) * spec.rim.holes:
            return SettledHub(turn, groups)
        slope = _slope_mm(spec, groups)
        if not slope > 0.0:
            break
        turn -= torque / slope
        if not abs(turn) < pi:
            break
    raise CannotCompute("the hub finds no angle at which the torque of the spokes vanishes")


def _left_share(spec: WheelSpec, groups: tuple[SpokeGroup, ...]) -> float:
    if from_centre_mm(spec, "left") > 0.0 and from_centre_mm(spec, "right") > 0.0:
        return axial_pull(groups, "right") / axial_pull(groups, "left")
    return 1.0


def _slope_mm(spec: WheelSpec, groups: tuple[SpokeGroup, ...]) -> float:
    """Rise of the torque with the turn at the tensions of now."""
    # r sin(w)/reach differentiated: (r cos(w) - R c3^2) / reach, with R - r cos(w) = c2 reach
    weight, radius = _left_share(spec, groups), rim_radius_mm(spec)
    total = 0.0
    for group in groups:
        radial_mm = radius - group.inward_cosine * group.reach_mm
        rise = (radial_mm - radius * group.clockwise_cosine**2) / group.reach_mm
        total += group.count * rise * (weight if group.side == "left" else 1.0)
    return radius * total
