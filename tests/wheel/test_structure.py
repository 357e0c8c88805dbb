"""The structure's own manners: what it takes, what it refuses, what it hands back."""

from __future__ import annotations

from dataclasses import FrozenInstanceError, replace

import numpy as np
import pytest

from buildsheet.errors import CannotCompute
from buildsheet.wheel import structure
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
from buildsheet.wheel.structure import BucklesFirst, Load
from buildsheet.wheel.structure.arc import FREEDOMS, RimSection, arc_stiffness

SECTION = RimSection(300.0, 7e6, 200e6, 250e6, 60e6)


def _rear(tight_side_n: float | None = 1100.0, crossings: int = 3) -> WheelSpec:
    side = SpokeSideSpec(14, crossings, (SpokeSection(1.7),), 195.0)
    hub = HubSpec(FlangeSide(48.0, 33.5, 2.6), FlangeSide(52.0, 18.5, 2.6))
    rim = RimSpec(28, 576.8, 0.0, 0.0, 298.0, 7.5e6, 280.0, 340.0, 90.0)
    return WheelSpec(rim, hub, Sides(side, side), tight_side_n)


def test_two_arcs_in_a_row_are_one_longer_arc() -> None:
    whole, first, second = arc_stiffness(SECTION, np.array([0.3, 0.1, 0.2]))
    joined = np.zeros((3 * FREEDOMS, 3 * FREEDOMS))
    joined[:12, :12] += first
    joined[6:, 6:] += second
    ends, middle = np.r_[0:6, 12:18], np.r_[6:12]
    across = joined[np.ix_(ends, middle)]
    condensed = joined[np.ix_(ends, ends)] - across @ np.linalg.solve(
        joined[np.ix_(middle, middle)], across.T
    )
    assert condensed == pytest.approx(whole, abs=1e-9 * np.abs(whole).max())


def test_an_arc_moved_as_a_rigid_body_needs_no_force() -> None:
    arc = 0.4
    stiffness = arc_stiffness(SECTION, np.array([arc]))[0]
    radius, sine, cosine = SECTION.radius_mm, np.sin(arc), np.cos(arc)
    shift = np.array([0, 1, 0, 0, 0, 0, 0, cosine, -sine, 0, 0, 0])
    tilt = np.array([0, 0, 0, 0, 1, 0, radius * sine, 0, 0, 0, cosine, -sine])
    turn = np.array([0, 0, radius, 1, 0, 0, 0, 0, radius, 1, 0, 0])
    for motion in (shift, tilt, turn):
        assert np.abs(stiffness @ motion).max() < 1e-9 * np.abs(stiffness).max() * radius


def test_the_pattern_repeats_after_two_holes_radial_and_four_crossed() -> None:
    assert structure.solve(_rear()).layout.period == 4
    assert structure.solve(_rear(crossings=0)).layout.period == 2


def test_a_wheel_that_never_repeats_gives_the_same_as_one_that_does() -> None:
    layout = structure.solve(_rear()).layout
    odd = replace(layout, axial_n=layout.axial_n * np.r_[1.0 + 3e-9, np.ones(27)])
    assert odd.period == 28
    load = [Load(5, radial_n=400.0, lateral_n=80.0, tangential_n=30.0)]
    even_answer, odd_answer = structure.solve_layout(layout), structure.solve_layout(odd)
    even, uneven = even_answer.under(load), odd_answer.under(load)
    assert uneven.spoke_change_n == pytest.approx(even.spoke_change_n, abs=1e-4)
    assert uneven.lateral_mm == pytest.approx(even.lateral_mm, abs=1e-6)
    assert odd_answer.figures.buckling_mode == even_answer.figures.buckling_mode
    assert odd_answer.figures.buckling_tension_n == pytest.approx(
        even_answer.figures.buckling_tension_n, rel=1e-6
    )


def test_the_figures_are_those_of_the_softest_hole() -> None:
    answer = structure.solve(_rear())
    softest = answer.stiffness_by_hole_n_per_mm.min(axis=0)
    assert answer.figures.lateral_stiffness_n_per_mm == softest[0]
    assert answer.figures.radial_stiffness_n_per_mm == softest[1]
    assert answer.figures.torsional_stiffness_n_per_mm == softest[2]
    for hole in (1, 7, 28):
        moved = answer.under([Load(hole, lateral_n=10.0)]).lateral_mm[hole - 1]
        assert 10.0 / moved == pytest.approx(answer.stiffness_by_hole_n_per_mm[hole - 1, 0])


def test_an_inward_load_moves_its_hole_inward_and_takes_tension_there() -> None:
    response = structure.solve(_rear()).under([Load(9, radial_n=500.0)])
    assert response.radial_mm[8] < 0.0
    assert response.spoke_change_n[8] < 0.0


def test_a_load_to_the_right_moves_right_and_loads_the_left_spokes() -> None:
    response = structure.solve(_rear()).under([Load(9, lateral_n=100.0)])
    assert response.lateral_mm[8] > 0.0
    assert response.spoke_change_n[8] < 0.0  # hole 9 is a right one
    assert response.spoke_change_n[9] > 0.0


def test_pedalling_tightens_trailing_spokes() -> None:
    """The hub turns clockwise in the rim, so the rim is held back: a push against clockwise."""
    from buildsheet.wheel.lacing import lace

    lacing = lace(_rear())
    push = [Load(hole, tangential_n=-20.0) for hole in range(1, 29)]
    change = structure.solve(_rear()).under(push).spoke_change_n
    for spoke in lacing.spokes:
        assert (change[spoke.hole - 1] > 0.0) == (spoke.run == "trailing")


