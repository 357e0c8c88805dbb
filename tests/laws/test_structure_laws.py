"""What must hold for the structure of any wheel, whatever its figures."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from buildsheet.wheel.spec import (
    FlangeSide,
    HubSpec,
    RimSpec,
    Sides,
    SpokeSection,
    SpokeSideSpec,
    WheelSpec,
)
from buildsheet.wheel.structure import Layout, Load, solve, solve_layout
from buildsheet.wheel.structure.arc import FREEDOMS, RimSection, U, V, W, arc_stiffness
from buildsheet.wheel.structure.assembly import assembled
from buildsheet.wheel.structure.response import Response

SEEDS = range(12)
A_WHEEL_AND_A_LOAD = pytest.mark.parametrize("seed", SEEDS)


def some_wheel(seed: int, *, tension: bool = True) -> WheelSpec:
    """Radial, crossed, dished, two to one, with offset beds and sections away from the spoke bed."""
    chance = np.random.default_rng(seed)
    counts = [(8, 8), (12, 12), (14, 14), (16, 16), (8, 16), (18, 18)]
    left, right = counts[seed % len(counts)]
    even = left == right
    crossings = int(chance.integers(0, left // 6 + 1)) if even else 1
    erd = float(chance.uniform(500.0, 610.0))

    def side(count: int) -> SpokeSideSpec:
        return SpokeSideSpec(count, crossings, (SpokeSection(chance.uniform(1.5, 3.2)),), 200.0)

    def flange() -> FlangeSide:
        return FlangeSide(chance.uniform(36.0, 58.0), chance.uniform(16.0, 38.0), 0.0)

    rim = RimSpec(
        holes=left + right,
        erd_mm=erd,
        bed_offset_mm=(0.0, 2.5, -3.0)[seed % 3],
        pair_shift_deg=float(seed % 2) if even else 0.0,
        section_radius_mm=erd / 2.0 + chance.uniform(0.0, 20.0),
        axial_stiffness_n=chance.uniform(5e6, 12e6),
        radial_bending_nm2=chance.uniform(100.0, 500.0),
        lateral_bending_nm2=chance.uniform(120.0, 500.0),
        torsion_nm2=chance.uniform(13.0, 115.0),
    )
    hub, spokes = HubSpec(flange(), flange()), Sides(side(left), side(right))
    return WheelSpec(rim, hub, spokes, chance.uniform(100.0, 500.0) if tension else None)


def some_load(seed: int, spec: WheelSpec) -> Load:
    """Anything, except what would wind up a wheel that nothing keeps from it."""
    chance = np.random.default_rng(1000 + seed)
    hole = int(chance.integers(1, spec.rim.holes + 1))
    radial, lateral, tangential = chance.uniform(-500.0, 500.0, 3)
    if not spec.tight_side_n:
        free_lateral, _, free_tangential = solve(spec).compliance.freely
        lateral, tangential = lateral * (not free_lateral), tangential * (not free_tangential)
    return Load(hole, radial, lateral, tangential)


def _all(response: Response) -> np.ndarray:
    return np.concatenate(
        [
            response.lateral_mm,
            response.radial_mm,
            response.tangential_mm,
            response.spoke_change_n / 1e3,
        ]
    )


@A_WHEEL_AND_A_LOAD
def test_mirrored_wheels_answer_mirrored(seed: int) -> None:
    spec = some_wheel(seed)
    load = some_load(seed, spec)
    layout = solve(spec).layout
    mirrored = replace(
        layout,
        direction=layout.direction * np.array([-1.0, 1.0, 1.0]),
        side_arm_mm=-layout.side_arm_mm,
    )
    here = solve(spec).under([load])
    there = solve_layout(mirrored).under([replace(load, lateral_n=-load.lateral_n)])
    size = np.abs(_all(here)).max(initial=1e-12)
    assert there.lateral_mm == pytest.approx(-here.lateral_mm, abs=1e-8 * size)
    assert there.radial_mm == pytest.approx(here.radial_mm, abs=1e-8 * size)
    assert there.tangential_mm == pytest.approx(here.tangential_mm, abs=1e-8 * size)
    assert there.spoke_change_n / 1e3 == pytest.approx(here.spoke_change_n / 1e3, abs=1e-8 * size)


@A_WHEEL_AND_A_LOAD
def test_swapping_left_and_right_changes_no_figure(seed: int) -> None:
    spec = some_wheel(seed)
    swapped = replace(
        spec,
        rim=replace(spec.rim, bed_offset_mm=-spec.rim.bed_offset_mm),
        hub=replace(spec.hub, left=spec.hub.right, right=spec.hub.left),
        spokes=Sides(spec.spokes.right, spec.spokes.left),
    )
    here, there = solve(spec).figures, solve(swapped).figures
    assert there.buckling_mode == here.buckling_mode
    for name in (
        "radial_stiffness_n_per_mm",
        "lateral_stiffness_n_per_mm",
        "torsional_stiffness_n_per_mm",
        "buckling_tension_n",
        "slack_load_n",
        "slack_side_load_n",
    ):
        assert getattr(there, name) == pytest.approx(getattr(here, name), rel=1e-7), name


@A_WHEEL_AND_A_LOAD
def test_a_load_one_period_on_moves_everything_one_period_on(seed: int) -> None:
    spec = some_wheel(seed)
    load = some_load(seed, spec)
    answer = solve(spec)
    period = answer.layout.period
    on = replace(load, at_hole=(load.at_hole - 1 + period) % answer.layout.count + 1)
    here, there = answer.under([load]), answer.under([on])
    size = np.abs(_all(here)).max(initial=1e-12)
    assert np.roll(here.lateral_mm, period) == pytest.approx(there.lateral_mm, abs=1e-9 * size)
    assert np.roll(here.radial_mm, period) == pytest.approx(there.radial_mm, abs=1e-9 * size)
    shifted = np.roll(here.spoke_change_n, period)
    assert shifted == pytest.approx(there.spoke_change_n, abs=1e-6 * size)


@A_WHEEL_AND_A_LOAD
def test_loads_add_up(seed: int) -> None:
    spec = some_wheel(seed)
    one = some_load(seed, spec)
    other = some_load(seed + 50, spec)
    answer = solve(spec)
    both = _all(answer.under([one, other]))
    apart = _all(answer.under([one])) + _all(answer.under([other]))
    assert both == pytest.approx(apart, abs=1e-10 * np.abs(both).max(initial=1e-12))


@A_WHEEL_AND_A_LOAD
def test_work_of_one_load_in_the_movement_of_another_is_mutual(seed: int) -> None:
    spec = some_wheel(seed)
    one = some_load(seed, spec)
    other = some_load(seed + 50, spec)

    answer = solve(spec)

    def work(load: Load, response: Response) -> float:
        at = load.at_hole - 1
        return float(
            -load.radial_n * response.radial_mm[at]
            + load.lateral_n * response.lateral_mm[at]
            + load.tangential_n * response.tangential_mm[at]
        )

    there, here = work(one, answer.under([other])), work(other, answer.under([one]))
    scale = work(one, answer.under([one])) + work(other, answer.under([other])) + 1e-12
    assert there == pytest.approx(here, abs=1e-9 * scale)


@A_WHEEL_AND_A_LOAD
def test_spokes_and_load_are_in_balance(seed: int) -> None:
    """Forces and moments about the axle's middle, to 1e-9 of the load (and of the load's lever)."""
    spec = some_wheel(seed, tension=False)
    load = some_load(seed, spec)
    answer = solve(spec)
    layout = answer.layout
    change = answer.under([load]).spoke_change_n
    angle = layout.rim_angle_rad
    axes = _axes(angle)
    pulls = np.einsum("i,ij,ijk->ik", change, layout.direction, axes)
    attach = axes[:, 1] * (layout.section.radius_mm - layout.arm_mm)
    attach = attach + axes[:, 0] * layout.side_arm_mm
    force = np.array([load.lateral_n, -load.radial_n, load.tangential_n]) @ axes[load.at_hole - 1]
    at = axes[load.at_hole - 1, 1] * layout.section.radius_mm
    size = float(np.abs(force).max()) + 1e-9
    assert np.abs(pulls.sum(axis=0) + force).max() <= 1e-9 * size
    moments = np.cross(attach, pulls).sum(axis=0) + np.cross(at, force)
    assert np.abs(moments).max() <= 1e-9 * size * layout.section.radius_mm


@A_WHEEL_AND_A_LOAD
def test_a_tensioned_wheel_is_in_balance_too(seed: int) -> None:
    """Spokes pull along their line by their change of tension and across it like strings; on a rim whose
    section lies on the spoke bed the ends' movement is the section's, so both can be summed."""
    spec = some_wheel(seed)
    load = some_load(seed, spec)
    rim = replace(spec.rim, section_radius_mm=spec.rim.erd_mm / 2.0, bed_offset_mm=0.0)
    answer = solve(replace(spec, rim=rim))
    layout = answer.layout
    response = answer.under([load])
    moved = np.column_stack([response.lateral_mm, response.radial_mm, response.tangential_mm])
    along = (moved * layout.direction).sum(axis=1)
    across = moved - along[:, None] * layout.direction
    pulls = response.spoke_change_n[:, None] * layout.direction
    pulls = pulls - (layout.tension_n / layout.length_mm)[:, None] * across
    axes = _axes(layout.rim_angle_rad)
    force = np.array([load.lateral_n, -load.radial_n, load.tangential_n]) @ axes[load.at_hole - 1]
    total = np.einsum("ij,ijk->k", pulls, axes) + force
    assert np.abs(total).max() <= 1e-9 * (np.abs(force).max() + 1e-9)


@A_WHEEL_AND_A_LOAD
def test_the_work_of_the_load_is_the_energy_of_rim_and_spokes(seed: int) -> None:
    """Half force times movement against the energy summed over section forces of every arc, from
    equilibrium inside it, and over every spoke."""
    spec = some_wheel(seed, tension=False)
    load = some_load(seed, spec)
    answer = solve(spec)
    layout = answer.layout
    nodal = _dense_movement(layout, load)
    response = answer.under([load])
    at = load.at_hole - 1
    assert nodal[:, U] == pytest.approx(response.lateral_mm, abs=1e-8 * np.abs(nodal).max())
    work = 0.5 * (
        load.lateral_n * response.lateral_mm[at]
        - load.radial_n * response.radial_mm[at]
        + load.tangential_n * response.tangential_mm[at]
    )
    spokes = 0.5 * (response.spoke_change_n**2 / layout.stiffness_n_per_mm).sum()
    rim = sum(
        _energy_of_arc(layout.section, float(arc), nodal[hole], nodal[(hole + 1) % layout.count])
        for hole, arc in enumerate(layout.arc_rad)
    )
    assert spokes + rim == pytest.approx(work, rel=1e-7, abs=1e-12)


@A_WHEEL_AND_A_LOAD
def test_the_slack_load_slackens_one_spoke_and_no_other(seed: int) -> None:
    spec = some_wheel(seed)
    answer = solve(spec)
    slack = answer.slack
    load = Load(slack.at_hole, radial_n=slack.load_n)
    left = answer.tension_n + answer.under([load]).spoke_change_n
    assert left[slack.spoke - 1] == pytest.approx(0.0, abs=1e-6)
    assert left.min() > -1e-6


@A_WHEEL_AND_A_LOAD
def test_turning_every_nipple_by_what_a_shape_needs_gives_that_shape(seed: int) -> None:
    """Maxwell for nipples: tension a spoke gains from another's turn, per its own stiffness, is mutual;
    and pulls of turned spokes are in balance with no load."""
    spec = some_wheel(seed)
    answer = solve(replace(spec, tight_side_n=None))
    layout, turned = answer.layout, answer.influence()
    per_stiffness = turned.tension_n / layout.stiffness_n_per_mm[None, :]
    per_stiffness = per_stiffness / layout.stiffness_n_per_mm[:, None]
    assert per_stiffness == pytest.approx(per_stiffness.T, abs=1e-9 * np.abs(per_stiffness).max())
    pulls = np.einsum(
        "ic,ij,ijk->ck", turned.tension_n, layout.direction, _axes(layout.rim_angle_rad)
    )
    assert np.abs(pulls).max() < 1e-8 * np.abs(turned.tension_n).max()


@A_WHEEL_AND_A_LOAD
def test_at_the_buckling_tension_nothing_is_left_sideways(seed: int) -> None:
    spec = some_wheel(seed)
    limit = solve(spec).figures.buckling_tension_n
    now = solve(spec).figures.lateral_stiffness_n_per_mm
    almost = solve_layout(solve(spec).layout.tensioned(limit * (1.0 - 1e-4)))
    assert 0.0 < almost.figures.lateral_stiffness_n_per_mm < 0.01 * now


def _axes(angle: np.ndarray) -> np.ndarray:
    """(N, 3, 3): rows lateral, radial and tangential unit vectors of each hole, in the wheel's axes."""
    zero, one = np.zeros_like(angle), np.ones_like(angle)
    sine, cosine = np.sin(angle), np.cos(angle)
    rows = [[one, zero, zero], [zero, cosine, sine], [zero, -sine, cosine]]
    return np.array([[np.asarray(each) for each in row] for row in rows]).transpose(2, 0, 1)


