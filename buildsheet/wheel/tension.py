"""How the two sides share the tension: the rim stays in its plane when both pull it equally.

Statics only: the sum over a side of spoke count x tension x axial direction cosine must be the same
left and right. It holds for any pattern, any counts, offset beds and straight-pull.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import inf
from typing import Final

from buildsheet.errors import CannotCompute
from buildsheet.wheel.groups import SpokeGroup, spoke_groups
from buildsheet.wheel.spec import SIDES, Side, Sides, WheelSpec
from buildsheet.wheel.wrap import from_centre_mm

SAME_PULL: Final = 1e-9
"""Sides whose pull differs by less than this share are equal: rounding must not name a tight
side."""


@dataclass(frozen=True, slots=True)
class Balance:
    """Mean tension per spoke of each side; ``ratio`` is slack over tight.

    Where both sides carry the same, ``tight_side`` is ``right`` and ``ratio`` exactly 1. The ratio
    and the tight side follow from geometry alone and are there without tension too.
    """

    tension_n: Sides[float]
    tight_side: Side
    ratio: float


def balance(spec: WheelSpec, hub_turn_rad: float = 0.0) -> Balance:
    """Tension of both sides when the tight one carries ``spec.tight_side_n``.

    None or 0 is a wheel without tension. Raises CannotCompute where a side stands on or beyond the
    bed's plane: such a side cannot hold the rim against the other, and no tension balances it.
    """
    return balance_of_groups(spec, spoke_groups(spec, hub_turn_rad))


def balance_of_groups(spec: WheelSpec, groups: tuple[SpokeGroup, ...]) -> Balance:
    """The same from groups already at hand."""
    _require_bracing(spec)
    left, right = axial_pull(groups, "left"), axial_pull(groups, "right")
    tight_n = spec.tight_side_n or 0.0
    if not 0.0 <= tight_n < inf:
        raise CannotCompute(f"a spoke's tension is 0 or a pull, not {tight_n:g} N")
    if abs(left - right) <= SAME_PULL * max(left, right):
        return Balance(Sides(tight_n, tight_n), "right", 1.0)
    if left < right:
        ratio = left / right
        return Balance(Sides(tight_n, tight_n * ratio), "left", ratio)
    ratio = right / left
    return Balance(Sides(tight_n * ratio, tight_n), "right", ratio)


def axial_pull(groups: tuple[SpokeGroup, ...], side: Side) -> float:
    """Sum of the axial cosines of one side: its axial force per newton of spoke tension."""
    return sum(group.count * group.axial_cosine for group in groups if group.side == side)


def _require_bracing(spec: WheelSpec) -> None:
    distance = Sides(from_centre_mm(spec, "left"), from_centre_mm(spec, "right"))
    if distance.left > 0.0 and distance.right > 0.0:
        return
    words = ", ".join(f"{side} {distance[side]:g} mm" for side in SIDES)
    raise CannotCompute(
        "tension balances only where both flanges stand outside the plane of the spoke bed; "
        f"distances after the bed's offset of {spec.rim.bed_offset_mm:g} mm: {words}"
    )
