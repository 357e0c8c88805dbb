"""The same space as a binary decision diagram, by the open library `oxidd`: to compare with.

A choice of n values is written in ceil(log2 n) variables (the log encoding), most significant first,
all variables of a choice together; codes beyond n are refused. A factor's table becomes a diagram from
the table itself, equal rows built once; the diagrams are conjoined, those deepest in the variable order
first, and the models counted exactly.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from oxidd import bcdd, bdd

from buildsheet.space.counting import Choice, Factor

KINDS: dict[str, Any] = {"bdd": bdd.BDDManager, "bcdd": bcdd.BCDDManager}
"""Plain diagrams, and diagrams with complement edges."""

NODES = 2**22


class Diagrams:
    """Choices in a variable order, as diagrams."""

    def __init__(
        self,
        choices: Sequence[Choice],
        order: Sequence[str],
        kind: str = "bdd",
        *,
        nodes: int = NODES,
    ) -> None:
        self._manager = KINDS[kind](nodes, nodes // 4, 1)
        sizes = {choice.name: choice.size for choice in choices}
        self._rank = {name: place for place, name in enumerate(order)}
        self._bits = {
            name: [
                self._manager.var(v) for v in self._manager.add_vars((sizes[name] - 1).bit_length())
            ]
            for name in order
        }
        self._variables = sum(len(bits) for bits in self._bits.values())
        self._sizes = sizes

    def count(self, factors: Sequence[Factor]) -> int:
        """Combinations that every factor (of truth values) lets through."""
        whole = self._manager.true()
        every = [
            Factor((name,), np.ones(size, dtype=np.bool_)) for name, size in self._sizes.items()
        ]
        for factor in sorted([*factors, *every], key=self._depth, reverse=True):
            whole = whole & self._of(factor)
        return int(whole.sat_count(self._variables))

    def _depth(self, factor: Factor) -> tuple[int, int]:
        ranks = [self._rank[name] for name in factor.names]
        return (min(ranks), max(ranks)) if ranks else (0, 0)

    def _of(self, factor: Factor) -> Any:
        axes = sorted(range(len(factor.names)), key=lambda axis: self._rank[factor.names[axis]])
        return self._table([factor.names[axis] for axis in axes], factor.table.transpose(axes), {})

    def _table(
        self, names: Sequence[str], table: np.ndarray, known: dict[tuple[int, bytes], Any]
    ) -> Any:
        if not names:
            return self._manager.true() if table else self._manager.false()
        key = (len(names), table.tobytes())
        if key not in known:
            below = [self._table(names[1:], row, known) for row in table]
            known[key] = self._among(self._bits[names[0]], below)
        return known[key]

    def _among(self, bits: Sequence[Any], below: list[Any]) -> Any:
        """The entry whose number the bits spell."""
        if not bits:
            return below[0]
        half = 1 << (len(bits) - 1)
        low = self._among(bits[1:], below[:half])
        high = self._among(bits[1:], below[half:]) if below[half:] else self._manager.false()
        return bits[0].ite(high, low)
