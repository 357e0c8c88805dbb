"""Which programs of the rim drill the buildable wheels need, which of them exist, and the fewest."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import inf
from typing import Final

from buildsheet.catalog.edition import Edition
from buildsheet.catalog.parts import DrillingProgram
from buildsheet.plan.build import compute
from buildsheet.space.builds import Builds, WheelBuild, builds_of
from buildsheet.space.drilling.kinds import Drilling, of_build
from buildsheet.space.drilling.undrilled import undrilled
from buildsheet.space.drilling.written import Axes, Written, written
from buildsheet.space.wheels import assembled, passing
from buildsheet.wheel.programs import DrilledWheel, fewest_programs
from buildsheet.wheel.spec import HoleAngle, Mechanics

_DIGITS: Final = 9
"""Angles in degrees that agree so far are one."""


@dataclass(frozen=True, slots=True)
class DrillingNeed:
    """What one kind of drilled rim needs.

    ``taken`` are the programs that its builds use, ``unused`` those made for it that none uses.
    ``builds`` are buildable today; ``unserved`` find no program within the tolerance, or could be built
    if only there were one; ``missing`` are the fewest programs that would serve these. ``fewest`` is the
    least number for all its builds, where it was asked for; ``proved`` whether these numbers are certain.
    """

    of: Drilling
    builds: int
    taken: tuple[str, ...]
    unused: tuple[str, ...]
    unserved: int
    missing: tuple[Axes, ...]
    fewest: int | None
    proved: bool


def drilling_needs(
    edition: Edition, tolerance_deg: float | None = None, *, fewest: bool = False
) -> tuple[DrillingNeed, ...]:
    """Every kind of drilled rim that some buildable wheel needs, sorted; and those that only programs
    are made for. ``tolerance_deg``: between a spoke and its hole's axis; None takes the house's.
    ``fewest`` also looks for the least number of programs, which takes a second or two."""
    within_deg = edition.house.lacing.hole_axis_deg if tolerance_deg is None else tolerance_deg
    groups: dict[Drilling, list[tuple[WheelBuild, str, float]]] = {}
    builds = builds_of(edition)
    for position, passes in passing(builds).items():
        for place in passes.nonzero()[0]:
            row = int(place)
            groups.setdefault(of_build(builds[position], row), []).append(
                _drilled(builds[position], row)
            )
    for of, lacking in undrilled(edition, frozenset(groups)).items():
        groups[of] = [(build, "", inf) for build in lacking]
    made: dict[Drilling, list[DrillingProgram]] = {}
    for program in edition.programs.values():
        if program.state == "active":
            made.setdefault(_of_program(program), []).append(program)
    return tuple(
        _need(each, groups.get(each, []), made.get(each, []), edition, within_deg, fewest)
        for each in sorted({*groups, *made})
    )


def _drilled(builds: Builds, row: int) -> tuple[WheelBuild, str, float]:
    """A build with the program it is drilled with, and how far the worst spoke is off its hole's axis."""
    figures = builds.figures
    return builds.builds[row], str(figures.program[row]), float(figures.off_axis_deg[row])


def _of_program(program: DrillingProgram) -> Drilling:
    return Drilling(program.rim, program.holes, program.position, program.drilling)


def _need(
    of: Drilling,
    drilled: list[tuple[WheelBuild, str, float]],
    made: list[DrillingProgram],
    edition: Edition,
    within_deg: float,
    fewest: bool,
) -> DrillingNeed:
    taken = {program for _, program, off_deg in drilled if program and off_deg <= within_deg}
    unserved = [build for build, program, off_deg in drilled if not program or off_deg > within_deg]
    weights = _weights(build for build, _, _ in drilled)
    plan = _programs(weights, edition, within_deg) if fewest else None
    more = _programs(_weights(iter(unserved)), edition, within_deg)
    return DrillingNeed(
        of=of,
        builds=sum(off_deg < inf for _, _, off_deg in drilled),
        taken=tuple(sorted(taken)),
        unused=tuple(sorted({each.code for each in made} - taken)),
        unserved=len(unserved),
        missing=more.programs,
        fewest=len(plan.programs) if plan else None,
        proved=plan.fewest if plan else more.fewest,
    )


Kind = tuple[str, tuple[int, int] | None, str, str | None]
"""What decides the directions of a rim's spokes: hub, crossings, nipple, washer."""


def _weights(builds: Iterator[WheelBuild]) -> dict[Kind, list[WheelBuild]]:
    """Builds whose spokes leave the rim alike, whatever the spokes are."""
    kinds: dict[Kind, list[WheelBuild]] = {}
    for build in builds:
        key = build.hub, build.crossings, build.nipple, build.washer
        kinds.setdefault(key, []).append(build)
    return kinds


def _programs(
    kinds: Mapping[Kind, list[WheelBuild]], edition: Edition, within_deg: float
) -> Written:
    """The fewest programs for these builds, as they are written down."""
    wheels = {
        _name(key): compute(assembled(builds[0], edition), edition).mechanics
        for key, builds in kinds.items()
    }
    plan = fewest_programs(_drilled_wheels(wheels), within_deg)
    number = {_name(key): len(builds) for key, builds in kinds.items()}
    return written(plan, wheels, number, within_deg)


def _drilled_wheels(wheels: Mapping[str, Mechanics]) -> tuple[DrilledWheel, ...]:
    """The wheels with those holes that a program has to tell apart."""
    holes = _telling([each.drilling for each in wheels.values()])
    return tuple(
        DrilledWheel(name, tuple(each.drilling[hole] for hole in holes))
        for name, each in wheels.items()
    )


def _telling(drilled: Sequence[Sequence[HoleAngle]]) -> tuple[int, ...]:
    """Of the holes that look alike on every wheel, or mirrored along the rim on every wheel, the first:
    what serves that one serves the others, mirrored."""
    first: dict[tuple[object, ...], int] = {}
    for hole in range(len(drilled[0]) if drilled else 0):
        column = [wheel[hole] for wheel in drilled]
        leans = [round(each.in_plane_deg, _DIGITS) for each in column]
        ahead = next((lean > 0 for lean in leans if lean), True)
        look = (
            tuple(each.side for each in column),
            tuple(round(each.lateral_deg, _DIGITS) for each in column),
            tuple(lean if ahead or not lean else -lean for lean in leans),
        )
        first.setdefault(look, hole)
    return tuple(first.values())


def _name(key: Kind) -> str:
    return " ".join(map(str, key))
