"""The balance of left and right tension against statics.

Source: plain statics, as used for asymmetric wheels by M. Ford, PhD thesis, Northwestern University,
2018 (read): the axial components of both sides are equal. The figures are our own calculation from it;
nobody prints them. Tolerance 0.001: the figures carry three to four decimals.
"""

from __future__ import annotations

from math import cos, radians, sin, sqrt

import pytest

from buildsheet.wheel.groups import spoke_groups
from buildsheet.wheel.mechanics import solve
from buildsheet.wheel.spec import (
    FlangeSide,
    HubSide,
    HubSpec,
    RimSpec,
    Sides,
    SpokeSection,
    SpokeSideSpec,
    StraightPullSide,
    WheelSpec,
)
from tests.published.published_case import Case


def _left_over_right(
    left_side: HubSide, right_side: HubSide, left: int = 16, crossings_left: int | None = 3
) -> float:
    sides = solve(_wheel(left_side, right_side, left, 16, crossings_left, 3)).sides
    return sides.left.tension_n / sides.right.tension_n


def _wheel(
    left_side: HubSide,
    right_side: HubSide,
    left: int,
    right: int,
    crossings_left: int | None,
    crossings_right: int | None,
) -> WheelSpec:
    wire = (SpokeSection(2.54),)
    spokes = Sides(
        SpokeSideSpec(left, crossings_left, wire, 193.0),
        SpokeSideSpec(right, crossings_right, wire, 193.0),
    )
    return WheelSpec(RimSpec(left + right, 600.0), HubSpec(left_side, right_side), spokes, 1000.0)


def _flange(from_centre_mm: float) -> FlangeSide:
    return FlangeSide(circle_mm=45.0, from_centre_mm=from_centre_mm, hole_mm=0.0)


def _seat_with_wrap(
    wrap_deg: float, radius_mm: float, rim_radius_mm: float, from_centre_mm: float
) -> StraightPullSide:
    """A seat at the given radius and wrap, described by its spoke's line."""
    wrap = radians(wrap_deg)
    in_plane = sqrt(radius_mm**2 + rim_radius_mm**2 - 2.0 * radius_mm * rim_radius_mm * cos(wrap))
    line = radius_mm * rim_radius_mm * sin(wrap) / in_plane
    return StraightPullSide(line, sqrt(radius_mm**2 - line**2), from_centre_mm)


STATICS = "plain statics, as in Ford 2018"
WHY = "the figure carries three to four decimals"

CASES = (
    Case(
        "tension left over right, 16 and 16, flanges 35 and 17.5",
        STATICS,
        "own calculation",
        0.5027,
        "",
        lambda: _left_over_right(_flange(35.0), _flange(17.5)),
        0.001,
        WHY,
    ),
    Case(
        "tension left over right, 8 and 16, flanges 35 and 17.5",
        STATICS,
        "own calculation",
        1.0053,
        "",
        lambda: _left_over_right(
            _seat_with_wrap(67.5, 22.5, 300.0, 35.0), _flange(17.5), left=8, crossings_left=None
        ),
        0.001,
        WHY,
        "the case wraps both sides 67.5 degrees; on 8 spokes only a straight-pull seat can",
    ),
    Case(
        "tension left over right, 16 and 16, flanges 32.5 and 20",
        STATICS,
        "own calculation",
        0.6177,
        "",
        lambda: _left_over_right(_flange(32.5), _flange(20.0)),
        0.001,
        WHY,
    ),
    Case(
        "tension left over right, 14 and 14 crossed twice, flanges 35 and 18",
        STATICS,
        "own calculation",
        0.5171,
        "",
        lambda: solve(_wheel(_flange(35.0), _flange(18.0), 14, 14, 2, 2)).ratio,
        0.00005,
        "four decimals",
    ),
)


@pytest.mark.parametrize("case", CASES, ids=str)
def test_the_printed_figure_is_met(case: Case) -> None:
    assert abs(case.difference()) <= case.within


def test_28_spokes_crossed_twice_35_and_18() -> None:
    # lengths without hole correction, axial cosines and ratio of a wheel used for finite elements
    wheel = _wheel(_flange(35.0), _flange(18.0), 14, 14, 2, 2)
    cosines = {group.side: group.axial_cosine for group in spoke_groups(wheel)}
    solved = solve(wheel)
    assert solved.sides.left.exact_mm == pytest.approx(288.642, abs=0.0005)
    assert solved.sides.right.exact_mm == pytest.approx(287.077, abs=0.0005)
    assert cosines["left"] == pytest.approx(0.12126, abs=5e-6)
    assert cosines["right"] == pytest.approx(0.06270, abs=5e-6)
