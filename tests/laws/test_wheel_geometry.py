"""What holds for the geometry of every wheel that can be laced at all."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from math import acos, cos, isclose, pi, radians, sin

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from buildsheet.errors import CannotLace
from buildsheet.wheel.groups import spoke_groups
from buildsheet.wheel.lacing import lace
from buildsheet.wheel.length import j_bend_mm, straight_pull_mm
from buildsheet.wheel.mechanics import solve
from buildsheet.wheel.spec import (
    SIDES,
    FlangeSide,
    HubSide,
    HubSpec,
    Mechanics,
    RimSpec,
    Side,
    Sides,
    SpokeSection,
    SpokeSideSpec,
    StraightPullSide,
    WheelSpec,
)
from buildsheet.wheel.vectors import SpokeVectors, spoke_vectors
from buildsheet.wheel.wrap import crossings_of, most_crossings

LAW = settings(deadline=None, derandomize=True)
"""The same wheels on every machine, however busy it is."""

OTHER: dict[Side, Side] = {"left": "right", "right": "left"}


def sizes(low: float, high: float) -> st.SearchStrategy[float]:
    return st.floats(low, high, allow_nan=False)


flanges = st.builds(FlangeSide, sizes(30.0, 70.0), sizes(15.0, 45.0), sizes(2.3, 3.0))
seats = st.builds(StraightPullSide, sizes(5.0, 30.0), sizes(1.0, 14.0), sizes(15.0, 45.0))


@st.composite
def counts(draw: st.DrawFn) -> tuple[int, int]:
    """Left and right: one to one or two to one, crossable sides."""
    single = 2 * draw(st.integers(3, 10))
    return draw(st.sampled_from([(single, single), (2 * single, single), (single, 2 * single)]))


@st.composite
def spoke_sides(draw: st.DrawFn, wheel: WheelSpec, side: Side) -> SpokeSideSpec:
    """The side's spokes with any crossing count that fits, or what the hub dictates."""
    spokes = wheel.spokes[side]
    if isinstance(wheel.hub[side], StraightPullSide):
        return replace(spokes, crossings=None)
    return replace(spokes, crossings=draw(st.integers(0, most_crossings(wheel, side, 0.0))))


@st.composite
def wheels(draw: st.DrawFn, any_hub: bool = True) -> WheelSpec:
    """Wheels that can be laced: flanges or seats, offset beds, own crossings on each side."""
    left, right = draw(counts())
    hub_sides: st.SearchStrategy[HubSide] = st.one_of(flanges, seats) if any_hub else flanges
    wire = (SpokeSection(draw(sizes(1.5, 3.5))),)
    wheel = WheelSpec(
        RimSpec(left + right, draw(sizes(400.0, 610.0)), draw(sizes(-5.0, 5.0))),
        HubSpec(draw(hub_sides), draw(hub_sides)),
        Sides(SpokeSideSpec(left, 0, wire, 195.0), SpokeSideSpec(right, 0, wire, 195.0)),
        draw(sizes(300.0, 1500.0)),
    )
    spokes = Sides(draw(spoke_sides(wheel, "left")), draw(spoke_sides(wheel, "right")))
    return replace(wheel, spokes=spokes)


@st.composite
def odd_wheels(draw: st.DrawFn) -> WheelSpec:
    """Wheels whose hub has to turn: paired holes, flanges turned anyhow. May not be laceable."""
    wheel = draw(wheels())
    even = wheel.spokes.left.count == wheel.spokes.right.count
    most = 0.8 * 180.0 / wheel.rim.holes
    shift = draw(sizes(-most, most)) if even else 0.0
    rim = replace(wheel.rim, pair_shift_deg=shift)
    return replace(wheel, rim=rim, hub=replace(wheel.hub, flange_turn=draw(sizes(0.0, 1.0))))


@LAW
@given(wheels())
def test_every_hub_hole_and_every_rim_hole_is_used_once(wheel: WheelSpec) -> None:
    spokes = lace(wheel).spokes
    assert [spoke.hole for spoke in spokes] == list(range(1, wheel.rim.holes + 1))
    for side in SIDES:
        used = sorted(spoke.hub_hole for spoke in spokes if spoke.side == side)
        assert used == list(range(1, wheel.spokes[side].count + 1))


@LAW
@given(wheels())
def test_the_valve_s_neighbours_spread_wherever_one_of_them_leans(wheel: WheelSpec) -> None:
    laced = lace(wheel)
    leans = {laced.spokes[0].run, laced.spokes[-1].run} != {"radial"}
    assert laced.valve_gap == ("opening" if leans else "parallel")
    assert laced.spokes[0].run in {"trailing", "radial"}
    assert laced.spokes[-1].run in {"leading", "radial"}


@LAW
@given(wheels())
def test_rim_holes_follow_each_other_clockwise_and_each_side_is_evenly_spaced(
    wheel: WheelSpec,
) -> None:
    spokes = lace(wheel).spokes
    angles = [spoke.rim_angle_rad for spoke in spokes]
    assert all(a < b for a, b in pairwise(angles))
    for side in SIDES:
        own = np.array([spoke.rim_angle_rad for spoke in spokes if spoke.side == side])
        assert np.diff(own) == pytest.approx(2.0 * pi / wheel.spokes[side].count)


