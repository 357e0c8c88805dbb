"""Every wheel of the demo finds a drilling program that its spokes follow.

Invented data: the programs were derived from the demo's own geometry; this holds the two together.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from math import acos, cos, degrees, radians, sin

import pytest

from buildsheet.catalog.parts import DrillingProgram, Hub, Rim
from buildsheet.orders.check import check
from buildsheet.plan.assembly import Assembly, wheel_spec
from buildsheet.plan.programs import drilling_plan, hole_axis, serving
from buildsheet.wheel import mechanics
from buildsheet.wheel.spec import HoleAngle, Mechanics, Sides
from tests.catalog.demo_texts import demo_edition
from tests.workshops import EXAMPLES

EDITION = demo_edition()

AIM_DEG = 1.5
"""Half of what the house allows: room for a rim that measures a little otherwise than it should."""

Group = tuple[str, int, str, str]


def wheels() -> Iterator[Assembly]:
    """Every geometry of the demo once: spokes of another section change no direction."""
    for rim in EDITION.rims.values():
        for hub in EDITION.hubs.values():
            for holes in rim.holes:
                if rim.brake == hub.brake and holes in hub.holes:
                    yield from with_nipples(rim, hub, holes)


def with_nipples(rim: Rim, hub: Hub, holes: int) -> Iterator[Assembly]:
    spoke = EDITION.spokes["SSB9" if hub.left_seats else "SJ18"]
    for nipple in EDITION.nipples.values():
        fits = nipple.kind in rim.drillings and (nipple.bed_max_mm or 0.0) >= rim.bed_mm
        if not fits or rim.code in nipple.excluded_rims:
            continue
        for washer in (None, *EDITION.washers.values()):
            for crossings in patterns(hub, holes):
                yield Assembly(
                    position=hub.position,
                    rim=rim,
                    holes=holes,
                    hub=hub,
                    spokes=Sides(spoke, spoke),
                    crossings=crossings,
                    nipple=nipple,
                    nipple_colour=nipple.colours[0],
                    washer=washer,
                )


def patterns(hub: Hub, holes: int) -> Iterator[Sides[int] | None]:
    """Crossed patterns below a right angle, side by side in every mixture, and released radial ones."""
    if hub.left_seats:
        yield None
        return
    laced = [count for count in hub.crossings if 360.0 * count / (holes / 2.0) < 90.0]
    yield from (Sides(left, right) for left in laced for right in laced)
    if holes in hub.radial_holes:
        yield Sides(0, 0)


@cache
def misalignments() -> dict[Group, float]:
    """The worst spoke of each group of wheels, in degrees off the axis of its hole."""
    worst: dict[Group, float] = {}
    for wheel in wheels():
        group = (wheel.rim.code, wheel.holes, wheel.position, wheel.drilling)
        programs = serving(wheel, EDITION.programs.values())
        plan = drilling_plan(
            wheel.drilling, mechanics.solve(wheel_spec(wheel, "out", 1000.0)), programs
        )
        off_deg = plan.largest_misalignment_deg
        assert off_deg is not None, f"no program for {group}"
        worst[group] = max(off_deg, worst.get(group, 0.0))
    return worst


def test_the_demo_has_31_groups_of_drillings_and_33_programs() -> None:
    # invented data: computed beforehand, by another program, for spokes within 1.5 degrees
    assert len(misalignments()) == 31
    assert len(EDITION.programs) == 33


@pytest.mark.parametrize("group", misalignments(), ids=lambda group: "-".join(map(str, group)))
def test_every_spoke_of_the_group_follows_its_hole(group: Group) -> None:
    assert misalignments()[group] <= AIM_DEG < EDITION.house.lacing.hole_axis_deg


def test_no_program_is_for_a_wheel_that_nobody_builds() -> None:
    groups = set(misalignments())
    for program in EDITION.programs.values():
        assert (program.rim, program.holes, program.position, program.drilling) in groups


def test_radial_spokes_find_holes_that_do_not_lean_along_the_rim() -> None:
    radial = {code for code, each in EDITION.programs.items() if each.in_plane_deg == 0.0}
    assert radial == {"OR38R-20F-R", "OR38R-24F-R"}


def radial_front(drop: str) -> tuple[Mechanics, tuple[DrillingProgram, ...]]:
    """The demo's radial front wheel, and the programs for it without one of them."""
    wheel = next(
        each
        for each in wheels()
        if (each.rim.code, each.holes, each.position) == ("OR38R", 20, "front")
        and each.crossings == Sides(0, 0)
    )
    left = [each for each in EDITION.programs.values() if each.code != drop]
    return mechanics.solve(wheel_spec(wheel, "out", 1000.0)), serving(wheel, left)


def test_a_radial_wheel_without_its_own_program_shows_how_far_the_leaning_holes_are_off() -> None:
    solved, programs = radial_front("OR38R-20F-R")
    plan = drilling_plan("external", solved, programs)
    assert plan.program == "OR38R-20F-X"
    (program,) = programs
    # The angle between two directions that lean across by a and b, and along the rim by 0 and c.
    across = radians(abs(solved.drilling[0].lateral_deg))
    drilled, along = radians(program.left_lateral_deg), radians(program.in_plane_deg)
    off_deg = degrees(acos(sin(across) * sin(drilled) + cos(across) * cos(drilled) * cos(along)))
    assert plan.largest_misalignment_deg == pytest.approx(off_deg, abs=1e-6)
    assert off_deg > EDITION.house.lacing.hole_axis_deg
    with_its_own = drilling_plan("external", *radial_front(""))
    assert with_its_own.program == "OR38R-20F-R"
    assert with_its_own.largest_misalignment_deg is not None
    assert with_its_own.largest_misalignment_deg < AIM_DEG


def test_an_order_for_it_needs_a_name_then() -> None:
    order = (EXAMPLES / "D-1007.json").read_bytes()
    left = {code: each for code, each in EDITION.programs.items() if code != "OR38R-20F-R"}
    said = check(order, replace(EDITION, programs=left)).findings
    found = [each for each in said if each.code == "lacing.hole-axis"]
    assert [(each.severity, each.at) for each in found] == [("approval", "/front/crossings")]
    assert not [each for each in check(order, EDITION).findings if each.code == "lacing.hole-axis"]


@pytest.mark.parametrize("in_plane_deg", [-2.0, 0.0, 2.0])
@pytest.mark.parametrize("lean_deg", [-3.0, 3.0])
def test_a_radial_spokes_hole_leans_the_way_that_is_farther(
    in_plane_deg: float, lean_deg: float
) -> None:
    solved, (program, *_) = radial_front("")
    leaning = program.model_copy(update={"in_plane_deg": lean_deg})
    spoke = solved.lacing.spokes[0]
    leaves = HoleAngle(spoke.hole, spoke.side, 7.0, in_plane_deg)
    axis = hole_axis(leaning, spoke, leaves)
    assert abs(axis.in_plane_deg) == 3.0
    assert abs(axis.in_plane_deg - in_plane_deg) == 3.0 + abs(in_plane_deg)
