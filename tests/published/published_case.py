"""One printed figure, who printed it, and what our model says instead."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

Mark = Literal[
    "read", "second-hand", "from memory", "common practice, no source", "own calculation"
]


@dataclass(frozen=True)
class Case:
    """``within`` is in the figure's own unit, and ``why`` says where that tolerance comes from."""

    what: str
    source: str
    mark: Mark
    printed: float
    unit: str
    ours: Callable[[], float]
    within: float
    why: str
    note: str = ""

    def difference(self) -> float:
        """Ours minus printed."""
        return self.ours() - self.printed

    def __str__(self) -> str:
        return self.what.replace(" ", "-")


def relative(printed: float, share: float) -> float:
    """A tolerance that is a share of the printed figure."""
    return abs(printed) * share
