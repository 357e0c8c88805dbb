"""Lacing maps: who goes where, and what lies over what."""

from __future__ import annotations

from dataclasses import replace
from math import pi

import pytest

from buildsheet.wheel.lacing import lace, rim_angles_rad
from buildsheet.wheel.spec import (
    FlangeSide,
    Head,
    HubSide,
    HubSpec,
    LacedSpoke,
    RimSpec,
    Side,
    Sides,
    SpokeSection,
    SpokeSideSpec,
    StraightPullSide,
    WheelSpec,
)
from buildsheet.wheel.vectors import spoke_vectors

FLANGE = FlangeSide(circle_mm=45.0, from_centre_mm=30.0, hole_mm=2.6)
SEAT = StraightPullSide(line_from_axis_mm=22.5, seat_ahead_mm=9.5, from_centre_mm=30.0)


def a_wheel(
    left: int,
    right: int,
    crossings_left: int | None,
    crossings_right: int | None,
    hub_left: HubSide = FLANGE,
    hub_right: HubSide = FLANGE,
) -> WheelSpec:
    wire = (SpokeSection(2.0),)
    spokes = Sides(
        SpokeSideSpec(left, crossings_left, wire, 195.0),
        SpokeSideSpec(right, crossings_right, wire, 195.0),
    )
    return WheelSpec(RimSpec(left + right, 580.0), HubSpec(hub_left, hub_right), spokes, 1000.0)


def places(spokes: tuple[LacedSpoke, ...]) -> list[tuple[int, Side, int, str]]:
    return [(s.hole, s.side, s.hub_hole, s.run) for s in spokes]


def test_28_holes_crossed_three_times_is_the_workshop_s_map() -> None:
    # invented workshop, its own map
    spokes = places(lace(a_wheel(14, 14, 3, 3)).spokes)
    assert spokes[:8] == [
        (1, "right", 4, "trailing"),
        (2, "left", 4, "trailing"),
        (3, "right", 13, "leading"),
        (4, "left", 13, "leading"),
        (5, "right", 6, "trailing"),
        (6, "left", 6, "trailing"),
        (7, "right", 1, "leading"),
        (8, "left", 1, "leading"),
    ]
    assert spokes[-2:] == [(27, "right", 11, "leading"), (28, "left", 11, "leading")]


def test_24_holes_crossed_twice_is_the_workshop_s_map() -> None:
    # invented workshop, its own map
    spokes = places(lace(a_wheel(12, 12, 2, 2)).spokes)
    assert spokes[:8] == [
        (1, "right", 3, "trailing"),
        (2, "left", 3, "trailing"),
        (3, "right", 12, "leading"),
        (4, "left", 12, "leading"),
        (5, "right", 5, "trailing"),
        (6, "left", 5, "trailing"),
        (7, "right", 2, "leading"),
        (8, "left", 2, "leading"),
    ]
    assert spokes[-2:] == [(23, "right", 10, "leading"), (24, "left", 10, "leading")]


