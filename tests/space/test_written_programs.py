"""Programs as they are written down keep what is promised of them, by the reading that orders are
checked by."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import pytest

from buildsheet.plan.programs import worst_misalignment
from buildsheet.space.drilling.needs import _drilled_wheels
from buildsheet.space.drilling.written import Axes, best, spokes_of, written
from buildsheet.wheel import mechanics
from buildsheet.wheel.programs import fewest_programs
from buildsheet.wheel.spec import FlangeSide, HubSpec, Mechanics, Sides
from tests.stand.wheels import demo_edition, demo_task

SPEC = demo_task("D-1001", "front").spec


def wheel(crossings: tuple[int, int], left_mm: float, right_mm: float) -> Mechanics:
    sides = zip((SPEC.hub.left, SPEC.hub.right), (left_mm, right_mm), strict=True)
    left, right = (
        replace(each, from_centre_mm=mm) for each, mm in sides if isinstance(each, FlangeSide)
    )
    spokes = Sides(
        replace(SPEC.spokes.left, crossings=crossings[0]),
        replace(SPEC.spokes.right, crossings=crossings[1]),
    )
    return mechanics.solve(replace(SPEC, hub=HubSpec(left, right), spokes=spokes))


WHEELS = {
    f"{crossings} {left_mm} {right_mm}": wheel(crossings, left_mm, right_mm)
    for crossings, (left_mm, right_mm) in product(
        [(2, 2), (0, 0), (2, 0), (1, 2)], [(22.0, 34.0), (27.0, 30.0), (33.0, 21.0)]
    )
}
BUILDS = dict.fromkeys(WHEELS, 1)


def off_deg(axes: Axes, of: Mechanics) -> float:
    leans = {
        "left_lateral_deg": axes.left_lateral_deg,
        "right_lateral_deg": axes.right_lateral_deg,
        "in_plane_deg": axes.in_plane_deg,
    }
    program = next(iter(demo_edition().programs.values())).model_copy(update=leans)
    return worst_misalignment(program, of)[0]


@pytest.mark.parametrize("within_deg", [0.5, 1.0, 1.5, 3.0])
def test_every_wheel_has_a_program_that_keeps_what_it_promises(within_deg: float):
    plan = fewest_programs(_drilled_wheels(WHEELS), within_deg)
    programs = written(plan, WHEELS, BUILDS, within_deg).programs
    assert sum(each.serves for each in programs) == len(WHEELS)
    for of in WHEELS.values():
        own_deg = best([spokes_of(of)])[3]
        kept = [off_deg(each, of) for each in programs]
        assert min(kept) <= max(within_deg, own_deg) + 1e-3
        assert any(off <= each.worst_deg + 1e-6 for off, each in zip(kept, programs, strict=True))


def test_no_other_leans_keep_the_worst_spoke_nearer():
    chosen = [*WHEELS.values()]
    left, right, along, worst_deg = best([spokes_of(each) for each in chosen])
    assert max(off_deg(Axes(left, right, along, 0, 0.0), each) for each in chosen) == (
        pytest.approx(worst_deg, abs=1e-5)
    )
    for step_deg in product((-0.3, -0.02, 0.0, 0.02, 0.3), repeat=3):
        other = Axes(left + step_deg[0], right + step_deg[1], along + step_deg[2], 0, 0.0)
        assert max(off_deg(other, each) for each in chosen) >= worst_deg - 1e-4


def test_a_wheel_whose_sides_ask_too_different_things_is_not_said_to_be_served():
    crossed = {name: each for name, each in WHEELS.items() if name.startswith("(1, 2)")}
    plan = fewest_programs(_drilled_wheels(crossed), 0.1)
    programs = written(plan, crossed, dict.fromkeys(crossed, 1), 0.1).programs
    assert all(each.worst_deg > 0.1 for each in programs)


def test_what_had_to_be_split_is_not_proved_the_fewest():
    plan = fewest_programs(_drilled_wheels(WHEELS), 1.0)
    made = written(plan, WHEELS, BUILDS, 1.0)
    assert len(made.programs) >= len(plan.programs)
    assert made.fewest == (plan.fewest and len(made.programs) == len(plan.programs))
