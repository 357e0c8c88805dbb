"""What is counted: choices with their values, and factors that say which values go together."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from buildsheet.errors import CannotCount

Table = npt.NDArray[Any]
"""Truth values or numbers >= 0, one axis a choice."""


@dataclass(frozen=True)
class Choice:
    """One thing to choose among ``size`` values, numbered from 0.

    ``weights``: how many configurations each value stands for (whole numbers >= 0); None is 1 each.
    """

    name: str
    size: int
    weights: tuple[int, ...] | None = None

    def __post_init__(self) -> None:
        if self.size < 0:
            raise CannotCount(f"choice {self.name} has {self.size} values; the least is none")
        if self.weights is None:
            return
        if len(self.weights) != self.size:
            raise CannotCount(
                f"choice {self.name} has {self.size} values, but {len(self.weights)} weights"
            )
        if any(weight < 0 for weight in self.weights):
            raise CannotCount(f"choice {self.name} has a weight below 0")


@dataclass(frozen=True, eq=False)
class Factor:
    """A table over some choices: which combinations go (bool), or how many ways each one stands for.

    The axes of ``table`` follow ``names``; numbers are whole and >= 0.
    """

    names: tuple[str, ...]
    table: Table

    def __post_init__(self) -> None:
        title = f"the factor over {', '.join(self.names) or 'no choice'}"
        if len(set(self.names)) != len(self.names):
            raise CannotCount(f"{title} names a choice twice")
        if self.table.ndim != len(self.names):
            raise CannotCount(f"{title} has a table of {self.table.ndim} axes")
        if self.table.dtype.kind not in "biuO":
            raise CannotCount(
                f"{title} holds {self.table.dtype}; only truth values and whole numbers are counted"
            )
        if self.table.size and self.table.dtype.kind in "iO" and self.table.min() < 0:
            raise CannotCount(f"{title} holds a number below 0")

    @property
    def counted(self) -> bool:
        """Whether some entry is more than yes or no."""
        return bool(self.table.dtype.kind != "b" and self.table.size and self.table.max() > 1)


def numbered(choices: Iterable[Choice], factors: Iterable[Factor]) -> Mapping[str, int]:
    """Each choice's number by its name; raises `CannotCount` where factors and choices do not fit."""
    sizes: dict[str, int] = {}
    for choice in choices:
        if choice.name in sizes:
            raise CannotCount(f"there are two choices named {choice.name}")
        sizes[choice.name] = choice.size
    for factor in factors:
        for name, length in zip(factor.names, factor.table.shape, strict=True):
            if name not in sizes:
                raise CannotCount(f"a factor names the choice {name}, which is not there")
            if sizes[name] != length:
                raise CannotCount(
                    f"choice {name} has {sizes[name]} values, but a factor over "
                    f"{', '.join(factor.names)} has {length} there"
                )
    return {name: number for number, name in enumerate(sizes)}


def as_whole(table: Table) -> Table:
    """The table in 64-bit whole numbers, or in Python's own where these do not hold its numbers."""
    if table.dtype.kind == "b" or (table.dtype.kind in "iu" and table.dtype.itemsize < 8):
        return table.astype(np.int64)
    if table.dtype.kind == "i":
        return table
    held = bool(table.size == 0 or int(table.max()) < 2**63)
    return table.astype(np.int64 if held else object)
