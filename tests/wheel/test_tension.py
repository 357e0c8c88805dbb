"""The balance of the two sides."""

from __future__ import annotations

from dataclasses import replace

import pytest

from buildsheet.errors import CannotCompute
from buildsheet.wheel.mechanics import solve, solve_sides
from buildsheet.wheel.spec import (
    FlangeSide,
    HubSpec,
    RimSpec,
    Sides,
    SpokeSection,
    SpokeSideSpec,
    WheelSpec,
)
from buildsheet.wheel.tension import balance

PLAIN = SpokeSideSpec(14, 3, (SpokeSection(2.0),), 195.0)


def a_wheel(left_mm: float, right_mm: float, bed_mm: float = 0.0) -> WheelSpec:
    hub = HubSpec(FlangeSide(45.0, left_mm, 2.6), FlangeSide(45.0, right_mm, 2.6))
    return WheelSpec(RimSpec(28, 580.0, bed_mm), hub, Sides(PLAIN, PLAIN), 1150.0)


def test_the_steeper_side_is_tight() -> None:
    shared = balance(a_wheel(35.0, 18.0))
    assert shared.tight_side == "right"
    assert shared.tension_n.right == 1150.0
    assert shared.tension_n.left == 1150.0 * shared.ratio


def test_a_symmetric_wheel_has_two_equal_sides_and_names_the_right() -> None:
    shared = balance(a_wheel(30.0, 30.0))
    assert (shared.tight_side, shared.ratio) == ("right", 1.0)
    assert shared.tension_n == Sides(1150.0, 1150.0)


def test_an_offset_bed_can_even_out_a_dished_hub() -> None:
    shared = balance(a_wheel(35.0, 18.0, bed_mm=-8.5))
    assert shared.ratio == 1.0


def test_two_to_one_gives_the_single_side_nearly_twice_the_pull_of_each() -> None:
    wheel = a_wheel(30.0, 30.0)
    rim = replace(wheel.rim, holes=24)
    spokes = Sides(replace(PLAIN, count=8, crossings=0), replace(PLAIN, count=16, crossings=0))
    shared = balance(replace(wheel, rim=rim, spokes=spokes))
    assert shared.tight_side == "left"
    assert shared.ratio == pytest.approx(0.5)


@pytest.mark.parametrize("tight_n", [None, 0.0])
def test_without_tension_only_the_ratio_is_left(tight_n: float | None) -> None:
    untensioned = replace(a_wheel(35.0, 18.0), tight_side_n=tight_n)
    answer = solve(untensioned)
    for side in (answer.sides.left, answer.sides.right):
        assert side.tension_n == side.stretch_mm == side.rim_shrink_mm == side.pitch_hz == 0.0
        assert side.target_mm == side.exact_mm
    assert answer.ratio == balance(a_wheel(35.0, 18.0)).ratio
    assert answer.tight_side == "right"


@pytest.mark.parametrize("tight_n", [-1.0, float("nan"), float("inf")])
def test_a_spoke_cannot_push(tight_n: float) -> None:
    with pytest.raises(CannotCompute, match="a pull"):
        balance(replace(a_wheel(35.0, 18.0), tight_side_n=tight_n))


@pytest.mark.parametrize(
    ("left_mm", "right_mm", "bed_mm"),
    [(0.0, 0.0, 0.0), (35.0, 18.0, 18.0), (35.0, 18.0, 25.0), (10.0, 30.0, -10.0)],
)
def test_a_flange_on_or_beyond_the_bed_s_plane_balances_nothing(
    left_mm: float, right_mm: float, bed_mm: float
) -> None:
    with pytest.raises(CannotCompute) as caught:
        solve(a_wheel(left_mm, right_mm, bed_mm))
    assert f"left {left_mm + bed_mm:g} mm" in str(caught.value)
    assert f"right {right_mm - bed_mm:g} mm" in str(caught.value)


def test_by_sides_alone_the_figures_are_the_same() -> None:
    whole, by_sides = solve(a_wheel(35.0, 18.0)), solve_sides(a_wheel(35.0, 18.0))
    assert by_sides.sides == whole.sides
    assert by_sides.balance.ratio == whole.ratio
    assert by_sides.balance.tight_side == whole.tight_side


def test_the_pitch_of_a_side_is_the_ideal_string_over_its_whole_length() -> None:
    side = solve(a_wheel(35.0, 18.0)).sides.right
    kg_m = 7900.0 * 2.0e-6
    assert side.pitch_hz == pytest.approx((1150.0 / kg_m) ** 0.5 / (2.0 * side.exact_mm * 1e-3))


def test_bracing_angle_and_clearance_are_those_of_the_side() -> None:
    sides = solve(a_wheel(35.0, 18.0)).sides
    assert sides.left.angle_deg > 6.5
    assert sides.right.angle_deg < 4.0
    assert sides.left.wrap_deg == pytest.approx(360.0 * 3.0 / 14.0)
    assert sides.left.head_clearance_mm == sides.right.head_clearance_mm
