"""What the wheel does under loads on its rim, under turned nipples and under a tyre's squeeze.

All of it comes from one small array, `Compliance`: how every hole moves for a unit action at each
hole of one group. Linear about the tensioned wheel: it holds while no spoke is slack.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from buildsheet.errors import CannotCompute
from buildsheet.units import SPOKE_THREAD_PITCH_MM
from buildsheet.wheel.structure.arc import FREEDOMS, Floats
from buildsheet.wheel.structure.assembly import Assembled
from buildsheet.wheel.structure.cyclic import unfolded

LATERAL, RADIAL, TANGENTIAL, PULL = range(4)
"""The four actions at a hole: forces on the rim's section, and a pull of the spoke toward the hub;
and the four movements that answer them."""


_NO_PART = 1e-6
"""Share of a free motion below which a direction takes no part in it: rounding, no more."""


@dataclass(frozen=True, slots=True)
class Load:
    """A force on the rim's section at hole ``at_hole`` (from 1): ``radial_n`` positive INWARD, as the
    road pushes; ``lateral_n`` positive toward the right; ``tangential_n`` positive clockwise."""

    at_hole: int
    radial_n: float = 0.0
    lateral_n: float = 0.0
    tangential_n: float = 0.0


@dataclass(frozen=True, slots=True, eq=False)
class Response:
    """Movement of the rim's section at every hole and change of every spoke's tension, (N,) each.

    ``radial_mm`` is positive OUTWARD, ``lateral_mm`` toward the right, ``tangential_mm`` clockwise.
    """

    lateral_mm: Floats
    radial_mm: Floats
    tangential_mm: Floats
    spoke_change_n: Floats


@dataclass(frozen=True, slots=True, eq=False)
class Influence:
    """What one full turn of each nipple does, (N, N): row = hole that answers, column = nipple turned
    (tightened). A turn is 25.4/56 mm of spoke. Signs as in `Response`."""

    tension_n: Floats
    lateral_mm: Floats
    radial_mm: Floats


@dataclass(frozen=True, slots=True)
class SlackLoad:
    """The load that takes the last tension from the first spoke: on which hole, and which spoke."""

    load_n: float
    at_hole: int
    spoke: int


@dataclass(frozen=True, slots=True, eq=False)
class Compliance:
    """``blocks`` (groups, period, 4, period, 4): movement at a hole of the group ``offset`` further
    clockwise, per unit action at a hole of the group. ``squeeze`` (period, 4): movement per newton
    per mm of inward line load all round."""

    blocks: Floats
    squeeze: Floats
    wheel: Assembled
    tensioned: bool

    @property
    def freely(self) -> tuple[float, float, float]:
        """Lateral, radial and tangential movement of the rim in the motion that nothing resists; zeros
        where every motion is resisted."""
        shape = self.wheel.free_turn
        if self.tensioned or shape is None:
            return (0.0, 0.0, 0.0)
        lateral, radial, tangential = (float(each) for each in shape[0, :3])
        small = _NO_PART * max(abs(lateral), abs(tangential))
        return (
            lateral if abs(lateral) > small else 0.0,
            radial,
            tangential if abs(tangential) > small else 0.0,
        )

    @property
    def own(self) -> Floats:
        """Movement at each hole of a group per unit action at that same hole, (period, 4)."""
        return np.asarray(np.einsum("hihi->hi", self.blocks[0]), dtype=np.float64)

    def column(self, hole: int, action: int) -> Floats:
        """Movements (N, 4) of all holes per unit action at one hole (counted from 0)."""
        group, place = divmod(hole, self.wheel.period)
        rows = np.roll(self.blocks[:, :, :, place, action], group, axis=0)
        return rows.reshape(-1, 4)

    def whole(self, movement: int, action: int) -> Floats:
        """(N, N): ``movement`` of the row's hole per unit ``action`` at the column's."""
        groups = len(self.blocks)
        offset = np.subtract.outer(np.arange(groups), np.arange(groups)) % groups
        tiles: Floats = self.blocks[:, :, movement, :, action][offset]
        count = groups * self.wheel.period
        return tiles.transpose(0, 2, 1, 3).reshape(count, count)


def compliance(wheel: Assembled, mean_tension_n: float) -> Compliance:
    """The wheel's answer to unit actions, at a mean spoke tension below the buckling tension."""
    period, size = wheel.period, wheel.period * FREEDOMS
    matrices = wheel.stiffness(mean_tension_n).matrices()
    actions = np.zeros((period, FREEDOMS, period, 4))
    hole = np.arange(period)
    actions[hole, LATERAL, hole, LATERAL] = 1.0
    actions[hole, RADIAL, hole, RADIAL] = 1.0
    actions[hole, TANGENTIAL, hole, TANGENTIAL] = 1.0
    actions[hole, :, hole, PULL] = wheel.pull
    flat = actions.reshape(size, -1)
    moved = np.linalg.solve(matrices, np.broadcast_to(flat, (len(matrices), *flat.shape)))
    blocks = unfolded(flat.T @ moved, wheel.elastic.groups)
    squeezed = np.linalg.solve(matrices[0].real, wheel.squeeze)
    return Compliance(
        blocks=_frozen(blocks.reshape(-1, period, 4, period, 4)),
        squeeze=_frozen((flat.T @ squeezed).reshape(period, 4)),
        wheel=wheel,
        tensioned=mean_tension_n != 0.0,
    )