def test_a_tightened_nipple_pulls_its_side_and_slackens_its_neighbours() -> None:
    turned = structure.solve(_rear()).influence()
    assert np.all(np.diag(turned.tension_n) > 0.0)
    assert turned.tension_n[1, 0] < 0.0
    assert turned.lateral_mm[0, 0] > 0.0 > turned.lateral_mm[1, 1]
    assert np.all(np.diag(turned.radial_mm) < 0.0)


def test_a_tyre_s_squeeze_takes_tension_on_both_sides() -> None:
    answer = structure.solve(_rear())
    left = answer.left_at_inflation_n(1.0)
    assert np.all(left < answer.tension_n)
    again = answer.left_under_hoop_force_n(298.0)
    assert again == pytest.approx(left)


def test_a_wheel_without_tension_has_no_slack_load_but_a_buckling_tension() -> None:
    bare, tight = structure.solve(_rear(None)).figures, structure.solve(_rear()).figures
    assert bare.slack_load_n == bare.slack_side_load_n == 0.0
    assert bare.buckling_tension_n == pytest.approx(tight.buckling_tension_n, rel=1e-9)
    assert bare.lateral_stiffness_n_per_mm > tight.lateral_stiffness_n_per_mm


def test_planned_tension_above_buckling_is_refused_with_both_figures() -> None:
    limit = structure.solve(_rear()).figures.buckling_tension_n
    with pytest.raises(BucklesFirst, match="leaves its plane in 2 waves") as refusal:
        structure.solve(_rear(limit * 1.4))
    assert refusal.value.limit.tension_n == pytest.approx(limit, rel=1e-9)
    assert refusal.value.mean_tension_n > limit


def test_a_rim_that_folds_in_its_own_plane_first_is_refused_too() -> None:
    # a rim fifty times too weak in its plane folds between its spokes while it still stands sideways
    wheel = _rear()
    strong, weak = (
        replace(
            wheel.rim, radial_bending_nm2=bending, lateral_bending_nm2=1600.0, torsion_nm2=240.0
        )
        for bending in (280.0, 2.0)
    )
    assert structure.solve(replace(wheel, rim=strong)).figures.slack_load_n > 0.0
    with pytest.raises(CannotCompute, match="folds in its own plane") as caught:
        structure.solve(replace(wheel, rim=weak))
    assert not isinstance(caught.value, BucklesFirst)


def test_a_rim_without_structural_figures_has_no_structure() -> None:
    spec = _rear()
    bare = replace(spec, rim=replace(spec.rim, torsion_nm2=None))
    assert structure.figures(bare) is None
    with pytest.raises(CannotCompute, match="torsion_nm2 missing"):
        structure.solve(bare)


def test_radial_spokes_without_tension_do_not_carry_a_wind_up() -> None:
    answer = structure.solve(_rear(None, crossings=0))
    assert answer.figures.torsional_stiffness_n_per_mm == 0.0
    with pytest.raises(CannotCompute, match="keep the rim from turning"):
        answer.under([Load(1, tangential_n=1.0)])
    assert structure.solve(_rear(1000.0, crossings=0)).figures.torsional_stiffness_n_per_mm > 0.0


def test_tension_alone_holds_radial_spokes_against_wind_up() -> None:
    """Turned by a small angle, n spokes of tension T from circle r to R pull back with n T r R / l."""
    spec = _rear(1000.0, crossings=0)
    hub = FlangeSide(50.0, 25.0, 0.0)
    rim = replace(spec.rim, section_radius_mm=288.4)
    answer = structure.solve(replace(spec, hub=HubSpec(hub, hub), rim=rim))
    push = [Load(hole, tangential_n=1.0) for hole in range(1, 29)]
    turned = answer.under(push).tangential_mm / 288.4
    length = answer.layout.length_mm[0]
    torque = 28 * 288.4
    # 0.01 %: the inward pull is T cos(bracing angle), and so is the pull of the hub's circle
    assert torque / turned[0] == pytest.approx(28 * 1000.0 * 25.0 * 288.4 / length, rel=1e-4)


def test_holes_that_are_not_there_are_refused() -> None:
    answer = structure.solve(_rear())
    for hole in (0, 29):
        with pytest.raises(CannotCompute, match="not one of the rim's 28"):
            answer.under([Load(hole, radial_n=1.0)])


def test_answers_are_kept_and_cannot_be_changed() -> None:
    answer = structure.solve(_rear())
    assert structure.solve(_rear()) is answer
    response = answer.under([Load(1, radial_n=1.0)])
    with pytest.raises(ValueError, match="read-only"):
        response.lateral_mm[0] = 1.0
    with pytest.raises(FrozenInstanceError):
        answer.figures.slack_load_n = 1.0  # type: ignore[misc]


def test_straight_pull_wheels_are_solved_too() -> None:
    spec = _rear()
    side = replace(spec.spokes.left, count=12, crossings=None)
    hub = HubSpec(StraightPullSide(22.5, 9.5, 34.5), StraightPullSide(24.0, 10.0, 18.0))
    wheel = replace(spec, hub=hub, spokes=Sides(side, side), rim=replace(spec.rim, holes=24))
    figures = structure.figures(wheel)
    assert figures is not None
    assert 1000.0 < figures.radial_stiffness_n_per_mm < 8000.0
