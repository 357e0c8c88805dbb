"""In which order to turn, so that no spoke passes the stop value on the way."""

from __future__ import annotations

from typing import Final

import numpy as np

from buildsheet.wheel.structure.arc import Floats
from buildsheet.wheel.truing.eighths import STEP_TURNS

_MOST_SHARES: Final = 16

_WALK_SHARE: Final = 0.97
"""How near to the ceiling a walk may bring a spoke: many eighths at once are as uncertain as the model and
the hand; the way up to the ceiling is left to single eighths [own choice]."""

Eighths = np.ndarray[tuple[int, ...], np.dtype[np.int_]]
Step = tuple[int, int]
"""Hole (from 1) and eighths of a turn, positive tightens."""


def safe_rounds(
    turns: Floats, tension_n: Floats, per_turn_n: Floats, ceiling_n: float
) -> tuple[Step, ...]:
    """Steps in the order of doing them.

    Round by round: what is slackened first, what is tightened after it, each in hole order, in as few
    rounds as keep every spoke at or below ``ceiling_n``; a spoke that is above it already may only come
    down. Where no even rounds do, walks in which every nipple goes as far as it may; where those stick, the
    one eighth that leaves most room, and walks again; and only as far as the limit lets it.
    """
    ceilings = np.maximum(ceiling_n, tension_n)
    eighths = np.round(turns / STEP_TURNS).astype(int)
    for shares in range(1, _MOST_SHARES + 1):
        steps = _rounds(eighths, shares)
        path = tension_path_n(steps, tension_n, per_turn_n)
        if np.all(path <= ceilings[:, None] + 1e-9):
            return steps
    return _as_far_as_it_may(eighths, tension_n, per_turn_n, ceiling_n)


def _rounds(eighths: Eighths, shares: int) -> tuple[Step, ...]:
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


def _as_far_as_it_may(
    eighths: Eighths, tension_n: Floats, per_turn_n: Floats, ceiling_n: float
) -> tuple[Step, ...]:
    """Walks in hole order, slackening and tightening by turns; at every nipple as many of its eighths as
    keep all spokes well below the ceiling; single eighths up to the ceiling where a walk moves nothing."""
    left, now_n = eighths.copy(), tension_n.copy()
    room_n = np.maximum(_WALK_SHARE * ceiling_n, tension_n)
    ceilings_n = np.maximum(ceiling_n, tension_n)
    steps: list[Step] = []
    while left.any():
        walk = _walk(left, now_n, per_turn_n, room_n) or _one_eighth(
            left, now_n, per_turn_n, ceilings_n
        )
        if not walk:
            break
        for hole, many in walk:
            left[hole - 1] -= many
            now_n = now_n + per_turn_n[:, hole - 1] * many * STEP_TURNS
        steps.extend(walk)
    return tuple(steps)


def _walk(left: Eighths, now_n: Floats, per_turn_n: Floats, room_n: Floats) -> list[Step]:
    """Once round the wheel slackening, and once tightening."""
    steps: list[Step] = []
    for sign in (-1, 1):
        for hole in np.flatnonzero(np.sign(left) == sign):
            change_n = per_turn_n[:, hole] * sign * STEP_TURNS
            for many in range(abs(int(left[hole])), 0, -1):
                if np.all(now_n + change_n * many <= room_n + 1e-9):
                    steps.append((int(hole) + 1, sign * many))
                    now_n = now_n + change_n * many
                    break
    return steps


def _one_eighth(left: Eighths, now_n: Floats, per_turn_n: Floats, ceilings_n: Floats) -> list[Step]:
    """Whichever eighth leaves most room; none where none fits."""
    open_ = np.flatnonzero(left)
    signs = np.sign(left[open_])
    after_n = now_n[:, None] + per_turn_n[:, open_] * signs * STEP_TURNS
    passed_n = (after_n - ceilings_n[:, None]).max(axis=0)
    best = int(passed_n.argmin())
    return [(int(open_[best]) + 1, int(signs[best]))] if passed_n[best] <= 1e-9 else []
