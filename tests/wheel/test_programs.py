"""Drilling programs: what one set of hole axes serves, and the fewest sets for many wheels."""

from __future__ import annotations

from itertools import combinations
from math import cos, radians, sqrt

import numpy as np
import pytest

from buildsheet.errors import CannotCompute, CannotLace
from buildsheet.wheel.drilling import misalignment_deg
from buildsheet.wheel.mechanics import solve
from buildsheet.wheel.programs import DrilledWheel, Program, fewest_programs, program_for
from buildsheet.wheel.spec import (
    FlangeSide,
    HoleAngle,
    HubSide,
    HubSpec,
    RimSpec,
    Side,
    Sides,
    SpokeSection,
    SpokeSideSpec,
    StraightPullSide,
    WheelSpec,
)


def _wheel(name: str, *angles: tuple[float, float]) -> DrilledWheel:
    sides: tuple[Side, Side] = ("right", "left")
    holes = (HoleAngle(place + 1, sides[place % 2], *each) for place, each in enumerate(angles))
    return DrilledWheel(name, tuple(holes))


def _worst(program: Program, wheels: list[DrilledWheel]) -> float:
    named = {wheel.name: wheel for wheel in wheels}
    return max(
        misalignment_deg(spoke, axis)
        for name in program.serves
        for spoke, axis in zip(named[name].holes, program.axes, strict=True)
    )


def test_one_program_halves_the_difference_of_two_wheels() -> None:
    wheels = [_wheel("a", (4.0, 2.0)), _wheel("b", (6.0, 2.0))]
    program = program_for(wheels)
    # lines of equal in-plane angle are a little curved on the sphere
    assert program.axes[0].lateral_deg == pytest.approx(5.0, abs=0.01)
    assert program.axes[0].in_plane_deg == pytest.approx(2.0, abs=0.01)
    assert program.worst_deg == pytest.approx(1.0, abs=0.001)


def test_three_spread_directions_need_the_circle_through_them() -> None:
    """An equilateral triangle of side 2: radius 2/sqrt(3), where pairs alone would allow 1."""
    wheels = [_wheel("a", (0.0, -1.0)), _wheel("b", (0.0, 1.0)), _wheel("c", (sqrt(3.0), 0.0))]
    assert program_for(wheels).worst_deg == pytest.approx(2.0 / sqrt(3.0), rel=1e-3)
    assert len(fewest_programs(wheels, 1.1).programs) == 2
    assert len(fewest_programs(wheels, 1.16).programs) == 1


def test_every_wheel_is_served_once_and_within_the_tolerance() -> None:
    chance = np.random.default_rng(4)
    wheels = [_wheel(str(n), *chance.uniform(-4.0, 4.0, (4, 2))) for n in range(12)]
    for tolerance_deg in (0.5, 1.5, 3.0):
        plan = fewest_programs(wheels, tolerance_deg)
        served = sorted(name for program in plan.programs for name in program.serves)
        assert served == sorted(wheel.name for wheel in wheels)
        for program in plan.programs:
            assert program.worst_deg <= tolerance_deg + 1e-9
            assert _worst(program, wheels) == pytest.approx(program.worst_deg, abs=1e-9)


def test_no_fewer_programs_can_do_it() -> None:
    """Against every way to part seven wheels into fewer programs."""
    for seed in range(6):
        chance = np.random.default_rng(seed)
        wheels = [_wheel(str(n), *chance.uniform(-2.0, 2.0, (2, 2))) for n in range(7)]
        plan = fewest_programs(wheels, 1.2)
        assert plan.fewest
        fewer = len(plan.programs) - 1
        assert not _can_be_served(wheels, fewer, 1.2)


def _can_be_served(wheels: list[DrilledWheel], programs: int, tolerance_deg: float) -> bool:
    if not wheels:
        return True
    if programs == 0:
        return False
    first, rest = wheels[0], wheels[1:]
    for size in range(len(rest), -1, -1):
        for more in combinations(rest, size):
            if program_for([first, *more]).worst_deg <= tolerance_deg:
                left = [wheel for wheel in rest if wheel not in more]
                if _can_be_served(left, programs - 1, tolerance_deg):
                    return True
    return False


def test_wheels_with_other_holes_never_share() -> None:
    wheels = [_wheel("a", (5.0, 0.0)), _wheel("b", (5.0, 0.0), (-5.0, 0.0))]
    assert len(fewest_programs(wheels, 45.0).programs) == 2


def test_the_fastest_way_to_the_same_plan_is_taken_whatever_the_order() -> None:
    chance = np.random.default_rng(9)
    wheels = [_wheel(str(n), *chance.uniform(-3.0, 3.0, (2, 2))) for n in range(10)]
    counts = {len(fewest_programs(some, 1.5).programs) for some in (wheels, wheels[::-1])}
    assert len(counts) == 1


def test_a_senseless_tolerance_is_refused() -> None:
    for tolerance_deg in (-0.1, 90.0):
        with pytest.raises(CannotCompute):
            fewest_programs([_wheel("a", (0.0, 0.0))], tolerance_deg)


