"""Plain enumeration, as fast as arrays make it: combinations grow choice by choice, and each rule strikes
out what it refuses as soon as all that it reads is chosen."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from buildsheet.space.counting import Choice, Factor


def walked(choices: Sequence[Choice], factors: Sequence[Factor]) -> npt.NDArray[np.uint8]:
    """Every combination that all factors let through: a row for each choice, a column for each."""
    place = {choice.name: row for row, choice in enumerate(choices)}
    going = np.zeros((0, 1), dtype=np.uint8)
    for row, choice in enumerate(choices):
        values = np.tile(np.arange(choice.size, dtype=np.uint8), going.shape[1])
        going = np.vstack([np.repeat(going, choice.size, axis=1), values])
        for factor in factors:
            if max((place[name] for name in factor.names), default=0) == row:
                going = going[:, factor.table[tuple(going[place[name]] for name in factor.names)]]
    return going
