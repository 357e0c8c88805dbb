"""Every wheel of the demo finds a drilling program that its spokes follow.

Invented data: the programs were derived from the demo's own geometry; this holds the two together.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache

import pytest

from buildsheet.catalog.parts import Hub, Rim
from buildsheet.plan.assembly import Assembly, wheel_spec
from buildsheet.plan.programs import drilling_plan, serving
from buildsheet.wheel import mechanics
from buildsheet.wheel.spec import Sides
from tests.catalog.demo_texts import demo_edition

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