def test_the_worst_spoke_angle_of_a_program_is_a_real_angle() -> None:
    one, other = HoleAngle(1, "right", 6.0, 3.0), HoleAngle(1, "right", 6.0, -3.0)
    apart = misalignment_deg(one, other)
    assert apart == pytest.approx(6.0 * cos(radians(6.0)), rel=1e-3)


# ---- the demo workshop's own rims and hubs (invented): seat diameter, bed offset, hole counts ----------

RIMS = {
    "OR33D": ("disc", 573.6, 0.0, (20, 24, 28), (1.6,)),
    "OR45D": ("disc", 549.6, 0.0, (20, 24, 28), (1.6,)),
    "OR45A": ("disc", 550.0, 2.5, (24, 28), (1.6,)),
    "OR58D": ("disc", 524.4, 0.0, (20, 24), (1.6, 8.0)),
    "OR38R": ("rim", 563.6, 0.0, (20, 24, 28), (1.6,)),
    "OR30G": ("disc", 579.2, 3.0, (24, 28, 32), (1.6,)),
}
HUBS = {
    "KF1": ("front", "rim", (36.0, 35.5), (36.0, 35.5), 2.5, (20, 24, 28), (20, 24)),
    "KF2": ("front", "disc", (45.0, 22.5), (42.0, 34.0), 2.6, (24, 28), ()),
    "KF3": ("front", "disc", (58.0, 22.0), (45.0, 34.5), 2.6, (28, 32), ()),
    "KF4": ("front", "disc", (20.0, 9.0, 21.5), (18.5, 8.5, 35.5), 0.0, (20, 24), ()),
    "KF5": ("front", "disc", (58.0, 27.0), (52.0, 38.5), 2.6, (28, 32), ()),
    "KR1": ("rear", "rim", (42.0, 37.0), (52.0, 17.5), 2.5, (24, 28), ()),
    "KR2": ("rear", "disc", (48.0, 33.5), (52.0, 18.5), 2.6, (24, 28), ()),
    "KR3": ("rear", "disc", (58.0, 33.0), (52.0, 18.0), 2.6, (28, 32), ()),
    "KR4": ("rear", "disc", (22.5, 9.5, 34.5), (24.0, 10.0, 18.0), 0.0, (24,), ()),
    "KR5": ("rear", "disc", (58.0, 35.5), (54.0, 21.5), 2.6, (28, 32), ()),
}
LEAST_CLEARANCE_MM = 2.4


def _demo_groups() -> list[list[DrilledWheel]]:
    """Wheels by rim, hole count, position and kind of nipple hole: what may share a program at all."""
    groups: dict[tuple[str, int, str, float], list[DrilledWheel]] = {}
    for rim, (brake, seat, offset, drillings, heights) in RIMS.items():
        for hub, (position, hub_brake, left, right, hole, counts, radial) in HUBS.items():
            for holes in set(drillings) & set(counts) if brake == hub_brake else ():
                toward = offset if position == "front" and brake == "disc" else -offset
                sides = HubSpec(_hub_side(left, hole), _hub_side(right, hole))
                patterns = (None,) if len(left) == 3 else ((0, 2, 3) if holes in radial else (2, 3))
                for height in heights:
                    for crossings in patterns:
                        spokes = SpokeSideSpec(holes // 2, crossings, (SpokeSection(1.7),), 195.0)
                        bed = RimSpec(holes, seat + 2.0 * height, toward)
                        wheel = _drilled(f"{hub} {crossings}", bed, sides, spokes)
                        if wheel:
                            groups.setdefault((rim, holes, position, height), []).append(wheel)
    return [*groups.values()]


def _hub_side(given: tuple[float, ...], hole_mm: float) -> HubSide:
    if len(given) == 3:
        return StraightPullSide(*given)
    circle, from_centre = given
    return FlangeSide(circle, from_centre, hole_mm)


def _drilled(name: str, rim: RimSpec, hub: HubSpec, spokes: SpokeSideSpec) -> DrilledWheel | None:
    try:
        mechanics = solve(WheelSpec(rim, hub, Sides(spokes, spokes), 1000.0))
    except CannotLace:
        return None
    clearances = (mechanics.sides.left.head_clearance_mm, mechanics.sides.right.head_clearance_mm)
    if any(each is not None and each < LEAST_CLEARANCE_MM for each in clearances):
        return None
    return DrilledWheel(name, mechanics.drilling)


def test_the_demo_workshop_s_wheels_need_33_programs_at_one_and_a_half_degrees() -> None:
    """31 groups of rim, count, position and hole kind need 33 programs when spoke and hole may differ by
    1.5 degrees [own calculation, made before and elsewhere]; 44 at 1.0 there, where ours needs fewer: it
    lets every hole have its own axis, and proves that no fewer will do."""
    groups = _demo_groups()
    assert len(groups) == 31
    counts = {}
    for tolerance_deg in (1.5, 1.0):
        plans = [fewest_programs(wheels, tolerance_deg) for wheels in groups]
        assert all(plan.fewest for plan in plans)
        counts[tolerance_deg] = sum(len(plan.programs) for plan in plans)
    assert counts[1.5] == 33
    assert 33 < counts[1.0] <= 44
