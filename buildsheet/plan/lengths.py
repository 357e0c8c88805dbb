"""Stock lengths: both sides chosen together, inside their windows, away from look-alike pairs."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from buildsheet.catalog.house import LengthHouse
from buildsheet.catalog.parts import Nipple, Spoke
from buildsheet.wheel.spec import Sides

ROUNDING_MM = 1e-9
"""A stock length that sits on the window's edge is inside it, whatever the last binary digit says."""


@dataclass(frozen=True, slots=True)
class StockChoice:
    """The stocked length for one side, or the nearest ones where none lies in the window.

    ``window_mm`` is relative to ``target_mm``; ``below_mm`` and ``above_mm`` are the stocked
    neighbours of the target (None: the stock ends before it).
    """

    target_mm: float
    window_mm: tuple[float, float]
    stock_mm: int | None
    below_mm: int | None
    above_mm: int | None

    @property
    def error_mm(self) -> float | None:
        """Stock minus target; positive is long."""
        return None if self.stock_mm is None else self.stock_mm - self.target_mm


def window_mm(nipple: Nipple, house: LengthHouse) -> tuple[float, float]:
    """How far a stocked length may lie under and over the target, by the nipple's material.

    An alloy nipple must be filled past the slot, so its window allows hardly any shortness.
    """
    return house.alloy_window_mm if nipple.material == "alloy" else house.brass_window_mm


def choose(
    targets_mm: Sides[float], spokes: Sides[Spoke], nipple: Nipple, house: LengthHouse
) -> Sides[StockChoice]:
    """One stocked length per side, chosen together.

    Among all pairs inside both windows: first no difference that the eye mistakes (equal lengths are
    safe, one length for both), then the smallest distance from target + aim, longer before shorter
    on a tie. Where a side has no length in its window, the other is chosen alone.
    """
    window = window_mm(nipple, house)
    inside = {
        side: _inside(spokes[side].lengths_mm, targets_mm[side], window)
        for side in ("left", "right")
    }
    pair = best_pair(Sides(inside["left"], inside["right"]), targets_mm, house)
    return Sides(
        left=_choice(spokes.left.lengths_mm, targets_mm.left, window, pair[0]),
        right=_choice(spokes.right.lengths_mm, targets_mm.right, window, pair[1]),
    )


def best_pair(
    inside: Sides[Sequence[int]], targets_mm: Sides[float], house: LengthHouse
) -> tuple[int | None, int | None]:
    """Of the lengths inside each side's window the two that `choose` takes; None where there is none."""
    pair: tuple[int | None, int | None] | None = min(
        ((left, right) for left in inside.left for right in inside.right),
        key=lambda pair: _cost(pair, targets_mm, house),
        default=None,
    )
    return pair or (
        _nearest(inside.left, targets_mm.left + house.aim_mm),
        _nearest(inside.right, targets_mm.right + house.aim_mm),
    )


def look_alike(left_mm: int, right_mm: int, house: LengthHouse) -> bool:
    """True where two different lengths are too close to tell apart by eye."""
    return 0 < abs(left_mm - right_mm) <= house.look_alike_mm


def _cost(
    pair: tuple[int, int], targets_mm: Sides[float], house: LengthHouse
) -> tuple[bool, float, int]:
    left, right = pair
    off_mm = abs(left - targets_mm.left - house.aim_mm) + abs(
        right - targets_mm.right - house.aim_mm
    )
    return look_alike(left, right, house), round(off_mm, 6), -(left + right)


def _inside(lengths_mm: range, target_mm: float, window: tuple[float, float]) -> list[int]:
    low = target_mm + window[0] - ROUNDING_MM
    high = target_mm + window[1] + ROUNDING_MM
    return [length for length in lengths_mm if low <= length <= high]


def _nearest(lengths_mm: Iterable[int], aim_mm: float) -> int | None:
    return min(lengths_mm, key=lambda length: (abs(length - aim_mm), -length), default=None)


def _choice(
    lengths_mm: range, target_mm: float, window: tuple[float, float], stock_mm: int | None
) -> StockChoice:
    return StockChoice(
        target_mm=target_mm,
        window_mm=window,
        stock_mm=stock_mm,
        below_mm=max((each for each in lengths_mm if each <= target_mm), default=None),
        above_mm=min((each for each in lengths_mm if each > target_mm), default=None),
    )
