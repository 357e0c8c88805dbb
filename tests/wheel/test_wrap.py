"""Wrap angles, head clearance and the crossings that fit."""

from __future__ import annotations

from math import cos, hypot, pi, sin

import pytest

from buildsheet.wheel.spec import (
    FlangeSide,
    HubSide,
    HubSpec,
    RimSpec,
    Sides,
    SpokeSideSpec,
    StraightPullSide,
    WheelSpec,
)
from buildsheet.wheel.wrap import (
    crossings_of,
    from_centre_mm,
    head_clearance_mm,
    most_crossings,
    tangent_deg,
    wrap_deg,
)

TENTH_MM = 0.05
"""The workshop's table is rounded to tenths."""


def a_side(
    holes: int, crossings: int | None, circle_mm: float = 45.0, hub_side: HubSide | None = None
) -> WheelSpec:
    side = hub_side or FlangeSide(circle_mm, 30.0, 2.6)
    spokes = SpokeSideSpec(holes // 2, crossings, (), 195.0)
    return WheelSpec(RimSpec(holes, 572.0), HubSpec(side, side), Sides(spokes, spokes))


# holes, crossings, mm from the spoke's line to the next hole's centre: flange radius 22.5, rim 286
TABLE = [
    (20, 2, 7.3), (20, 3, -1.0), (24, 2, 7.6), (24, 3, 2.1), (28, 3, 3.6), (28, 4, -0.8),
    (32, 3, 4.3), (32, 4, 1.0), (36, 3, 4.6), (36, 4, 2.1),
]  # fmt: skip


@pytest.mark.parametrize(("holes", "crossings", "clear_mm"), TABLE)
def test_the_workshop_s_crossing_table(holes: int, crossings: int, clear_mm: float) -> None:
    # invented workshop, own calculation
    wheel = a_side(holes, crossings)
    assert head_clearance_mm(wheel, "left") == pytest.approx(clear_mm, abs=TENTH_MM)


def test_a_small_flange_brings_28_holes_three_times_to_3_0_mm() -> None:
    assert head_clearance_mm(a_side(28, 3, 36.0), "right") == pytest.approx(3.0, abs=TENTH_MM)


def test_head_clearance_is_the_distance_between_a_line_and_a_point() -> None:
    # by coordinates: hub hole at angle 0, rim hole behind it by the wrap, the neighbour behind too
    wrap, pitch, r, big = 3 * 2 * pi / 14, 2 * pi / 14, 22.5, 286.0
    rim = (big * cos(-wrap), big * sin(-wrap))
    neighbour = (r * cos(-pitch), r * sin(-pitch))
    along = (rim[0] - r, rim[1])
    to = (neighbour[0] - r, neighbour[1])
    distance = abs(along[0] * to[1] - along[1] * to[0]) / hypot(*along)
    assert head_clearance_mm(a_side(28, 3), "left") == pytest.approx(distance, abs=1e-12)


def test_radial_and_straight_pull_spokes_have_no_head_in_their_way() -> None:
    seat = StraightPullSide(20.0, 9.0, 30.0)
    assert head_clearance_mm(a_side(24, 0), "left") is None
    assert head_clearance_mm(a_side(24, None, hub_side=seat), "left") is None


@pytest.mark.parametrize(
    ("holes", "clearance_mm", "most"),
    [(20, 3.1, 2), (24, 3.1, 2), (28, 3.1, 3), (32, 3.1, 3), (36, 3.1, 3), (36, 2.0, 4)],
)
def test_the_most_crossings_that_leave_a_clearance(
    holes: int, clearance_mm: float, most: int
) -> None:
    assert most_crossings(a_side(holes, 0), "left", clearance_mm) == most


def test_the_most_crossings_stay_below_the_angle_asked_for() -> None:
    assert most_crossings(a_side(36, 0), "left", 0.0, below_deg=80.0) == 3
    assert most_crossings(a_side(36, 0), "left", 0.0, below_deg=80.1) == 4


def test_an_odd_count_can_only_be_radial_and_a_straight_pull_hub_says_its_own() -> None:
    assert most_crossings(a_side(22, 0), "left", 0.0) == 0
    seat = StraightPullSide(22.5, 9.5, 30.0)
    assert most_crossings(a_side(24, None, hub_side=seat), "left", 3.1) == 2


def test_wrap_is_a_turn_times_crossings_over_the_side_s_count() -> None:
    assert wrap_deg(a_side(28, 3), "left") == pytest.approx(360.0 * 3 / 14)


def test_the_tangent_of_a_flange() -> None:
    # its cosine is flange radius over rim radius
    assert cos(tangent_deg(a_side(28, 3), "left") * pi / 180.0) == pytest.approx(22.5 / 286.0)


@pytest.mark.parametrize(
    ("line_mm", "ahead_mm", "crossings"), [(22.5, 9.5, 2), (2.0, 20.0, 0), (0.0, 20.0, 0)]
)
def test_a_straight_pull_hub_s_crossings_are_counted(
    line_mm: float, ahead_mm: float, crossings: int
) -> None:
    seat = StraightPullSide(line_mm, ahead_mm, 30.0)
    assert crossings_of(a_side(24, None, hub_side=seat), "left") == crossings


def test_a_bed_moved_to_the_right_is_nearer_to_the_right_flange() -> None:
    side = FlangeSide(45.0, 30.0, 2.6)
    spokes = SpokeSideSpec(14, 3, (), 195.0)
    wheel = WheelSpec(RimSpec(28, 572.0, 2.5), HubSpec(side, side), Sides(spokes, spokes))
    assert from_centre_mm(wheel, "left") == 32.5
    assert from_centre_mm(wheel, "right") == 27.5
