"""The groups of congruent spokes in a wheel: trailing and leading, left and right.

Every supported drilling is even within its side, so all spokes of one side and one run are the same
spoke, turned. A whole wheel is at most four of them, and everything that holds for a side is worked
out on these instead of on every spoke.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, pi, radians, sin, sqrt

from buildsheet.errors import CannotCompute
from buildsheet.wheel.spec import SIDES, Run, Side, WheelSpec
from buildsheet.wheel.wrap import (
    crossings_of,
    from_centre_mm,
    rim_radius_mm,
    seat_radius_mm,
    wrap_rad,
)

_USUAL_TURN = 0.5


@dataclass(frozen=True, slots=True)
class SpokeGroup:
    """One group of congruent spokes.

    ``wrap_rad`` is the hub hole's angle less the rim hole's, positive clockwise (trailing).
    ``reach_mm`` is the distance from rim point to the centre of the seat. The cosines belong to the
    direction from the rim to the hub: along the axle away from the bed's plane toward this side's
    seats, inward along the radius, and clockwise; a spoke in tension pulls the rim that way.
    """

    side: Side
    run: Run
    count: int
    wrap_rad: float
    reach_mm: float
    axial_cosine: float
    inward_cosine: float
    clockwise_cosine: float


def is_radial(spec: WheelSpec, side: Side) -> bool:
    """True where no spoke of the side leans: no wrap at all by the pattern."""
    return wrap_rad(spec, side) == 0.0


def flange_offset_rad(spec: WheelSpec, side: Side) -> float:
    """How far a side's hub holes stand ahead of its evenly drilled rim holes before the hub turns.

    0 on the right. On the left it is what ``flange_turn`` differs from half a pitch; where the
    counts differ, the pitch is that of the side with more holes, so that half a pitch stays the
    usual hub.
    """
    if side == "right":
        return 0.0
    finer = max(spec.spokes.left.count, spec.spokes.right.count)
    return (spec.hub.flange_turn - _USUAL_TURN) * 2.0 * pi / finer


def pair_offset_rad(spec: WheelSpec, side: Side) -> float:
    """How far paired drilling moves a side's rim holes clockwise: odd holes right, even left."""
    shift = radians(spec.rim.pair_shift_deg)
    return shift if side == "right" else -shift


def spoke_groups(spec: WheelSpec, hub_turn_rad: float = 0.0) -> tuple[SpokeGroup, ...]:
    """All groups of the wheel with its hub turned clockwise by ``hub_turn_rad``.

    Left before right, trailing before leading. Raises CannotCompute where a spoke has no length.
    """
    groups: list[SpokeGroup] = []
    for side in SIDES:
        count = spec.spokes[side].count
        drift = flange_offset_rad(spec, side) - pair_offset_rad(spec, side) + hub_turn_rad
        wrap = wrap_rad(spec, side)
        if wrap == 0.0:
            groups.append(_group(spec, side, "radial", count, drift))
            continue
        groups.append(_group(spec, side, "trailing", count - count // 2, wrap + drift))
        groups.append(_group(spec, side, "leading", count // 2, drift - wrap))
    return tuple(groups)


def _group(spec: WheelSpec, side: Side, run: Run, count: int, wrap: float) -> SpokeGroup:
    # a axial distance, r hub radius, R rim radius; the hub point seen from the rim hole
    a, r, R = from_centre_mm(spec, side), seat_radius_mm(spec.hub[side]), rim_radius_mm(spec)
    inward, clockwise = R - r * cos(wrap), r * sin(wrap)
    reach = sqrt(a * a + inward * inward + clockwise * clockwise)
    if not reach > 0.0:
        raise CannotCompute(f"the {side} spokes have no length: hub hole and rim hole coincide")
    return SpokeGroup(side, run, count, wrap, reach, a / reach, inward / reach, clockwise / reach)


def runs_of(spec: WheelSpec, side: Side, leading_first: bool = False) -> tuple[Run, ...]:
    """Run at each of a side's rim holes, clockwise from the valve: trailing, leading by turns."""
    count = spec.spokes[side].count
    if is_radial(spec, side):
        radial: Run = "radial"
        return (radial,) * count
    pair: tuple[Run, Run] = ("leading", "trailing") if leading_first else ("trailing", "leading")
    return (pair * count)[:count]


def seat_step(spec: WheelSpec, side: Side, run: Run) -> int:
    """How many hub holes a spoke's hub hole lies ahead of the one at its own rim hole."""
    crossings = crossings_of(spec, side)
    return crossings if run == "trailing" else -crossings
