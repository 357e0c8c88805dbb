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

    Raises CannotCompute where the untensioned wheel cannot stand at all (no bracing), where more
    tension never bends the rim sideways, or where stiffnesses lie too far apart for numbers.
    """
    inverse_lower = np.linalg.inv(_factored(wheel.elastic.matrices()))
    loss = -wheel.per_newton.matrices()
    pairs = inverse_lower @ loss @ inverse_lower.conj().transpose(0, 2, 1)
    try:
        highest = np.linalg.eigvalsh(pairs)[:, -1]
    except np.linalg.LinAlgError as error:
        raise CannotCompute("the stiffnesses of rim and spokes lie too far apart") from error
    largest, mode = 0.0, 0
    # shapes are wanted of the few harmonics only that can hold the lowest tension
    for harmonic in np.argsort(-highest):
        if highest[harmonic] <= largest:
            break
        found = _sideways(wheel, int(harmonic), pairs[harmonic], inverse_lower[harmonic])
        if found is not None and found[0] > largest:
            largest, mode = found
    if not largest > 0.0:
        raise CannotCompute("tension does not bend this rim sideways")
    return Buckling(1.0 / largest, mode, first_n=1.0 / float(highest.max()))


def _factored(matrices: Floats | Complexes) -> Floats | Complexes:
    try:
        return np.linalg.cholesky(matrices)
    except np.linalg.LinAlgError as error:
        raise CannotCompute(
            "the wheel does not stand without tension: its spokes do not brace the rim sideways"
        ) from error


def _sideways(
    wheel: Assembled,
    harmonic: int,
    pair: Floats | Complexes,
    inverse_lower: Floats | Complexes,
) -> tuple[float, int] | None:
    """Inverse of the lowest tension at which a shape of this harmonic leaves the plane, and its waves."""
    inverse_tension, shapes = np.linalg.eigh(pair)
    shapes = inverse_lower.conj().T @ shapes
    by_hole = np.abs(shapes.reshape(wheel.period, FREEDOMS, -1)) ** 2
    sideways = by_hole[:, U].sum(axis=0) > _SIDEWAYS * by_hole[:, :3].sum(axis=(0, 1))
    if not sideways.any():
        return None
    which = int(np.where(sideways, inverse_tension, -np.inf).argmax())
    lateral = shapes.reshape(wheel.period, FREEDOMS, -1)[:, U, which]
    return float(inverse_tension[which]), _waves(lateral, harmonic, wheel.layout.count)


def _waves(lateral: Floats | Complexes, harmonic: int, count: int) -> int:
    """The strongest Fourier component of a shape known at the holes of one group."""
    period = len(lateral)
    groups = count // period
    turned = np.exp(2j * np.pi * harmonic * np.arange(groups) / groups)
    all_round = np.outer(turned, lateral).ravel()
    strength = np.abs(np.fft.fft(all_round))
    waves = int(strength.argmax())
    return min(waves, count - waves)
