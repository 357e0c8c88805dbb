"""Drilling programs: which wheels one set of hole axes serves, and the fewest sets for many wheels.

A program drills every hole of a rim along an axis of its own. It serves a wheel while no spoke leaves
its hole's axis by more than a tolerance. Whether some axis serves several spokes is a question about
caps on a sphere: the smallest cap around their directions, which two or three of them fix.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import asin, atan2, degrees
from typing import Final

import numpy as np
from numpy.typing import NDArray

from buildsheet.errors import CannotCompute
from buildsheet.wheel.spec import HoleAngle

Floats = NDArray[np.float64]

_ROUNDING_DEG: Final = 1e-9
_MOST_STEPS: Final = 200_000
"""Steps of the exact search; beyond, the best plan found is given and said to be unproved."""


@dataclass(frozen=True, slots=True)
class DrilledWheel:
    """A wheel as the drilling machine sees it: a name, and how each spoke leaves its hole."""

    name: str
    holes: tuple[HoleAngle, ...]


@dataclass(frozen=True, slots=True)
class Program:
    """Hole axes, the wheels they serve, and the largest angle between a spoke and its hole's axis."""

    axes: tuple[HoleAngle, ...]
    serves: tuple[str, ...]
    worst_deg: float


@dataclass(frozen=True, slots=True)
class ProgramPlan:
    """Programs that together serve every wheel. ``fewest`` is True where no fewer can do it, False
    where the search was cut short."""

    programs: tuple[Program, ...]
    fewest: bool


def fewest_programs(wheels: Iterable[DrilledWheel], tolerance_deg: float) -> ProgramPlan:
    """The fewest programs that serve all wheels, each spoke within ``tolerance_deg`` of its axis.

    Wheels with other holes or another order of sides never share a program. Names should differ.
    Raises CannotCompute for a tolerance below 0 or of a right angle and more.
    """
    if not 0.0 <= tolerance_deg < 90.0:
        raise CannotCompute(f"a tolerance of {tolerance_deg:g} degrees serves no drilling")
    drillings: dict[tuple[tuple[int, str], ...], list[DrilledWheel]] = {}
    for wheel in wheels:
        kind = tuple((hole.hole, hole.side) for hole in wheel.holes)
        drillings.setdefault(kind, []).append(wheel)
    programs: list[Program] = []
    fewest = True
    for alike in drillings.values():
        plan = _for_one_drilling(alike, tolerance_deg)
        programs.extend(plan.programs)
        fewest = fewest and plan.fewest
    return ProgramPlan(tuple(programs), fewest)


def program_for(wheels: Sequence[DrilledWheel]) -> Program:
    """The program that keeps the worst spoke of all these wheels nearest to its axis.

    Every hole's axis is the middle of the smallest cap around the directions of that hole's spokes.
    """
    directions = np.stack([_directions(wheel) for wheel in wheels])
    axes, worst = [], 0.0
    for place, hole in enumerate(wheels[0].holes):
        axis, spread = _smallest_cap(np.unique(directions[:, place], axis=0))
        axes.append(HoleAngle(hole.hole, hole.side, *_angles_deg(axis)))
        worst = max(worst, spread)
    return Program(tuple(axes), tuple(wheel.name for wheel in wheels), worst)


