"""A ring of equal groups solved harmonic by harmonic.

A laced wheel repeats itself after a few spokes. Written for the nodes of one group, its stiffness is
``within`` (group to itself) and ``onward`` (group to the next one); for a shape that turns by
``2 pi m / groups`` from group to group it becomes one small Hermitian matrix for each ``m``, and the
wheel's matrix is never formed. A wheel that never repeats is the same with one group.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from buildsheet.wheel.structure.arc import Floats

Complexes = NDArray[np.complexfloating[Any, Any]]


@dataclass(frozen=True, slots=True, eq=False)
class Cyclic:
    """A symmetric block-circulant matrix: ``within`` (n, n), ``onward`` (n, n), ``groups`` of them.

    ``hold`` (n, n), where given, acts on the shape that every group repeats (harmonic 0) and on no
    other.
    """

    within: Floats
    onward: Floats
    groups: int
    hold: Floats | None = None

    @property
    def harmonics(self) -> NDArray[np.int64]:
        """0 .. groups // 2; the others are their conjugates."""
        return np.arange(self.groups // 2 + 1)

    def matrices(self) -> Floats | Complexes:
        """One Hermitian matrix (n, n) for each harmonic; real where there is one group only."""
        if self.groups == 1:
            all_of_them: Floats | Complexes = (self.within + self.onward + self.onward.T)[None]
        else:
            phase = np.exp(2j * np.pi * self.harmonics / self.groups)[:, None, None]
            all_of_them = self.within + phase * self.onward + phase.conj() * self.onward.T
        if self.hold is not None:
            all_of_them[0] += self.hold
        return all_of_them

    def times(self, factor: float) -> Cyclic:
        """This matrix without its hold, times a number."""
        return Cyclic(factor * self.within, factor * self.onward, self.groups)

    def plus(self, other: Cyclic, factor: float) -> Cyclic:
        """This matrix without its hold, plus ``factor`` times the other one."""
        return Cyclic(
            self.within + factor * other.within, self.onward + factor * other.onward, self.groups
        )


def unfolded(of_harmonics: Floats | Complexes, groups: int) -> Floats:
    """Blocks by group offset, (groups, ...), from blocks by harmonic (groups // 2 + 1, ...)."""
    blocks: Floats = np.fft.irfft(of_harmonics, n=groups, axis=0)
    return blocks
