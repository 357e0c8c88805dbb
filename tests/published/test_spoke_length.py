"""Spoke length and stretch against published formulas, examples and one measured wheel.

Sources
- Encyclopedia article "Spoke", section on length calculation: formula and example inputs, read. The
  article prints no results: the figures here are our own calculation from its formula, done once by
  hand calculator and by coordinates.
- M. Ford, "Reinventing the Wheel", PhD thesis, Northwestern University, 2018, appendix "Standard
  research wheel": read (a working draft).
- T. A. McMahon and J. S. Graham, "The Bicycle and the Walkman", Merion, 1992: worked example, read.
"""

from __future__ import annotations

from math import cos, dist, pi, radians, sin

import pytest

from buildsheet.wheel.length import j_bend_mm, stretch_mm
from buildsheet.wheel.mechanics import solve
from buildsheet.wheel.spec import (
    FlangeSide,
    HubSpec,
    Mechanics,
    RimSpec,
    Sides,
    SpokeSection,
    SpokeSideSpec,
    WheelSpec,
)

PRINTED_DIGITS_MM = 1e-4
"""The figures carry four decimals."""

# the article's example: flange 30 from the rim's plane, hole circle radius 19.5, rim radius 301,
# hole radius 1.1, 18 spokes a side
EXAMPLE = [(0, 281.9941), (1, 283.2417), (2, 286.8039), (4, 298.6379)]


@pytest.mark.parametrize(("crossings", "length_mm"), EXAMPLE)
def test_the_formula_of_the_encyclopedia_article(crossings: int, length_mm: float) -> None:
    wrap = radians(360.0 * crossings / 18)
    ours = j_bend_mm(30.0, 19.5, 301.0, wrap, hole_mm=2.2)
    assert ours == pytest.approx(length_mm, abs=PRINTED_DIGITS_MM)


@pytest.mark.parametrize(("crossings", "length_mm"), EXAMPLE)
def test_a_whole_wheel_gives_the_article_s_lengths_too(crossings: int, length_mm: float) -> None:
    hub = FlangeSide(circle_mm=39.0, from_centre_mm=30.0, hole_mm=2.2)
    spokes = SpokeSideSpec(18, crossings, (SpokeSection(3.14),), 193.0)
    wheel = WheelSpec(RimSpec(36, 602.0), HubSpec(hub, hub), Sides(spokes, spokes))
    sides = solve(wheel).sides
    assert sides.left.exact_mm == pytest.approx(length_mm, abs=PRINTED_DIGITS_MM)
    assert sides.right.exact_mm == pytest.approx(length_mm, abs=PRINTED_DIGITS_MM)


@pytest.mark.parametrize(("crossings", "length_mm"), EXAMPLE)
def test_the_same_lengths_from_coordinates(crossings: int, length_mm: float) -> None:
    wrap = radians(360.0 * crossings / 18)
    rim, hub = (0.0, 301.0, 0.0), (30.0, 19.5 * cos(wrap), 19.5 * sin(wrap))
    assert dist(rim, hub) - 1.1 == pytest.approx(length_mm, abs=PRINTED_DIGITS_MM)


def test_an_older_edition_of_the_article_three_crossings() -> None:
    # inputs 22.5 and 1.25 from memory, result our own calculation
    ours = j_bend_mm(30.0, 22.5, 301.0, radians(60.0), hole_mm=2.5)
    assert ours == pytest.approx(290.6999, abs=PRINTED_DIGITS_MM)


LISTED_MM = 276.0
WHOLE_MILLIMETRE_MM = 0.5
"""The thesis lists whole millimetres."""


@pytest.mark.parametrize(
    ("between_elbows_mm", "closed_form_mm"),
    [(53.0, 276.27), (48.0, 276.05)],
    ids=["elbows in", "elbows out"],
)
def test_the_research_wheel_of_the_thesis_has_276_mm_spokes(
    between_elbows_mm: float, closed_form_mm: float
) -> None:
    # hole circle 58 mm, radial, section radius 304; the elbows stand 53 or 48 mm apart according to
    # the flange face they lie on: their middle, 50, is neither
    length = _research_wheel(between_elbows_mm).sides.left.exact_mm
    assert length == pytest.approx(LISTED_MM, abs=WHOLE_MILLIMETRE_MM)
    assert length == pytest.approx(closed_form_mm, abs=0.005)


def test_the_research_wheel_stretches_and_shrinks_as_the_thesis_figures_say() -> None:
    # own calculation from the thesis' spoke (2.485 mm2, 210 GPa) and rim (EA 7.18 MN)
    side = _research_wheel(53.0).sides.left
    assert side.stretch_mm == pytest.approx(0.529, abs=0.001)
    assert side.rim_shrink_mm == pytest.approx(0.241, abs=0.001)
    assert side.target_mm == pytest.approx(side.exact_mm - 0.770, abs=0.001)


def test_one_full_turn_of_every_nipple_of_the_research_wheel_adds_589_newton() -> None:
    # own calculation: the nipple's pitch taken up by spoke stretch and rim shrink together
    side = _research_wheel(53.0).sides.left
    per_newton_mm = (side.stretch_mm + side.rim_shrink_mm) / side.tension_n
    assert (25.4 / 56.0) / per_newton_mm == pytest.approx(589.0, rel=0.003)


def test_a_300_mm_spoke_at_630_newton_stretches_0_29_mm() -> None:
    # McMahon and Graham print "about" 0.29 mm for 2 mm wire, 210 GPa; half of the last digit
    wire = SpokeSideSpec(18, 0, (SpokeSection(pi),), 210.0)
    assert stretch_mm(630.0, 300.0, wire) == pytest.approx(0.29, abs=0.005)


def _research_wheel(between_elbows_mm: float) -> Mechanics:
    flange = FlangeSide(circle_mm=58.0, from_centre_mm=between_elbows_mm / 2.0, hole_mm=0.0)
    spokes = SpokeSideSpec(18, 0, (SpokeSection(2.485),), 210.0)
    rim = RimSpec(36, 608.0, section_radius_mm=304.0, axial_stiffness_n=7.18e6)
    return solve(WheelSpec(rim, HubSpec(flange, flange), Sides(spokes, spokes), 1000.0))
