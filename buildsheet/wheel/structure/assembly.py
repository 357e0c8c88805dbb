"""Rim arcs and spokes put together: the wheel's stiffness, and what tension adds to it.

The stiffness is ``elastic + mean tension x per_newton``: the second part holds the spokes' string
stiffness T/l across their own line, the rim's loss under hoop compression, and the pendulum stiffness of
spokes that pull inside the circle on which the section acts.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from buildsheet.wheel.structure.arc import (
    ABOUT_R,
    ABOUT_T,
    ABOUT_X,
    FREEDOMS,
    Floats,
    RimSection,
    U,
    V,
    W,
    arcs,
)
from buildsheet.wheel.structure.cyclic import Cyclic
from buildsheet.wheel.structure.layout import Layout

_FREE = 1e-9
"""Share of the spokes' stiffness below which a rigid rim counts as free to turn: rounding, no more."""


@dataclass(frozen=True, slots=True, eq=False)
class Assembled:
    """A wheel's matrices for one group of ``period`` holes.

    ``pull`` (period, 6): the freedoms of a hole, dotted with it, give how far its spoke's end moves
    toward the hub. ``squeeze`` (period * 6,): nodal forces of one newton per mm of inward line load.
    ``free_turn`` (period, 6): the rigid motion of the rim, turning about the axle (and shifting along
    it), that stretches no spoke, or None where there is none.
    """

    layout: Layout
    period: int
    elastic: Cyclic
    per_newton: Cyclic
    pull: Floats
    squeeze: Floats
    free_turn: Floats | None

    def stiffness(self, mean_tension_n: float) -> Cyclic:
        """The wheel's stiffness at a mean spoke tension."""
        if mean_tension_n == 0.0:
            return self.elastic
        return self.elastic.plus(self.per_newton, mean_tension_n)


@dataclass(frozen=True, slots=True, eq=False)
class FreeRing:
    """A rim without spokes: its stiffness, what a newton of hoop compression adds to it (negative), and
    the nodal forces of a line load as in `Assembled`."""

    elastic: Cyclic
    per_compression: Cyclic
    squeeze: Floats


def free_ring(section: RimSection, arc_rad: Floats, groups: int = 1) -> FreeRing:
    """A closed rim cut at holes ``arc_rad`` apart, the sequence repeated ``groups`` times."""
    different, which = np.unique(np.round(arc_rad, 12), return_inverse=True)
    pieces = arcs(section, different)
    ends = pieces.squeeze[which]
    return FreeRing(
        _ring(pieces.elastic[which], groups),
        _ring(pieces.per_compression[which], groups),
        (ends[:, :6] + np.roll(ends[:, 6:], 1, axis=0)).ravel(),
    )


def assembled(layout: Layout) -> Assembled:
    """The matrices of a wheel.

    A wheel that only tension keeps from winding up (all radial) is held against just that motion while
    it has none: a load that does no work in it finds the same answer as without the hold.
    """
    period = layout.period
    bare = free_ring(layout.section, layout.arc_rad[:period], layout.count // period)
    reach = _attached(layout.arm_mm, layout.side_arm_mm)
    direction = layout.direction[:period]
    stiff = layout.stiffness_n_per_mm[:period]
    pull = direction @ reach
    elastic = bare.elastic
    _add_at_holes(elastic.within, stiff[:, None, None] * pull[:, :, None] * pull[:, None, :])
    free = _free_turn(layout, pull)
    if free is not None:
        flat = free.ravel() * np.sqrt(stiff.mean())
        elastic = replace(elastic, hold=np.outer(flat, flat))
    compression = layout.compression_per_newton
    per_newton = bare.per_compression.times(compression)
    _add_at_holes(per_newton.within, _string_stiffness(layout, period, reach))
    return Assembled(layout, period, elastic, per_newton, pull, bare.squeeze, free)


def _attached(arm_mm: float, side_arm_mm: float) -> Floats:
    """Movement of a spoke's end from the freedoms of its hole, (3, 6): a rigid arm inward and right."""
    reach = np.zeros((3, FREEDOMS))
    reach[0, U] = reach[1, V] = reach[2, W] = 1.0
    reach[0, ABOUT_T] = arm_mm
    reach[1, ABOUT_T] = side_arm_mm
    reach[2, ABOUT_X] = -arm_mm
    reach[2, ABOUT_R] = -side_arm_mm
    return reach


def _string_stiffness(layout: Layout, period: int, reach: Floats) -> Floats:
    """What one newton of mean tension adds at each hole, (period, 6, 6)."""
    direction = layout.direction[:period]
    pattern = layout.pattern[:period]
    across = np.eye(3) - direction[:, :, None] * direction[:, None, :]
    across *= (pattern / layout.length_mm[:period])[:, None, None]
    added = reach.T @ across @ reach
    pendulum = -pattern * direction[:, V] * layout.arm_mm
    added[:, ABOUT_X, ABOUT_X] += pendulum
    added[:, ABOUT_T, ABOUT_T] += pendulum
    return added


def _ring(ends: Floats, groups: int) -> Cyclic:
    """The closed ring of one group's arcs (period, 12, 12), each from its hole to the next."""
    period = len(ends)
    size = period * FREEDOMS
    within = np.zeros((period, FREEDOMS, period, FREEDOMS))
    onward = np.zeros_like(within)
    hole = np.arange(period)
    within[hole, :, hole, :] = ends[:, :6, :6] + ends[hole - 1, 6:, 6:]
    inner = hole[:-1]
    within[inner, :, inner + 1, :] += ends[:-1, :6, 6:]
    within[inner + 1, :, inner, :] += ends[:-1, 6:, :6]
    onward[-1, :, 0, :] += ends[-1, :6, 6:]
    return Cyclic(within.reshape(size, size), onward.reshape(size, size), groups)


def _add_at_holes(within: Floats, blocks: Floats) -> None:
    period = len(blocks)
    hole = np.arange(period)
    within.reshape(period, FREEDOMS, period, FREEDOMS)[hole, :, hole, :] += blocks


def _free_turn(layout: Layout, pull: Floats) -> Floats | None:
    """The screw of a rigid rim about the axle that stretches no spoke: radial spokes have one, and so
    have spokes that all lean one way on the left and the other way on the right."""
    shift = np.zeros((len(pull), FREEDOMS))
    shift[:, U] = 1.0
    turn = np.zeros_like(shift)
    turn[:, W] = 1.0
    turn[:, ABOUT_X] = 1.0 / layout.section.radius_mm
    stretch = np.stack([(pull * shift).sum(axis=1), (pull * turn).sum(axis=1)])
    stiff = layout.stiffness_n_per_mm[: len(pull)]
    resists, motions = np.linalg.eigh((stretch * stiff) @ stretch.T)
    if resists[0] > _FREE * stiff.sum():
        return None
    return np.asarray(motions[0, 0] * shift + motions[1, 0] * turn)
