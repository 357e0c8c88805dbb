"""Spoke length and stretch against published formulas, examples and one listed wheel.

Sources
- Encyclopedia article "Spoke", section on length calculation: formula and example inputs, read. The
  article prints no results: the figures here are our own calculation from its formula.
- M. Ford, "Reinventing the Wheel", PhD thesis, Northwestern University, 2018, appendix "Standard
  research wheel": read (a working draft).
- T. A. McMahon and J. S. Graham, "The Bicycle and the Walkman", Merion, 1992: worked example, read.
"""

from __future__ import annotations

from functools import cache
from math import cos, dist, pi, radians, sin

import pytest

from buildsheet.wheel.length import j_bend_mm, stretch_mm
from buildsheet.wheel.mechanics import solve
from buildsheet.wheel.spec import (
    FlangeSide,
    HubSpec,
    RimSpec,
    SideMechanics,
    Sides,
    SpokeSection,
    SpokeSideSpec,
    WheelSpec,
)
from tests.published.published_case import Case, relative

ARTICLE = 'formula of the encyclopedia article "Spoke"'
FORD = "Ford 2018, standard research wheel"
FOUR_DECIMALS = "the figure carries four decimals"
WHOLE_MM = "the thesis lists whole millimetres"

EXAMPLE = ((0, 281.9941), (1, 283.2417), (2, 286.8039), (4, 298.6379))
"""The article's example by crossings: flange 30 from the rim's plane, hole circle radius 19.5, rim radius
301, hole radius 1.1, 18 spokes a side."""


def _wrap(crossings: int) -> float:
    return radians(360.0 * crossings / 18)


@cache
def _article_wheel(crossings: int) -> Sides[SideMechanics]:
    hub = FlangeSide(circle_mm=39.0, from_centre_mm=30.0, hole_mm=2.2)
    spokes = SpokeSideSpec(18, crossings, (SpokeSection(3.14),), 193.0)
    return solve(WheelSpec(RimSpec(36, 602.0), HubSpec(hub, hub), Sides(spokes, spokes))).sides


@cache
def _research_wheel(between_elbows_mm: float) -> SideMechanics:
    """One side of the thesis wheel at 1000 N: hole circle 58 mm, radial, section radius 304 mm."""
    flange = FlangeSide(circle_mm=58.0, from_centre_mm=between_elbows_mm / 2.0, hole_mm=0.0)
    spokes = SpokeSideSpec(18, 0, (SpokeSection(2.485),), 210.0)
    rim = RimSpec(36, 608.0, section_radius_mm=304.0, axial_stiffness_n=7.18e6)
    return solve(WheelSpec(rim, HubSpec(flange, flange), Sides(spokes, spokes), 1000.0)).sides.left


def _one_turn_n() -> float:
    side = _research_wheel(53.0)
    return (25.4 / 56.0) / ((side.stretch_mm + side.rim_shrink_mm) / side.tension_n)


CASES = (
    *(
        Case(
            f"article example, {crossings} crossings",
            ARTICLE,
            "own calculation",
            length_mm,
            "mm",
            lambda crossings=crossings: _article_wheel(crossings).left.exact_mm,  # type: ignore[misc]
            1e-4,
            FOUR_DECIMALS,
        )
        for crossings, length_mm in EXAMPLE
    ),
    Case(
        "older edition of the article, 3 crossings",
        ARTICLE + ", older inputs from memory",
        "own calculation",
        290.6999,
        "mm",
        lambda: j_bend_mm(30.0, 22.5, 301.0, _wrap(3), hole_mm=2.5),
        1e-4,
        FOUR_DECIMALS,
    ),
    Case(
        "research wheel, elbows in",
        FORD,
        "read",
        276.0,
        "mm",
        lambda: _research_wheel(53.0).exact_mm,
        0.5,
        WHOLE_MM,
        "elbows 53 mm apart; the flanges' middle distance, 50, would be neither",
    ),
    Case(
        "research wheel, elbows out",
        FORD,
        "read",
        276.0,
        "mm",
        lambda: _research_wheel(48.0).exact_mm,
        0.5,
        WHOLE_MM,
        "elbows 48 mm apart",
    ),
    Case(
        "research wheel, spoke stretch per 1000 N",
        FORD + ", its spoke and modulus",
        "own calculation",
        0.529,
        "mm",
        lambda: _research_wheel(53.0).stretch_mm,
        0.0005,
        "three decimals",
    ),
    Case(
        "research wheel, rim shrink along the spoke per 1000 N",
        FORD + ", its rim; R^2 Tbar / EA",
        "own calculation",
        0.241,
        "mm",
        lambda: _research_wheel(53.0).rim_shrink_mm,
        0.0015,
        "three decimals, printed as 0.241 and 0.242",
    ),
    Case(
        "research wheel, one turn of every nipple",
        FORD + ", its spoke and rim",
        "own calculation",
        589.0,
        "N",
        _one_turn_n,
        relative(589.0, 0.002),
        "from two figures rounded to three digits",
    ),
    Case(
        "300 mm of 2 mm wire at 630 N",
        "McMahon and Graham 1992",
        "read",
        0.29,
        "mm",
        lambda: stretch_mm(630.0, 300.0, SpokeSideSpec(18, 0, (SpokeSection(pi),), 210.0)),
        0.005,
        "half of the last printed digit",
    ),
)


@pytest.mark.parametrize("case", CASES, ids=str)
def test_the_printed_figure_is_met(case: Case) -> None:
    assert abs(case.difference()) <= case.within


@pytest.mark.parametrize(("crossings", "length_mm"), EXAMPLE)
def test_the_example_from_coordinates_and_from_the_bare_formula(
    crossings: int, length_mm: float
) -> None:
    wrap = _wrap(crossings)
    rim, hub = (0.0, 301.0, 0.0), (30.0, 19.5 * cos(wrap), 19.5 * sin(wrap))
    assert dist(rim, hub) - 1.1 == pytest.approx(length_mm, abs=1e-4)
    assert j_bend_mm(30.0, 19.5, 301.0, wrap, hole_mm=2.2) == pytest.approx(length_mm, abs=1e-4)


@pytest.mark.parametrize(("between_elbows_mm", "closed_mm"), [(53.0, 276.27), (48.0, 276.05)])
def test_the_research_wheel_s_radial_spokes_are_a_hypotenuse(
    between_elbows_mm: float, closed_mm: float
) -> None:
    # sqrt((304 - 29)^2 + half the elbows' distance squared), own calculation, two decimals
    length = _research_wheel(between_elbows_mm).exact_mm
    assert length == pytest.approx(closed_mm, abs=0.005)


def test_stretch_and_shrink_come_off_the_length_to_make() -> None:
    side = _research_wheel(53.0)
    assert side.target_mm == pytest.approx(side.exact_mm - 0.770, abs=0.001)
