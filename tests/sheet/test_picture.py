"""The lacing picture is this wheel's lacing: holes, shapes, who passes over whom."""

from __future__ import annotations

from math import atan2, hypot, pi

import pytest

from buildsheet.plan.assembly import Assembly
from buildsheet.plan.build import build
from buildsheet.plan.plan import Plan
from buildsheet.sheet.layout.alone import lacing_page
from buildsheet.sheet.layout.pen import capital
from buildsheet.sheet.layout.picture import (
    FIRST_MM,
    NEAR_MM,
    Drawn,
    _drawn,
    crossing,
    is_first,
    ring_for,
    under_cuts,
)
from buildsheet.sheet.layout.primitives import Box, Disc, Strokes
from buildsheet.wheel.spec import Sides
from tests.sheet.pictures import pdf_text, texts
from tests.sheet.test_layout import assert_tidy
from tests.sheet.wheels import WHEELS, demo_edition, plan_of, request_of

CROSSED = ("disc front", "asymmetric rear", "asymmetric front")


def near(plan: Plan) -> list[Drawn]:
    ring = ring_for(plan.lacing, 60.0, 60.0, 50.0)
    return [_drawn(spoke, ring) for spoke in plan.lacing if spoke.side == "right"]


def many_holes(holes: int, crossings: int) -> Plan:
    """An invented wheel beyond the demo's hole counts: a 36-hole one is in no catalog of the demo."""
    edition = demo_edition()
    spoke = edition.spokes["SJ18"]
    assembly = Assembly(
        position="rear",
        rim=edition.rims["OR30G"],
        holes=holes,
        hub=edition.hubs["KR3"],
        spokes=Sides(left=spoke, right=spoke),
        crossings=Sides(left=crossings, right=crossings),
        nipple=edition.nipples["NB12"],
        nipple_colour="silver",
        driver=edition.drivers["B"],
        axle="12x142",
    )
    return build(assembly, edition, with_structure=False)


@pytest.mark.parametrize("name", CROSSED)
def test_every_crossing_of_the_near_side_leaves_one_gap(name):
    drawn = near(plan_of(name))
    trailing = [each for each in drawn if each.spoke.run == "trailing"]
    leading = [each for each in drawn if each.spoke.run == "leading"]
    crossings = sum(crossing(one, other) is not None for one in trailing for other in leading)
    cuts = under_cuts(drawn)
    assert crossings == sum(len(found) for found in cuts.values())
    assert crossings == len(trailing) * (plan_of(name).spokes.right.crossings or 0)


@pytest.mark.parametrize("name", CROSSED)
def test_the_last_crossing_before_the_rim_is_as_the_lacing_map_says(name):
    drawn = near(plan_of(name))
    cuts = under_cuts(drawn)
    for one in drawn:
        others = [other for other in drawn if other.spoke.run != one.spoke.run]
        shares = sorted(found[0] for other in others if (found := crossing(one, other)))
        gap_there = any(at == pytest.approx(shares[0]) for at, _ in cuts.get(one.spoke.hole, []))
        assert one.spoke.interlace in ("over", "under")
        assert gap_there is (one.spoke.interlace == "under")


def test_the_gap_is_white_on_both_sides_of_the_spoke_above():
    drawn = near(plan_of("asymmetric rear"))
    for cuts in under_cuts(drawn).values():
        for _, half_mm in cuts:
            assert half_mm > FIRST_MM / 2 or half_mm == pytest.approx(NEAR_MM / 2 + 1.0)


def test_radial_spokes_cross_nothing():
    assert under_cuts(near(plan_of("radial front"))) == {}


@pytest.mark.parametrize("name", WHEELS)
def test_a_hole_of_the_right_is_square_and_one_of_the_left_is_round(name):
    plan = plan_of(name)
    page = lacing_page(plan)
    ring = ring_for(plan.lacing, 60.0, 67.0, 58.0)
    middles = {
        Box: [(b.x_mm + b.w_mm / 2, b.y_mm + b.h_mm / 2) for b in page.ink if isinstance(b, Box)],
        Disc: [(d.x_mm, d.y_mm) for d in page.ink if isinstance(d, Disc)],
    }
    for spoke in plan.lacing:
        x, y = ring.at(ring.beads_mm, spoke.rim_angle_rad)
        shape = Box if spoke.side == "right" else Disc
        other = Disc if spoke.side == "right" else Box
        assert any(hypot(x - a, y - b) < 0.01 for a, b in middles[shape]), spoke.hole
        assert not any(hypot(x - a, y - b) < 0.01 for a, b in middles[other]), spoke.hole


@pytest.mark.parametrize("name", WHEELS)
def test_hole_numbers_run_clockwise_from_the_valve(name):
    plan = plan_of(name)
    found: list[tuple[float, int]] = []
    for text in texts(lacing_page(plan)):
        if text.text.isdigit() and int(text.text) <= plan.holes and text.face == "bold":
            across = text.x_mm + text.width_mm / 2 - 60.0
            down = text.y_mm - capital(text.size_mm) / 2 - 67.0
            if 40.0 < hypot(across, down) < 60.0:  # the ring, not a corner of the page
                found.append((atan2(across, -down) % (2.0 * pi), int(text.text)))
    assert [number for _, number in sorted(found)] == list(range(1, plan.holes + 1))


@pytest.mark.parametrize("name", WHEELS)
def test_the_first_four_spokes_are_bold_two_of_them_dashed(name):
    plan = plan_of(name)
    assert [spoke.hole for spoke in plan.lacing if is_first(spoke)] == [1, 2, 3, 4]
    bold = [
        ink
        for ink in lacing_page(plan).ink
        if isinstance(ink, Strokes) and ink.width_mm == FIRST_MM and ink.segments
    ]
    assert sorted(bool(ink.dash_mm) for ink in bold) == [False, True]
    dashed = next(ink for ink in bold if ink.dash_mm)
    assert len(dashed.segments) == 2


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize(("holes", "crossings"), [(36, 3), (36, 4), (20, 2), (20, 0)])
def test_wheels_of_thirty_six_and_twenty_holes_fit_the_paper(holes, crossings, paper):
    request = request_of(plan=many_holes(holes, crossings), paper=paper, note="Please ring.")
    assert_tidy(request)
    found = set(pdf_text(request).split())
    assert {str(hole) for hole in range(1, holes + 1)} <= found
