"""From turns to eighths: the few whole steps that come nearest to the goal and keep every limit."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from buildsheet.wheel.structure.arc import Floats

STEP_TURNS: Final = 0.125
_MOST_ROUNDS: Final = 400


@dataclass(frozen=True, slots=True, eq=False)
class Worth:
    """What a set of turns is worth: the squares of ``rows turns + values``, ``touch_factor`` for each
    nipple touched and ``turn_factor`` for each turn of it; ``limits turns <= most`` must hold."""

    rows: Floats
    values: Floats
    limits: Floats
    most: Floats
    touch_factor: float
    turn_factor: float

    def over(self, turns: Floats) -> float:
        """By how much the worst limit is passed; 0 or less where all hold."""
        return float((self.limits @ turns - self.most).max(initial=-np.inf))


def nearest_eighths(worth: Worth, start: Floats) -> Floats | None:
    """Whole eighths near ``start`` that no change of one or two nipples by an eighth betters, and no
    nipple left alone instead; None where no limits-keeping steps were found."""
    allowed = _within(worth, np.round(start / STEP_TURNS) * STEP_TURNS)
    if allowed is None:
        return None
    turns = allowed
    square = worth.rows.T @ worth.rows
    slope = worth.rows.T @ (worth.rows @ turns + worth.values)
    for _ in range(_MOST_ROUNDS):
        change = _best_change(worth, turns, square, slope)
        if change is None:
            break
        turns = turns + change
        slope = slope + square @ change
    return turns


def _within(worth: Worth, turns: Floats) -> Floats | None:
    """The steps moved, one at a time, to where every limit holds."""
    for _ in range(_MOST_ROUNDS):
        excess = worth.limits @ turns - worth.most
        if excess.max(initial=-np.inf) <= 0.0:
            return turns
        push = np.maximum(excess, 0.0)
        gain = worth.limits.T @ push
        nipple = int(np.abs(gain).argmax())
        if gain[nipple] == 0.0:
            return None
        turns = turns.copy()
        turns[nipple] -= np.sign(gain[nipple]) * STEP_TURNS
    return None


def _best_change(worth: Worth, turns: Floats, square: Floats, slope: Floats) -> Floats | None:
    """The change of one nipple, or failing that of two, that is worth most."""
    count = len(turns)
    singles = np.concatenate([np.full(count, STEP_TURNS), np.full(count, -STEP_TURNS), -turns])
    nipple = np.tile(np.arange(count), 3)
    effort = _effort(worth, turns[nipple] + singles) - _effort(worth, turns[nipple])
    gain = 2.0 * slope[nipple] * singles + square[nipple, nipple] * singles**2 + effort
    for place in np.argsort(gain)[:12]:
        if gain[place] >= -1e-9:
            break
        change = np.zeros(count)
        change[nipple[place]] = singles[place]
        if worth.over(turns + change) <= 0.0:
            return change
    one, other = np.triu_indices(2 * count, 1)
    steps, who = singles[: 2 * count], nipple[: 2 * count]
    different = who[one] != who[other]
    one, other = one[different], other[different]
    mutual = 2.0 * square[who[one], who[other]] * steps[one] * steps[other]
    both = gain[one] + gain[other] + mutual
    for place in np.argsort(both)[:12]:
        if both[place] >= -1e-9:
            break
        change = np.zeros(count)
        change[who[one[place]]] += steps[one[place]]
        change[who[other[place]]] += steps[other[place]]
        if worth.over(turns + change) <= 0.0:
            return change
    return None


def _effort(worth: Worth, turns: Floats) -> Floats:
    touched = np.abs(turns) > STEP_TURNS / 2.0
    return worth.touch_factor * touched + worth.turn_factor * np.abs(turns)
