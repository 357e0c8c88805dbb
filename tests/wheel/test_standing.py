"""Whether a wheel stands is said as by solving all of it, sooner where a softer one stands."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from buildsheet.errors import CannotCompute
from buildsheet.wheel import structure
from buildsheet.wheel.length import axial_stiffness_n
from buildsheet.wheel.spec import (
    FlangeSide,
    HubSpec,
    RimSpec,
    Sides,
    SpokeSection,
    SpokeSideSpec,
    WheelSpec,
)
from buildsheet.wheel.structure import Softer, stands


def a_wheel(
    *,
    holes: int = 24,
    left_from_centre_mm: float = 35.0,
    crossings: int = 2,
    left_area_mm2: float = 2.0,
    right_area_mm2: float = 2.0,
    lateral_bending_nm2: float = 180.0,
    radial_bending_nm2: float = 150.0,
    tight_side_n: float = 1100.0,
) -> WheelSpec:
    """An invented wheel."""

    def side(area_mm2: float) -> SpokeSideSpec:
        return SpokeSideSpec(holes // 2, crossings, (SpokeSection(area_mm2),), 200.0)

    return WheelSpec(
        rim=RimSpec(
            holes=holes,
            erd_mm=580.0,
            section_radius_mm=300.0,
            axial_stiffness_n=5e6,
            radial_bending_nm2=radial_bending_nm2,
            lateral_bending_nm2=lateral_bending_nm2,
            torsion_nm2=90.0,
        ),
        hub=HubSpec(
            left=FlangeSide(44.0, left_from_centre_mm, 2.6), right=FlangeSide(50.0, 20.0, 2.6)
        ),
        spokes=Sides(side(left_area_mm2), side(right_area_mm2)),
        tight_side_n=tight_side_n,
    )


def is_solved(spec: WheelSpec) -> bool:
    try:
        structure.solve(spec)
    except CannotCompute:
        return False
    return True


wheels = st.builds(
    a_wheel,
    holes=st.sampled_from((20, 24, 32)),
    left_from_centre_mm=st.floats(15.0, 45.0),
    crossings=st.sampled_from((0, 1, 2)),
    left_area_mm2=st.floats(0.7, 3.2),
    right_area_mm2=st.floats(0.7, 3.2),
    lateral_bending_nm2=st.floats(20.0, 300.0),
    radial_bending_nm2=st.floats(20.0, 300.0),
    tight_side_n=st.floats(300.0, 9000.0),
)


@settings(max_examples=80)
@given(wheels)
def test_a_wheel_stands_where_its_structure_has_an_answer(spec: WheelSpec):
    assert stands(spec) == is_solved(spec)


@settings(max_examples=80)
@given(wheels, st.floats(0.3, 1.0), st.floats(1.0, 2.0))
def test_asking_a_softer_and_tighter_wheel_first_changes_no_answer(
    spec: WheelSpec, soft_share: float, tight_share: float
):
    axial_n = min(axial_stiffness_n(each) for each in (spec.spokes.left, spec.spokes.right))
    tight_n = spec.tight_side_n or 0.0
    assert stands(spec, Softer(axial_n * soft_share, tight_n * tight_share)) == is_solved(spec)


@pytest.mark.parametrize("share", [1.01, 3.0])
def test_a_wheel_that_is_softer_than_the_softest_is_asked_by_itself(share: float):
    weak = a_wheel(lateral_bending_nm2=25.0, radial_bending_nm2=25.0, tight_side_n=9000.0)
    assert not is_solved(weak)
    stiffer = Softer(axial_stiffness_n(weak.spokes.left) * share, 1.0)
    assert not stands(weak, stiffer)


def test_the_law_that_stiffer_spokes_and_less_tension_never_make_a_wheel_fall():
    steps = [(area, tight) for area in (0.7, 1.2, 2.0, 3.0) for tight in (1500.0, 4000.0, 8000.0)]
    wheel = {
        step: stands(
            a_wheel(
                left_area_mm2=step[0],
                right_area_mm2=step[0],
                lateral_bending_nm2=60.0,
                tight_side_n=step[1],
            )
        )
        for step in steps
    }
    assert {True, False} == set(wheel.values())
    for one in steps:
        for other in steps:
            if one[0] <= other[0] and one[1] >= other[1] and wheel[one]:
                assert wheel[other]


def test_the_softer_wheel_is_one_for_all_spokes_that_are_laced_alike():
    thick, thin = a_wheel(left_area_mm2=3.0), a_wheel(left_area_mm2=1.5)
    wide = replace(
        thick, spokes=Sides(replace(thick.spokes.left, width_mm=3.0), thick.spokes.right)
    )
    softer = Softer(200e3, 1300.0)
    structure.standing._stands.cache_clear()
    assert all(stands(each, softer) for each in (thick, thin, wide))
    assert structure.standing._stands.cache_info().misses == 1