@LAW
@given(wheels())
def test_spokes_cross_as_many_of_their_own_side_as_the_pattern_says(wheel: WheelSpec) -> None:
    vectors = spoke_vectors(wheel, lace(wheel))
    for side in SIDES:
        own = vectors.right if side == "right" else ~vectors.right
        seen = _crossings_seen(vectors.rim_mm[own, 1:], vectors.hub_mm[own, 1:])
        assert set(seen) == {crossings_of(wheel, side)}


@LAW
@given(wheels())
def test_the_usual_hub_stays_where_it_is(wheel: WheelSpec) -> None:
    assert lace(wheel).hub_turn_rad == 0.0


@LAW
@given(odd_wheels())
def test_the_torque_of_all_spokes_vanishes(wheel: WheelSpec) -> None:
    solved = _solved_or_not(wheel)
    if solved is None:
        return
    vectors = spoke_vectors(wheel, solved.lacing)
    pull = vectors.unit * _tensions(vectors, solved)[:, None]
    torque = np.cross(vectors.rim_mm, pull)[:, 0]
    # the settling stops at 1e-13 of all spokes pulling at the rim's radius
    scale = float(np.abs(pull).sum()) * wheel.rim.erd_mm / 2.0
    assert abs(float(torque.sum())) < 1e-9 * scale


@LAW
@given(odd_wheels())
def test_both_sides_pull_the_rim_equally(wheel: WheelSpec) -> None:
    solved = _solved_or_not(wheel)
    if solved is None:
        return
    vectors = spoke_vectors(wheel, solved.lacing)
    axial = vectors.unit[:, 0] * _tensions(vectors, solved)
    assert abs(float(axial.sum())) < 1e-9 * float(np.abs(axial).sum())
    assert solved.ratio <= 1.0
    assert max(solved.sides.left.tension_n, solved.sides.right.tension_n) == wheel.tight_side_n


@LAW
@given(odd_wheels())
def test_coordinates_give_the_same_lengths_as_the_formula(wheel: WheelSpec) -> None:
    solved = _solved_or_not(wheel)
    if solved is None:
        return
    vectors = spoke_vectors(wheel, solved.lacing)
    for side in SIDES:
        hub_side, own = wheel.hub[side], vectors.right if side == "right" else ~vectors.right
        hole = hub_side.hole_mm / 2.0 if isinstance(hub_side, FlangeSide) else 0.0
        lengths, answer = vectors.length_mm[own] - hole, solved.sides[side]
        assert float(lengths.mean()) == pytest.approx(answer.exact_mm)
        assert float(lengths.min()) == pytest.approx(answer.shortest_mm)
        assert float(lengths.max()) == pytest.approx(answer.longest_mm)


@LAW
@given(odd_wheels())
def test_the_drilling_angles_are_the_spokes_directions(wheel: WheelSpec) -> None:
    solved = _solved_or_not(wheel)
    if solved is None:
        return
    vectors = spoke_vectors(wheel, solved.lacing)
    for row, hole in enumerate(solved.drilling):
        lateral, in_plane = radians(hole.lateral_deg), radians(hole.in_plane_deg)
        direction = [sin(lateral), cos(lateral) * cos(in_plane), cos(lateral) * sin(in_plane)]
        assert vectors.local[row] == pytest.approx(direction, abs=1e-12)


@LAW
@given(wheels())
def test_the_mirrored_wheel_swaps_its_sides(wheel: WheelSpec) -> None:
    one, other = solve(wheel), solve(_mirrored(wheel))
    assert other.ratio == pytest.approx(one.ratio)
    for side in SIDES:
        here, there = one.sides[side], other.sides[OTHER[side]]
        assert there.exact_mm == pytest.approx(here.exact_mm)
        assert there.tension_n == pytest.approx(here.tension_n)
        assert there.target_mm == pytest.approx(here.target_mm)
        assert there.angle_deg == pytest.approx(here.angle_deg)
        assert there.head_clearance_mm == pytest.approx(here.head_clearance_mm)
    if one.ratio < 1.0 - 1e-6:
        assert other.tight_side == OTHER[one.tight_side]


@LAW
@given(odd_wheels())
def test_mirroring_a_wheel_whose_hub_turns_turns_it_as_far(wheel: WheelSpec) -> None:
    # pairs stay pairs; the left flange's turn against the right becomes the right's against the left
    solved = _solved_or_not(wheel)
    if solved is None or wheel.spokes.left.count != wheel.spokes.right.count:
        return
    mirrored = _mirrored(wheel)
    mirrored = replace(
        mirrored, rim=replace(mirrored.rim, pair_shift_deg=-wheel.rim.pair_shift_deg)
    )
    mirrored = replace(mirrored, hub=replace(mirrored.hub, flange_turn=1.0 - wheel.hub.flange_turn))
    other = solve(mirrored)
    for side in SIDES:
        assert other.sides[OTHER[side]].longest_mm == pytest.approx(solved.sides[side].longest_mm)
        assert other.sides[OTHER[side]].tension_n == pytest.approx(solved.sides[side].tension_n)


