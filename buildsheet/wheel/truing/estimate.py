"""What all readings together make most likely: each spoke's tension, and the rim's own shape.

A nipple that is off pulls the rim out of shape and shows in the tensions; a rim that is bent lies out of
shape although the tensions are even. One least-squares fit holds both: nipples off by some turns, and a
bare rim with a few waves of its own sideways. Each estimate comes with its standard error.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from buildsheet.wheel.structure.arc import Floats
from buildsheet.wheel.truing.readings import ReadingNoise
from buildsheet.wheel.truing.seen import Seen, runout_mm

TYPICAL_TURNS: Final = 0.7
"""By how much nipples stand off in a wheel that needs truing [own choice]."""

TYPICAL_BEND_MM: Final = 0.5
"""How far a rim's own waves reach [own choice]; both only say what is left where nothing was read."""

WAVES: Final = range(2, 7)
"""Waves of a bend; shift and tilt of a rim are the spokes' doing."""

SURE: Final = 4.0
"""How many standard errors make a bend the rim's own [own choice: in simulation no straight rim of 200 is
accused, though it may be a tenth stiffer or softer than planned]."""

LEAST_BEND_MM: Final = 0.5
"""The usual limit of run-out: a smaller bend is hidden in it [common practice, no source]."""

_STIFFNESS_ERROR: Final = 0.05
"""Share of a shape by which a rim of another stiffness than planned lets us err [own choice]."""


@dataclass(frozen=True, slots=True)
class BentRim:
    """The rim's own run-out sideways, the hole nearest its largest departure, and the standard error of
    that departure."""

    runout_mm: float
    at_hole: int
    error_mm: float


@dataclass(frozen=True, slots=True, eq=False)
class Estimate:
    """``tension_n`` and ``error_n`` (N,): likely tension and its standard error. ``bend_mm`` and
    ``bend_error_mm`` (N,): the rim's own shape sideways."""

    tension_n: Floats
    error_n: Floats
    bend_mm: Floats
    bend_error_mm: Floats

    def bent_rim(self) -> BentRim | None:
        """The bend, where the readings prove one that matters; else None."""
        size = runout_mm(self.bend_mm) or 0.0
        surest = int((np.abs(self.bend_mm) / self.bend_error_mm).argmax())
        sure = abs(self.bend_mm[surest]) >= SURE * self.bend_error_mm[surest]
        if not sure or size < LEAST_BEND_MM:
            return None
        most = int(np.abs(self.bend_mm).argmax())
        return BentRim(size, most + 1, float(self.bend_error_mm[most]))


def estimate(read: Seen, target_n: Floats, noise: ReadingNoise) -> Estimate:
    """The likely state of the wheel. Without readings of tension a bend cannot be told from nipples that
    are off, and its error says so."""
    count = read.count
    angle = np.arange(count) * 2.0 * np.pi / count
    waves = np.column_stack([turn(n * angle) for n in WAVES for turn in (np.cos, np.sin)])
    nothing = np.zeros((count, waves.shape[1]))
    known = ~np.isnan(read.tension_n)
    blocks, wanted = [], []
    for reading, response, own, unit in (
        (read.lateral_mm, read.turned.lateral_mm, waves, noise.lateral_mm),
        (read.radial_mm, read.turned.radial_mm, nothing, noise.radial_mm),
    ):
        seen_here = ~np.isnan(reading)
        if not seen_here.any():
            continue
        unsure = np.hypot(unit, _STIFFNESS_ERROR * float(reading[seen_here].std()))
        rows = np.hstack([response, own])[seen_here]
        blocks.append((rows - rows.mean(axis=0)) / unsure)
        wanted.append(reading[seen_here] / unsure)
    unit_n = (noise.tension_share * target_n)[known, None]
    blocks.append(np.hstack([read.turned.tension_n, nothing])[known] / unit_n)
    wanted.append((read.tension_n - target_n)[known] / unit_n[:, 0])
    size = count + waves.shape[1]
    usual = np.r_[np.full(count, TYPICAL_TURNS), np.full(size - count, TYPICAL_BEND_MM)]
    rows = np.vstack([*blocks, np.diag(1.0 / usual)])
    covariance = np.linalg.inv(rows.T @ rows)
    likely = covariance @ (rows.T @ np.concatenate([*wanted, np.zeros(size)]))
    off, bend = likely[:count], likely[count:]
    spread = read.turned.tension_n @ covariance[:count, :count] @ read.turned.tension_n.T
    bent = waves @ covariance[count:, count:] @ waves.T
    return Estimate(
        tension_n=np.asarray(target_n + read.turned.tension_n @ off),
        error_n=np.sqrt(np.diag(spread)),
        bend_mm=np.asarray(waves @ bend),
        bend_error_mm=np.sqrt(np.diag(bent)),
    )
