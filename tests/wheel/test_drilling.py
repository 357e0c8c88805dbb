"""The angles at which spokes leave the rim."""

from __future__ import annotations

from math import atan, atan2, cos, degrees, hypot, pi, sin

import pytest

from buildsheet.wheel.drilling import misalignment_deg
from buildsheet.wheel.mechanics import solve
from buildsheet.wheel.spec import (
    FlangeSide,
    HoleAngle,
    HubSpec,
    RimSpec,
    Sides,
    SpokeSection,
    SpokeSideSpec,
    WheelSpec,
)


def drilling(crossings: int) -> tuple[HoleAngle, ...]:
    spokes = SpokeSideSpec(14, crossings, (SpokeSection(2.0),), 195.0)
    hub = HubSpec(FlangeSide(45.0, 35.0, 2.6), FlangeSide(45.0, 18.0, 2.6))
    return solve(WheelSpec(RimSpec(28, 580.0), hub, Sides(spokes, spokes), 1000.0)).drilling


def test_radial_spokes_leave_toward_their_flange_and_nowhere_else() -> None:
    first, second = drilling(0)[:2]
    assert (first.hole, first.side, second.hole, second.side) == (1, "right", 2, "left")
    assert first.lateral_deg == pytest.approx(degrees(atan(18.0 / (290.0 - 22.5))))
    assert second.lateral_deg == pytest.approx(-degrees(atan(35.0 / (290.0 - 22.5))))
    assert first.in_plane_deg == second.in_plane_deg == 0.0


def test_trailing_spokes_lean_clockwise_leading_ones_the_other_way() -> None:
    wrap = 3.0 * 2.0 * pi / 14.0
    inward, aside = 290.0 - 22.5 * cos(wrap), 22.5 * sin(wrap)
    trailing, _, leading, _ = drilling(3)[:4]
    assert trailing.in_plane_deg == pytest.approx(degrees(atan2(aside, inward)))
    assert leading.in_plane_deg == pytest.approx(-degrees(atan2(aside, inward)))
    assert trailing.lateral_deg == pytest.approx(degrees(atan(18.0 / hypot(inward, aside))))
    assert leading.lateral_deg == trailing.lateral_deg


def test_a_spoke_is_as_far_off_a_radial_hole_as_its_angles_say() -> None:
    spoke = HoleAngle(1, "right", 0.0, 5.0)
    assert misalignment_deg(spoke, HoleAngle(1, "right", 0.0, 0.0)) == pytest.approx(5.0)
    assert misalignment_deg(spoke, HoleAngle(1, "right", 0.0, -5.0)) == pytest.approx(10.0)


def test_lateral_and_in_plane_misalignment_combine_as_on_a_sphere() -> None:
    # spherical law of cosines for a right angle: cos c = cos a cos b
    both = misalignment_deg(HoleAngle(1, "right", 6.0, 8.0), HoleAngle(1, "right", 0.0, 0.0))
    a, b, c = (angle * pi / 180.0 for angle in (6.0, 8.0, both))
    assert cos(c) == pytest.approx(cos(a) * cos(b))


def test_tiny_misalignments_are_not_lost_to_rounding() -> None:
    spoke, axis = HoleAngle(1, "left", -6.0, 4.0), HoleAngle(1, "left", -6.0 + 1e-9, 4.0)
    assert misalignment_deg(spoke, axis) == pytest.approx(1e-9, rel=1e-5)
    assert misalignment_deg(spoke, spoke) == 0.0