def _dense_movement(layout: Layout, load: Load) -> np.ndarray:
    """The same wheel as one full matrix, solved without any use of its period: (N, 6)."""
    wheel = assembled(layout)
    cyclic, groups = wheel.elastic, wheel.elastic.groups
    size = wheel.period * FREEDOMS
    whole = np.zeros((groups * size, groups * size))
    for group in range(groups):
        here = slice(group * size, (group + 1) * size)
        onward = (group + 1) % groups
        there = slice(onward * size, (onward + 1) * size)
        whole[here, here] += cyclic.within
        whole[here, there] += cyclic.onward
        whole[there, here] += cyclic.onward.T
    if cyclic.hold is not None:
        whole += np.tile(cyclic.hold, (groups, groups)) / groups
    forces = np.zeros((layout.count, FREEDOMS))
    forces[load.at_hole - 1, [U, V, W]] = load.lateral_n, -load.radial_n, load.tangential_n
    return np.linalg.solve(whole, forces.ravel()).reshape(-1, FREEDOMS)


def _energy_of_arc(section: RimSection, arc: float, start: np.ndarray, end: np.ndarray) -> float:
    """Energy of one arc from its end forces, by Simpson's rule on the section forces inside it."""
    tip = (arc_stiffness(section, np.array([arc]))[0] @ np.concatenate([start, end]))[FREEDOMS:]
    points = np.linspace(0.0, arc, 33)
    lateral, radial, tangential, about_x, about_r, about_t = tip
    back = arc - points  # the section lies this far before the end; forces in the end's own frame
    reach_r, reach_t = section.radius_mm * (1.0 - np.cos(back)), section.radius_mm * np.sin(back)
    sine, cosine = np.sin(back), np.cos(back)
    axial = cosine * tangential + sine * radial
    in_plane = about_x + reach_r * tangential - reach_t * radial
    out_r, out_t = about_r + reach_t * lateral, about_t - reach_r * lateral
    bend, twist = cosine * out_r - sine * out_t, cosine * out_t + sine * out_r
    density = (
        axial**2 / section.axial_n
        + in_plane**2 / section.radial_bending_nmm2
        + bend**2 / section.lateral_bending_nmm2
        + twist**2 / section.torsion_nmm2
    )
    weights = np.tile([2.0, 4.0], 17)[:33]
    weights[[0, -1]] = 1.0
    step = arc / 32 * section.radius_mm
    return float(0.5 * (density * weights).sum() * step / 3.0)
