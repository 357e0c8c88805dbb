"""In which order to turn, so that no spoke passes the stop value on the way."""

from __future__ import annotations

from typing import Final

import numpy as np

from buildsheet.wheel.structure.arc import Floats
from buildsheet.wheel.truing.eighths import STEP_TURNS

_MOST_SHARES: Final = 16

Step = tuple[int, int]
"""Hole (from 1) and eighths of a turn, positive tightens."""


def safe_rounds(
    turns: Floats, tension_n: Floats, per_turn_n: Floats, ceiling_n: float
) -> tuple[Step, ...]:
    """Steps in the order of doing them.

    Round by round: what is slackened first, what is tightened after it, each in hole order, in as few
    rounds as keep every spoke at or below ``ceiling_n``; a spoke that is above it already may only come
    down. Where no rounds do, eighth by eighth, and only as far as the limit lets it.
    """
    ceilings = np.maximum(ceiling_n, tension_n)
    eighths = np.round(turns / STEP_TURNS).astype(int)
    for shares in range(1, _MOST_SHARES + 1):
        steps = _rounds(eighths, shares)
        path = tension_path_n(steps, tension_n, per_turn_n)
        if np.all(path <= ceilings[:, None] + 1e-9):
            return steps
    return _eighth_by_eighth(eighths, tension_n, per_turn_n, ceilings)


def _rounds(
    eighths: np.ndarray[tuple[int, ...], np.dtype[np.int_]], shares: int
) -> tuple[Step, ...]:
    done = np.zeros_like(eighths)
    steps: list[Step] = []
    for share in range(1, shares + 1):
        until = np.round(eighths * share / shares).astype(int)
        move = until - done
        for wanted in (move < 0, move > 0):
            steps.extend((int(hole) + 1, int(move[hole])) for hole in np.flatnonzero(wanted))
        done = until
    return tuple(steps)


def tension_path_n(steps: tuple[Step, ...], tension_n: Floats, per_turn_n: Floats) -> Floats:
    """Tension of every spoke before the first and after every step, (N, steps + 1)."""
    holes = np.array([hole - 1 for hole, _ in steps], dtype=int)
    amounts = np.array([eighths for _, eighths in steps]) * STEP_TURNS
    changes = np.cumsum(per_turn_n[:, holes] * amounts, axis=1)
    return np.asarray(tension_n[:, None] + np.hstack([np.zeros((len(tension_n), 1)), changes]))


def _eighth_by_eighth(
    eighths: np.ndarray[tuple[int, ...], np.dtype[np.int_]],
    tension_n: Floats,
    per_turn_n: Floats,
    ceilings: Floats,
) -> tuple[Step, ...]:
    """Whichever eighth leaves most room comes next; ends where none fits."""
    left, now = eighths.copy(), tension_n.copy()
    steps: list[Step] = []
    while left.any():
        open_ = np.flatnonzero(left)
        after = now[:, None] + per_turn_n[:, open_] * np.sign(left[open_]) * STEP_TURNS
        passed = (after - ceilings[:, None]).max(axis=0)
        best = int(passed.argmin())
        if passed[best] > 1e-9:
            break
        hole = int(open_[best])
        steps.append((hole + 1, int(np.sign(left[hole]))))
        now = after[:, best]
        left[hole] -= np.sign(left[hole])
    return tuple(steps)
