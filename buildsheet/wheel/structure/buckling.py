"""At which mean spoke tension the rim leaves its plane, and in how many waves.

The wheel stands while ``elastic + T x per_newton`` is positive definite; the smallest T at which it is
not is an eigenvalue of that pair of matrices, found harmonic by harmonic. Nothing is smeared.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from buildsheet.errors import CannotCompute
from buildsheet.wheel.structure.arc import FREEDOMS, Floats, U
from buildsheet.wheel.structure.assembly import Assembled
from buildsheet.wheel.structure.cyclic import Complexes

_SIDEWAYS: float = 0.5
"""Share of the movement that must be lateral for a mode to count as leaving the plane."""


@dataclass(frozen=True, slots=True)
class Buckling:
    """``tension_n`` is the mean of all spokes; ``mode`` the number of whole waves round the rim.
    ``first_n`` is the lowest mean tension at which the rim gives way at all: lower than ``tension_n``
    only for a rim so weak in its own plane that it folds between its spokes first."""

    tension_n: float
    mode: int
    first_n: float


def buckling(wheel: Assembled) -> Buckling:
    """The lowest mean tension at which the rim leaves its plane, and the waves it leaves it in.

    Raises CannotCompute where the untensioned wheel cannot stand at all (no bracing), or where more
    tension never bends the rim sideways.
    """
    lower = _factored(wheel.elastic.matrices())
    loss = -wheel.per_newton.matrices()
    half = np.linalg.solve(lower, loss)
    pair = np.linalg.solve(lower, half.conj().transpose(0, 2, 1))
    inverse_tension, shapes = np.linalg.eigh(pair)
    shapes = np.linalg.solve(lower.conj().transpose(0, 2, 1), shapes)
    return _lowest_sideways(wheel, inverse_tension, shapes)


def _factored(matrices: Floats | Complexes) -> Floats | Complexes:
    try:
        return np.linalg.cholesky(matrices)
    except np.linalg.LinAlgError as error:
        raise CannotCompute(
            "the wheel does not stand without tension: its spokes do not brace the rim sideways"
        ) from error


def _lowest_sideways(
    wheel: Assembled, inverse_tension: Floats, shapes: Floats | Complexes
) -> Buckling:
    harmonics, size, _ = shapes.shape
    by_hole = np.abs(shapes.reshape(harmonics, wheel.period, FREEDOMS, size)) ** 2
    moves = by_hole[:, :, :3, :].sum(axis=(1, 2))
    sideways = by_hole[:, :, U, :].sum(axis=1) > _SIDEWAYS * moves
    candidates = np.where(sideways, inverse_tension, -np.inf)
    harmonic, which = np.unravel_index(int(candidates.argmax()), candidates.shape)
    largest = float(candidates[harmonic, which])
    if not largest > 0.0:
        raise CannotCompute("tension does not bend this rim sideways")
    shape = shapes[harmonic].reshape(wheel.period, FREEDOMS, size)[:, U, which]
    waves = _waves(shape, int(harmonic), wheel.layout.count)
    return Buckling(1.0 / largest, waves, first_n=1.0 / float(inverse_tension.max()))


def _waves(lateral: Floats | Complexes, harmonic: int, count: int) -> int:
    """The strongest Fourier component of a shape known at the holes of one group."""
    period = len(lateral)
    groups = count // period
    turned = np.exp(2j * np.pi * harmonic * np.arange(groups) / groups)
    all_round = np.outer(turned, lateral).ravel()
    strength = np.abs(np.fft.fft(all_round))
    waves = int(strength.argmax())
    return min(waves, count - waves)
