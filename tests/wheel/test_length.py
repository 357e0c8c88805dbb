"""Exact length, stretch, rim shrink."""

from __future__ import annotations

from dataclasses import replace
from math import acos, pi, sqrt

import pytest

from buildsheet.errors import CannotCompute
from buildsheet.wheel.length import (
    axial_stiffness_n,
    j_bend_mm,
    straight_pull_mm,
    stretch_mm,
)
from buildsheet.wheel.mechanics import solve
from buildsheet.wheel.spec import (
    FlangeSide,
    HubSpec,
    RimSpec,
    Sides,
    SpokeSection,
    SpokeSideSpec,
    StraightPullSide,
    WheelSpec,
)

PLAIN = SpokeSideSpec(16, 3, (SpokeSection(2.0),), 200.0)


def a_wheel(rim: RimSpec | None = None) -> WheelSpec:
    flange = FlangeSide(45.0, 30.0, 2.6)
    return WheelSpec(
        rim or RimSpec(32, 580.0), HubSpec(flange, flange), Sides(PLAIN, PLAIN), 1000.0
    )


def test_a_radial_spoke_is_the_hypotenuse() -> None:
    assert j_bend_mm(30.0, 20.0, 60.0, 0.0) == 50.0


def test_at_a_right_angle_the_three_distances_add_as_squares() -> None:
    assert j_bend_mm(30.0, 20.0, 300.0, pi / 2.0) == pytest.approx(
        sqrt(30.0**2 + 20.0**2 + 300.0**2)
    )


def test_a_hub_of_no_size_makes_crossings_mean_nothing() -> None:
    assert j_bend_mm(30.0, 0.0, 300.0, 1.2, 2.6) == j_bend_mm(30.0, 0.0, 300.0, 0.0, 2.6)


def test_a_straight_pull_spoke_is_the_tangent_s_rest_over_the_axial_distance() -> None:
    # 50-40-30 in the plane, 10 ahead: 40 - 10 = 30 in the plane, 40 along the axle
    assert straight_pull_mm(40.0, 30.0, 10.0, 50.0) == 50.0


def test_a_seat_behind_the_foot_makes_the_spoke_longer() -> None:
    behind = straight_pull_mm(30.0, 20.0, -5.0, 290.0)
    assert behind == pytest.approx(sqrt((sqrt(290.0**2 - 20.0**2) + 5.0) ** 2 + 30.0**2))
    seat = StraightPullSide(20.0, -5.0, 30.0)
    loose = replace(PLAIN, count=12, crossings=None)
    wheel = WheelSpec(RimSpec(24, 580.0), HubSpec(seat, seat), Sides(loose, loose))
    assert solve(wheel).sides.left.exact_mm == pytest.approx(behind)


def test_a_straight_pull_line_at_the_tangent_is_the_tangent_elbow_plus_half_its_hole() -> None:
    tangent = acos(22.5 / 290.0)
    elbow = j_bend_mm(30.0, 22.5, 290.0, tangent, hole_mm=2.6)
    assert straight_pull_mm(30.0, 22.5, 0.0, 290.0) == pytest.approx(elbow + 1.3)


def test_a_line_that_misses_the_rim_cannot_be_computed() -> None:
    with pytest.raises(CannotCompute, match="misses"):
        straight_pull_mm(30.0, 300.0, 0.0, 290.0)


def test_stretch_is_force_times_length_over_modulus_and_area() -> None:
    assert stretch_mm(1000.0, 280.0, PLAIN) == pytest.approx(1000.0 * 280.0 / (200_000.0 * 2.0))


def test_butted_sections_are_springs_in_series() -> None:
    butted = replace(PLAIN, sections=(SpokeSection(4.0, 0.25), SpokeSection(2.0, 0.75)))
    expected = 1000.0 * 280.0 / 200_000.0 * (0.25 / 4.0 + 0.75 / 2.0)
    assert stretch_mm(1000.0, 280.0, butted) == pytest.approx(expected)
    assert axial_stiffness_n(butted) == pytest.approx(1000.0 / (expected / 280.0))


@pytest.mark.parametrize(
    "faulty",
    [
        replace(PLAIN, sections=()),
        replace(PLAIN, sections=(SpokeSection(2.0, 0.9),)),
        replace(PLAIN, sections=(SpokeSection(0.0),)),
        replace(PLAIN, sections=(SpokeSection(2.0, 1.5), SpokeSection(2.0, -0.5))),
        replace(PLAIN, modulus_gpa=0.0),
        replace(PLAIN, modulus_gpa=float("nan")),
    ],
)
def test_a_spoke_without_substance_cannot_be_computed(faulty: SpokeSideSpec) -> None:
    with pytest.raises(CannotCompute, match="shares that add to 1"):
        stretch_mm(1000.0, 280.0, faulty)


def test_a_rim_without_stiffness_figure_is_not_shrunk() -> None:
    side = solve(a_wheel()).sides.left
    assert side.rim_shrink_mm == 0.0
    assert side.target_mm == side.exact_mm - side.stretch_mm


def test_a_rim_shrinks_by_its_compression_over_its_stiffness() -> None:
    # compression force R Tbar = sum of inward pulls / 2 pi; strain = that / EA; radius x strain
    rim = RimSpec(32, 580.0, section_radius_mm=305.0, axial_stiffness_n=6.0e6)
    side = solve(a_wheel(rim)).sides.left
    angle = solve(a_wheel(rim)).drilling[0]
    from math import cos, radians

    inward = cos(radians(angle.lateral_deg)) * cos(radians(angle.in_plane_deg))
    radial = 305.0 * (32 * 1000.0 * inward / (2.0 * pi)) / 6.0e6
    assert side.rim_shrink_mm == pytest.approx(radial * inward)
    assert side.target_mm == pytest.approx(side.exact_mm - side.stretch_mm - side.rim_shrink_mm)


def test_without_a_section_radius_the_rim_shrinks_at_the_spoke_ends_radius() -> None:
    bare = RimSpec(32, 580.0, axial_stiffness_n=6.0e6)
    told = replace(bare, section_radius_mm=290.0)
    assert solve(a_wheel(bare)).sides == solve(a_wheel(told)).sides


def test_a_rim_cannot_have_a_stiffness_of_nothing() -> None:
    with pytest.raises(CannotCompute, match="axial stiffness"):
        solve(a_wheel(RimSpec(32, 580.0, axial_stiffness_n=0.0)))


def test_paired_holes_give_two_lengths_on_a_side_around_their_mean() -> None:
    wheel = a_wheel(RimSpec(32, 580.0, pair_shift_deg=2.0))
    side = solve(wheel).sides.right
    shift, wrap = pi / 90.0, 3.0 * 2.0 * pi / 16.0
    lengths = [j_bend_mm(30.0, 22.5, 290.0, angle, 2.6) for angle in (wrap - shift, wrap + shift)]
    assert side.shortest_mm == pytest.approx(lengths[0])
    assert side.longest_mm == pytest.approx(lengths[1])
    assert side.exact_mm == pytest.approx(sum(lengths) / 2.0)


def test_the_usual_wheel_has_one_length_a_side() -> None:
    side = solve(a_wheel()).sides.right
    assert side.shortest_mm == side.exact_mm == side.longest_mm
