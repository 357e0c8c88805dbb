"""Everything but the structure for one wheel, in one call."""

from __future__ import annotations

from dataclasses import dataclass
from math import asin, degrees

from buildsheet.wheel.drilling import hole_angles
from buildsheet.wheel.groups import SpokeGroup
from buildsheet.wheel.hub_turn import SettledHub
from buildsheet.wheel.lacing import lace_settled, settled_hub
from buildsheet.wheel.length import (
    along_spoke,
    exact_lengths_mm,
    mean_area_mm2,
    rim_shrink_mm,
    stretch_mm,
)
from buildsheet.wheel.pitch import linear_density_kg_m, string_hz
from buildsheet.wheel.spec import FlangeSide, Mechanics, Side, SideMechanics, Sides, WheelSpec
from buildsheet.wheel.tension import Balance, balance_of_groups
from buildsheet.wheel.wrap import clearance_at_mm, from_centre_mm, rim_radius_mm, seat_radius_mm


@dataclass(frozen=True, slots=True)
class SolvedSides:
    """Both sides and their balance, without a place for every spoke."""

    sides: Sides[SideMechanics]
    balance: Balance


def solve(spec: WheelSpec) -> Mechanics:
    """Lacing, lengths, tension, drilling angles and pitch of one wheel.

    Without a tension all that follows from tension is 0; the balance of the sides is there all the
    same. Raises CannotLace where no pattern joins hub and rim, CannotCompute where a figure lies
    outside the formulas.
    """
    hub = settled_hub(spec)
    solved = _solved_sides(spec, hub)
    lacing = lace_settled(spec, hub)
    drilling = hole_angles(lacing, hub.groups)
    shared = solved.balance
    return Mechanics(spec, lacing, solved.sides, shared.tight_side, shared.ratio, drilling)


def solve_sides(spec: WheelSpec) -> SolvedSides:
    """The same figures by side alone, for counting many wheels; the same errors, but no lacing
    map."""
    return _solved_sides(spec, settled_hub(spec))


def _solved_sides(spec: WheelSpec, hub: SettledHub) -> SolvedSides:
    shared = balance_of_groups(spec, hub.groups)
    shrink = rim_shrink_mm(spec, hub.groups, shared.tension_n)
    sides = Sides(
        left=_side(spec, "left", hub.groups, shared.tension_n.left, shrink),
        right=_side(spec, "right", hub.groups, shared.tension_n.right, shrink),
    )
    return SolvedSides(sides, shared)


def _side(
    spec: WheelSpec,
    side: Side,
    groups: tuple[SpokeGroup, ...],
    tension_n: float,
    radial_shrink_mm: float,
) -> SideMechanics:
    spokes = spec.spokes[side]
    exact, shortest, longest = exact_lengths_mm(spec, groups, side)
    stretch = stretch_mm(tension_n, exact, spokes)
    shrink = radial_shrink_mm * along_spoke(groups, side)
    wrap = max(abs(group.wrap_rad) for group in groups if group.side == side)
    density = linear_density_kg_m(mean_area_mm2(spokes.sections), spokes.density_kg_m3)
    return SideMechanics(
        from_centre_mm=from_centre_mm(spec, side),
        exact_mm=exact,
        stretch_mm=stretch,
        rim_shrink_mm=shrink,
        target_mm=exact - stretch - shrink,
        angle_deg=_bracing_deg(groups, side),
        wrap_deg=degrees(wrap),
        head_clearance_mm=_clearance_mm(spec, side, wrap),
        tension_n=tension_n,
        pitch_hz=string_hz(exact, tension_n, density),
        shortest_mm=shortest,
        longest_mm=longest,
    )


def _bracing_deg(groups: tuple[SpokeGroup, ...], side: Side) -> float:
    own = [group for group in groups if group.side == side]
    total = sum(group.count * asin(group.axial_cosine) for group in own)
    return degrees(total / sum(group.count for group in own))


def _clearance_mm(spec: WheelSpec, side: Side, wrap: float) -> float | None:
    """To the next head's centre, for the spoke that wraps most; None without heads in the way."""
    hub_side, spokes = spec.hub[side], spec.spokes[side]
    if not isinstance(hub_side, FlangeSide) or not spokes.crossings:
        return None
    return clearance_at_mm(seat_radius_mm(hub_side), rim_radius_mm(spec), spokes.count, wrap)