class _Search:
    """Wheels put one by one into programs that can still take them, or into a new one; a plan is kept
    when it has fewer programs than any before."""

    def __init__(self, kinds: Floats, tolerance_deg: float) -> None:
        self.kinds, self.tolerance_deg = kinds, tolerance_deg
        self.steps = 0
        self.known: dict[frozenset[int], bool] = {}
        self.best: list[list[int]] = self._greedy()
        self.floor = self._apart()

    def run(self) -> bool:
        """Search; True where the best plan is proved."""
        if len(self.best) > self.floor:
            self._place(0, [])
        return self.steps < _MOST_STEPS or len(self.best) == self.floor

    def _place(self, wheel: int, programs: list[list[int]]) -> None:
        self.steps += 1
        if self.steps >= _MOST_STEPS or len(programs) >= len(self.best):
            return
        if wheel == len(self.kinds):
            self.best = [list(each) for each in programs]
            return
        for program in programs:
            if self._fits(program, wheel):
                program.append(wheel)
                self._place(wheel + 1, programs)
                program.pop()
                if len(self.best) == self.floor:
                    return
        programs.append([wheel])
        self._place(wheel + 1, programs)
        programs.pop()

    def _fits(self, program: Sequence[int], wheel: int) -> bool:
        """Whether one program serves all: so it does when it serves every three of them (Helly)."""
        if not all(self._servable(frozenset((one, wheel))) for one in program):
            return False
        return all(
            self._servable(frozenset((one, other, wheel)))
            for place, one in enumerate(program)
            for other in program[:place]
        )

    def _servable(self, wheels: frozenset[int]) -> bool:
        if wheels not in self.known:
            limit = self.tolerance_deg + _ROUNDING_DEG
            chosen = self.kinds[sorted(wheels)]
            self.known[wheels] = all(
                _smallest_cap(chosen[:, hole])[1] <= limit for hole in range(chosen.shape[1])
            )
        return self.known[wheels]

    def _greedy(self) -> list[list[int]]:
        programs: list[list[int]] = []
        for wheel in range(len(self.kinds)):
            taker = next((each for each in programs if self._fits(each, wheel)), None)
            if taker is None:
                programs.append([wheel])
            else:
                taker.append(wheel)
        return programs

    def _apart(self) -> int:
        """Wheels of which no two share a program: so many programs are needed at least."""
        alone: list[int] = []
        for wheel in range(len(self.kinds)):
            if not any(self._servable(frozenset((one, wheel))) for one in alone):
                alone.append(wheel)
        return len(alone)


def _for_one_drilling(wheels: Sequence[DrilledWheel], tolerance_deg: float) -> ProgramPlan:
    directions = np.stack([_directions(wheel) for wheel in wheels])
    rounded = np.round(directions, 12).reshape(len(wheels), -1)
    _, first, kind_of = np.unique(rounded, axis=0, return_index=True, return_inverse=True)
    # holes that look alike on every wheel are one hole to the search
    distinct = np.unique(np.round(directions[first], 12), axis=1)
    search = _Search(distinct, tolerance_deg)
    fewest = search.run()
    programs = []
    for program in search.best:
        served = [
            wheel for wheel, kind in zip(wheels, kind_of.ravel(), strict=True) if kind in program
        ]
        programs.append(program_for(served))
    return ProgramPlan(tuple(programs), fewest)


def _smallest_cap(directions: Floats) -> tuple[Floats, float]:
    """Axis and half angle in degrees of the smallest cap around unit vectors (n, 3) in one hemisphere."""
    candidates = [directions[0]] if len(directions) == 1 else []
    for place, one in enumerate(directions):
        for other_place in range(place):
            other = directions[other_place]
            candidates.append(one + other)
            candidates.extend(
                np.cross(other - one, third - one) for third in directions[:other_place]
            )
    tried = np.array(candidates)
    lengths = np.sqrt((tried * tried).sum(axis=1))
    tried = tried[lengths > 1e-15] / lengths[lengths > 1e-15][:, None]
    tried = tried * np.where(tried @ directions.mean(axis=0) < 0.0, -1.0, 1.0)[:, None]
    # the chord keeps small angles, which an arc cosine would lose
    chords = np.sqrt(((tried[:, None, :] - directions) ** 2).sum(axis=2)).max(axis=1)
    best = int(chords.argmin())
    return tried[best], degrees(2.0 * asin(min(1.0, float(chords[best]) / 2.0)))


def _directions(wheel: DrilledWheel) -> Floats:
    """Unit vectors (holes, 3) toward the right, inward, clockwise."""
    lateral = np.radians([hole.lateral_deg for hole in wheel.holes])
    in_plane = np.radians([hole.in_plane_deg for hole in wheel.holes])
    flat = np.cos(lateral)
    return np.column_stack([np.sin(lateral), flat * np.cos(in_plane), flat * np.sin(in_plane)])


def _angles_deg(axis: Floats) -> tuple[float, float]:
    return degrees(asin(float(axis[0]))), degrees(atan2(float(axis[2]), float(axis[1])))