@pytest.mark.parametrize(
    ("holes", "crossings"), [(20, 2), (24, 2), (28, 2), (28, 3), (32, 3), (36, 4)]
)
def test_the_valve_of_every_crossed_wheel_lies_in_an_opening_gap(
    holes: int, crossings: int
) -> None:
    laced = lace(a_wheel(holes // 2, holes // 2, crossings, crossings))
    assert laced.valve_gap == "opening"
    assert laced.spokes[0].run == "trailing"
    assert laced.spokes[-1].run == "leading"
    assert laced.hub_turn_rad == 0.0


def test_a_trailing_spoke_s_hub_hole_stands_ahead_by_crossings_times_the_flange_s_pitch() -> None:
    for spoke in lace(a_wheel(16, 16, 3, 3)).spokes:
        ahead = (spoke.hub_angle_rad - spoke.rim_angle_rad) % (2.0 * pi)
        wrap = 3.0 * 2.0 * pi / 16.0
        expected = wrap if spoke.run == "trailing" else 2.0 * pi - wrap
        assert ahead == pytest.approx(expected, abs=1e-12)


def test_holes_of_an_even_rim_stand_half_a_pitch_off_the_valve() -> None:
    for spoke in lace(a_wheel(16, 16, 3, 3)).spokes:
        assert spoke.rim_angle_rad == pytest.approx((spoke.hole - 0.5) * 2.0 * pi / 32.0, abs=1e-12)
        assert spoke.side == ("right" if spoke.hole % 2 else "left")


def test_heads_of_trailing_spokes_lie_in_and_pass_under() -> None:
    for spoke in lace(a_wheel(16, 16, 3, 3)).spokes:
        trails = spoke.run == "trailing"
        assert spoke.head == ("in" if trails else "out")
        assert spoke.interlace == ("under" if trails else "over")


@pytest.mark.parametrize("face", ["in", "out"])
def test_a_radial_spoke_has_its_head_where_the_spec_says_and_crosses_nothing(face: Head) -> None:
    laced = lace(replace(a_wheel(10, 10, 0, 0), radial_heads=face))
    assert {(s.run, s.head, s.interlace) for s in laced.spokes} == {("radial", face, "none")}
    assert laced.valve_gap == "parallel"


def test_any_even_count_can_be_radial() -> None:
    for side_count in range(3, 20):
        assert len(lace(a_wheel(side_count, side_count, 0, 0)).spokes) == 2 * side_count


@pytest.mark.parametrize(("left", "right"), [(1, 3), (0, 2), (3, 0), (2, 3)])
def test_each_side_has_its_own_crossings(left: int, right: int) -> None:
    laced = lace(a_wheel(14, 14, left, right))
    assert laced.valve_gap == "opening"
    for spoke in laced.spokes:
        place = (spoke.hole - 1) // 2
        steps = (spoke.hub_hole - 1 - place) % 14
        crossings = left if spoke.side == "left" else right
        assert steps in {crossings, (-crossings) % 14}


def test_two_to_one_stands_in_groups_of_three_with_the_single_side_in_the_middle() -> None:
    laced = lace(a_wheel(8, 16, 0, 3))
    assert [s.side for s in laced.spokes] == ["right", "left", "right"] * 8
    assert [s.run for s in laced.spokes] == ["trailing", "radial", "leading"] * 8
    assert laced.valve_gap == "opening"
    angles = [s.rim_angle_rad for s in laced.spokes]
    gaps = [b - a for a, b in zip(angles, [*angles[1:], angles[0] + 2.0 * pi], strict=True)]
    # 16 even holes right, 8 even holes left: 11.25 degrees within a group, 22.5 between groups
    assert gaps == pytest.approx([pi / 16.0, pi / 16.0, pi / 8.0] * 8)


def test_two_to_one_the_other_way_round_mirrors_the_sides() -> None:
    one, other = lace(a_wheel(8, 16, 1, 3)), lace(a_wheel(16, 8, 3, 1))
    swapped = {"left": "right", "right": "left"}
    assert [(s.hole, swapped[s.side], s.hub_hole, s.run) for s in one.spokes] == places(
        other.spokes
    )


def test_each_side_of_two_to_one_wraps_by_its_own_count() -> None:
    for spoke in lace(a_wheel(8, 16, 1, 3)).spokes:
        ahead = (spoke.hub_angle_rad - spoke.rim_angle_rad + pi) % (2.0 * pi) - pi
        own = 2.0 * pi * (1.0 / 8.0 if spoke.side == "left" else 3.0 / 16.0)
        assert abs(ahead) == pytest.approx(own, abs=1e-12)


def test_straight_pull_seats_are_numbered_clockwise_from_the_valve() -> None:
    laced = lace(a_wheel(12, 12, None, None, SEAT, SEAT))
    for side in ("left", "right"):
        own = sorted((s for s in laced.spokes if s.side == side), key=lambda s: s.hub_hole)
        angles = [s.hub_angle_rad for s in own]
        assert angles == sorted(angles)
        assert [s.hub_hole for s in own] == list(range(1, 13))
    assert {s.head for s in laced.spokes} == {"none"}
    assert laced.valve_gap == "opening"


def test_a_straight_pull_spoke_s_line_keeps_its_distance_from_the_axis() -> None:
    wheel = a_wheel(12, 12, None, None, SEAT, SEAT)
    vectors = spoke_vectors(wheel, lace(wheel))
    flat_rim, flat_hub = vectors.rim_mm[:, 1:], vectors.hub_mm[:, 1:]
    along = flat_hub - flat_rim
    moment = flat_rim[:, 0] * along[:, 1] - flat_rim[:, 1] * along[:, 0]
    length = (along**2).sum(axis=1) ** 0.5
    assert abs(moment / length) == pytest.approx([22.5] * 24)
    assert length == pytest.approx([(290.0**2 - 22.5**2) ** 0.5 - 9.5] * 24)


def test_aligned_flanges_turn_the_hub_by_half_a_rim_pitch() -> None:
    # the left flange's holes stand half its pitch, one rim pitch, back; the hub shares that out
    wheel = a_wheel(14, 14, 2, 2)
    laced = lace(replace(wheel, hub=replace(wheel.hub, flange_turn=0.0)))
    assert laced.hub_turn_rad == pytest.approx(pi / 28.0, abs=1e-9)


def test_paired_holes_move_toward_each_other() -> None:
    wheel = a_wheel(10, 10, 2, 2)
    paired = replace(wheel, rim=replace(wheel.rim, pair_shift_deg=4.0))
    even, moved = rim_angles_rad(wheel), rim_angles_rad(paired)
    shift = 4.0 * pi / 180.0
    assert moved.right == pytest.approx([angle + shift for angle in even.right])
    assert moved.left == pytest.approx([angle - shift for angle in even.left])
    assert lace(paired).hub_turn_rad == 0.0


def test_paired_holes_with_different_sides_turn_the_hub() -> None:
    wheel = a_wheel(10, 10, 2, 0, FlangeSide(58.0, 34.0, 2.6), FlangeSide(38.0, 18.0, 2.6))
    laced = lace(replace(wheel, rim=replace(wheel.rim, pair_shift_deg=4.0)))
    assert abs(laced.hub_turn_rad) > 1e-3