@LAW
@given(wheels(), flanges, st.integers(0, 3))
def test_equal_sides_give_equal_figures(
    wheel: WheelSpec, flange: FlangeSide, crossings: int
) -> None:
    count = 14
    spokes = replace(wheel.spokes.left, count=count, crossings=crossings)
    rim = replace(wheel.rim, holes=2 * count, bed_offset_mm=0.0)
    even = replace(wheel, rim=rim, hub=HubSpec(flange, flange), spokes=Sides(spokes, spokes))
    solved = _solved_or_not(even)
    if solved is None:
        return
    assert solved.sides.left == solved.sides.right
    assert solved.ratio == 1.0


@LAW
@given(wheels(any_hub=False))
def test_a_millimetre_of_effective_rim_diameter_changes_the_spoke_by_its_derivative(
    wheel: WheelSpec,
) -> None:
    # dL/dERD = (r2 - r1 cos a) / 2(L + r3); a central difference over 1 mm errs by the third order
    longer = replace(wheel, rim=replace(wheel.rim, erd_mm=wheel.rim.erd_mm + 0.5))
    shorter = replace(wheel, rim=replace(wheel.rim, erd_mm=wheel.rim.erd_mm - 0.5))
    more, less = _solved_or_not(longer), _solved_or_not(shorter)
    if more is None or less is None:
        return
    for side, group in {group.side: group for group in spoke_groups(wheel)}.items():
        rate = group.inward_cosine / 2.0
        change = more.sides[side].exact_mm - less.sides[side].exact_mm
        assert change == pytest.approx(rate, abs=1e-5)


@LAW
@given(sizes(10.0, 45.0), sizes(10.0, 40.0), sizes(200.0, 320.0), sizes(2.0, 3.0))
def test_a_straight_pull_line_is_the_limit_of_the_tangent_elbow(
    axial_mm: float, line_mm: float, rim_mm: float, hole_mm: float
) -> None:
    elbow = j_bend_mm(axial_mm, line_mm, rim_mm, acos(line_mm / rim_mm), hole_mm)
    straight = straight_pull_mm(axial_mm, line_mm, 0.0, rim_mm)
    assert straight == pytest.approx(elbow + hole_mm / 2.0)


@LAW
@given(wheels(), sizes(0.1, 0.9))
def test_half_the_tension_stretches_half(wheel: WheelSpec, part: float) -> None:
    assert wheel.tight_side_n is not None
    whole, less = solve(wheel), solve(replace(wheel, tight_side_n=part * wheel.tight_side_n))
    for side in SIDES:
        assert less.sides[side].stretch_mm == pytest.approx(part * whole.sides[side].stretch_mm)
        assert less.sides[side].exact_mm == whole.sides[side].exact_mm
    assert less.ratio == whole.ratio


@LAW
@given(wheels())
def test_no_spoke_wraps_past_the_tangent_to_its_flange(wheel: WheelSpec) -> None:
    vectors = spoke_vectors(wheel, lace(wheel))
    for side in SIDES:
        own = vectors.right if side == "right" else ~vectors.right
        if isinstance(wheel.hub[side], StraightPullSide):
            continue
        # at the hub hole the spoke never points back inside the hole circle
        outward = -(vectors.unit[own, 1:] * vectors.hub_mm[own, 1:]).sum(axis=1)
        assert (outward > -1e-6).all()


def _mirrored(wheel: WheelSpec) -> WheelSpec:
    """The wheel seen in a mirror that stands in its own middle plane."""
    return replace(
        wheel,
        rim=replace(wheel.rim, bed_offset_mm=-wheel.rim.bed_offset_mm),
        hub=replace(wheel.hub, left=wheel.hub.right, right=wheel.hub.left),
        spokes=Sides(wheel.spokes.right, wheel.spokes.left),
    )


def _solved_or_not(wheel: WheelSpec) -> Mechanics | None:
    """None where a spoke would pass the tangent; any other refusal is a failure."""
    try:
        return solve(wheel)
    except CannotLace as refused:
        if refused.slug != "past-tangent":
            raise
        return None


def _tensions(vectors: SpokeVectors, solved: Mechanics) -> np.ndarray:
    sides = solved.sides
    return np.where(vectors.right, sides.right.tension_n, sides.left.tension_n)


def _crossings_seen(rim: np.ndarray, hub: np.ndarray) -> list[int]:
    """For each spoke of one side, how many others its line cuts between rim and hub, in the plane."""

    def turns(a: np.ndarray, b: np.ndarray, c: np.ndarray) -> float:
        return float((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]))

    def cut(i: int, j: int) -> bool:
        one = turns(rim[i], hub[i], rim[j]) * turns(rim[i], hub[i], hub[j])
        two = turns(rim[j], hub[j], rim[i]) * turns(rim[j], hub[j], hub[i])
        return one < 0.0 and two < 0.0 and not isclose(one, 0.0, abs_tol=1e-6)

    places = range(len(rim))
    return [sum(cut(i, j) for j in places if j != i) for i in places]
