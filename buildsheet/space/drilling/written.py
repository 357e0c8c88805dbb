"""Programs as they are written down: one lean for each side and one along the rim, and what that costs.

A search for the fewest programs lets every hole have an axis of its own. A written program cannot: all its
holes lean alike along the rim, left and right, those of radial spokes too. So the angle that is promised is
that of the written program, by the same reading as orders are checked by (`plan.programs.hole_axis`), and
what it cannot keep gets another one.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from itertools import chain
from math import asin, degrees, radians
from typing import Final

import numpy as np
from numpy.typing import NDArray

from buildsheet.wheel.programs import ProgramPlan
from buildsheet.wheel.spec import SIDES, Mechanics, Side

Floats = NDArray[np.float64]
Seen = Mapping[Side, Collection[tuple[float, float]]]
"""How the spokes of a wheel leave its rim, see `spokes_of`."""

_POINTS: Final = 17
_ZOOMS: Final = 6
"""Each zoom leaves two of sixteen cells, so six of them find an angle to far below a thousandth."""

_ROUNDING_DEG: Final = 1e-4
_DIGITS: Final = 9


@dataclass(frozen=True, slots=True)
class Axes:
    """Hole axes that a new program would have, in degrees, as programs are written down; ``serves`` builds
    within ``worst_deg``."""

    left_lateral_deg: float
    right_lateral_deg: float
    in_plane_deg: float
    serves: int
    worst_deg: float


@dataclass(frozen=True, slots=True)
class Written:
    """``fewest`` is True where it is certain that no fewer programs do."""

    programs: tuple[Axes, ...]
    fewest: bool


def written(
    plan: ProgramPlan,
    wheels: Mapping[str, Mechanics],
    builds: Mapping[str, int],
    within_deg: float,
) -> Written:
    """The plan's programs written down, by wheel names; one that would not keep ``within_deg`` becomes
    several. A wheel whose own two sides ask too different things is served as well as can be, and the
    program's ``worst_deg`` says so."""
    seen = {name: spokes_of(wheel) for name, wheel in wheels.items()}
    programs: list[Axes] = []
    for program in plan.programs:
        names = sorted(program.serves, key=lambda name: (-builds[name], name))
        for part in _parts(names, seen, within_deg):
            left, right, along, worst = best([seen[name] for name in part])
            programs.append(Axes(left, right, along, sum(builds[name] for name in part), worst))
    return Written(tuple(programs), plan.fewest and len(programs) == len(plan.programs))


def _parts(names: Sequence[str], seen: Mapping[str, Seen], within_deg: float) -> list[list[str]]:
    """The wheels in as few parts as come of putting each into the first that can still take it."""
    if best([seen[name] for name in names])[3] <= within_deg + _ROUNDING_DEG:
        return [[*names]]
    parts: list[tuple[list[str], float]] = []
    for name in names:
        own_deg = max(within_deg, best([seen[name]])[3]) + _ROUNDING_DEG
        for place, (part, most_deg) in enumerate(parts):
            allowed_deg = min(most_deg, own_deg)
            if best([seen[each] for each in (*part, name)])[3] <= allowed_deg:
                parts[place] = ([*part, name], allowed_deg)
                break
        else:
            parts.append(([name], own_deg))
    return [part for part, _ in parts]


def best(wheels: Sequence[Seen]) -> tuple[float, float, float, float]:
    """Left lean, right lean, lean along the rim, and the worst angle between a spoke and its hole, all in
    degrees, of the program that keeps that angle least.

    The worst angle grows away from its least in every direction, so a finer and finer comb finds it.
    """
    spokes = {side: np.array(sorted({*chain(*(each[side] for each in wheels))})) for side in SIDES}
    along = np.concatenate([each[:, 1] for each in spokes.values()])
    low, high = max(float(along.min()), 0.0), max(float(along.max()), 0.0)
    for _ in range(_ZOOMS - 1):
        combed = _combed(spokes, low, high)
        low, high = (
            combed.along[max(combed.at - 1, 0)],
            combed.along[min(combed.at + 1, _POINTS - 1)],
        )
    last = _combed(spokes, low, high)
    left, right = (degrees(float(last.across[side][last.at])) for side in SIDES)
    worst_deg = degrees(2.0 * asin(float(last.chords[last.at]) / 2.0))
    return left, right, degrees(float(last.along[last.at])), worst_deg


@dataclass(frozen=True, slots=True)
class _Combed:
    """Leans along the rim that were tried (P,), the best leans across for each, the longest chord between
    a spoke and its hole, and where that is shortest."""

    along: Floats
    across: Mapping[Side, Floats]
    chords: Floats
    at: int


def _combed(spokes: Mapping[Side, Floats], low: float, high: float) -> _Combed:
    along = np.linspace(low, max(high, low), _POINTS)
    found = {side: _leans(spokes[side], along) for side in SIDES}
    chords = np.maximum(found["left"][1], found["right"][1])
    return _Combed(along, {side: found[side][0] for side in SIDES}, chords, int(chords.argmin()))


def _leans(spokes: Floats, along_rad: Floats) -> tuple[Floats, Floats]:
    """For each lean along the rim (P,) the best lean of this side, and its longest chord to a spoke."""
    low = np.full(len(along_rad), float(spokes[:, 0].min()))
    high = np.full(len(along_rad), float(spokes[:, 0].max()))
    rows = np.arange(len(along_rad))
    apart = spokes[:, 1, None] - along_rad  # (spokes, P)
    near = np.cos(spokes[:, 0])[:, None] * np.cos(apart)
    for _ in range(_ZOOMS - 1):
        comb, worst = _worst(spokes, near, low, high)
        at = worst.argmin(axis=1)
        low, high = comb[rows, np.maximum(at - 1, 0)], comb[rows, np.minimum(at + 1, _POINTS - 1)]
    comb, worst = _worst(spokes, near, low, high)
    at = worst.argmin(axis=1)
    return comb[rows, at], np.sqrt(worst[rows, at])


def _worst(spokes: Floats, near: Floats, low: Floats, high: Floats) -> tuple[Floats, Floats]:
    """Leans between low and high (P, points), and the largest squared chord of each to a spoke."""
    comb = np.linspace(low, high, _POINTS, axis=1)
    along = np.sin(spokes[:, 0])[:, None, None] * np.sin(comb) + near[:, :, None] * np.cos(comb)
    return comb, np.maximum(2.0 - 2.0 * along.min(axis=0), 0.0)


def spokes_of(wheel: Mechanics) -> Seen:
    """By side, how its spokes leave the rim in radians: toward their flange, and along the rim toward where
    their hole leans. A radial spoke's hole may lean either way: it is taken as leaning the other one."""
    seen: dict[Side, set[tuple[float, float]]] = {side: set() for side in SIDES}
    for spoke, angle in zip(wheel.lacing.spokes, wheel.drilling, strict=True):
        across = angle.lateral_deg if spoke.side == "right" else -angle.lateral_deg
        along = {
            "trailing": angle.in_plane_deg,
            "leading": -angle.in_plane_deg,
            "radial": -abs(angle.in_plane_deg),
        }[spoke.run]
        seen[spoke.side].add((round(radians(across), _DIGITS), round(radians(along), _DIGITS)))
    return seen