def under(answer: Compliance, loads: Sequence[Load]) -> Response:
    """The wheel under several loads at once.

    Raises CannotCompute for a hole that is not there, or a load that winds up a wheel which nothing
    keeps from it (all spokes radial, no tension).
    """
    layout = answer.wheel.layout
    moves = np.zeros((layout.count, 4))
    for load in loads:
        if not 1 <= load.at_hole <= layout.count:
            raise CannotCompute(f"hole {load.at_hole} is not one of the rim's {layout.count}")
        forces = (load.lateral_n, -load.radial_n, load.tangential_n)
        for action, force_n in enumerate(forces):
            if force_n == 0.0:
                continue
            if answer.freely[action]:
                raise CannotCompute("without tension these spokes do not keep the rim from turning")
            moves += force_n * answer.column(load.at_hole - 1, action)
    return _response(answer, moves)


def squeezed(answer: Compliance, inward_n_per_mm: float) -> Response:
    """The wheel under an inward line load all round the section's circle, as a tyre at pressure
    makes it (hoop compression of the free rim = line load x section radius)."""
    groups = len(answer.blocks)
    return _response(answer, np.tile(answer.squeeze, (groups, 1)) * inward_n_per_mm)


def influence(answer: Compliance) -> Influence:
    """What one turn of each nipple does to tension and shape at every hole."""
    stiff = answer.wheel.layout.stiffness_n_per_mm
    force = stiff * SPOKE_THREAD_PITCH_MM
    tension = -stiff[:, None] * answer.whole(PULL, PULL) * force
    tension[np.diag_indices(len(stiff))] += force
    return Influence(
        tension_n=_frozen(tension),
        lateral_mm=_frozen(answer.whole(LATERAL, PULL) * force),
        radial_mm=_frozen(answer.whole(RADIAL, PULL) * force),
    )


def radial_slack(answer: Compliance, tension_n: Floats) -> SlackLoad:
    """The smallest inward load on any hole at which a spoke has no tension left."""
    return _slack(answer, tension_n, (RADIAL,), signs=(-1.0,))


def side_slack(answer: Compliance, tension_n: Floats) -> SlackLoad:
    """The smallest load along the axle, from either side on any hole, at which a spoke is slack."""
    return _slack(answer, tension_n, (LATERAL,), signs=(1.0, -1.0))


def _slack(
    answer: Compliance, tension_n: Floats, actions: tuple[int, ...], signs: tuple[float, ...]
) -> SlackLoad:
    layout = answer.wheel.layout
    toward_hub = answer.blocks[:, :, PULL, :, :][..., list(actions)]
    toward_hub = toward_hub.reshape(layout.count, answer.wheel.period, len(actions))
    lost = toward_hub * layout.stiffness_n_per_mm[:, None, None]
    lost = np.stack([sign * lost for sign in signs], axis=-1)
    bearable = np.where(lost > 0.0, tension_n[:, None, None, None], np.inf)
    load = bearable / np.where(lost > 0.0, lost, 1.0)
    spoke, hole, _, _ = np.unravel_index(int(load.argmin()), load.shape)
    return SlackLoad(float(load.min()), int(hole) + 1, int(spoke) + 1)


def _response(answer: Compliance, moves: Floats) -> Response:
    stiff = answer.wheel.layout.stiffness_n_per_mm
    return Response(
        lateral_mm=_frozen(moves[:, LATERAL].copy()),
        radial_mm=_frozen(moves[:, RADIAL].copy()),
        tangential_mm=_frozen(moves[:, TANGENTIAL].copy()),
        spoke_change_n=_frozen(-stiff * moves[:, PULL]),
    )


def _frozen(values: Floats) -> Floats:
    values.flags.writeable = False
    return values
