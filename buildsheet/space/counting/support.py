"""Which classes of two choices go together at all: what can be cut off before any table is joined."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from math import prod

import numpy as np
import numpy.typing as npt

from buildsheet.space.counting.contraction import Scope
from buildsheet.space.counting.problem import Table

Alive = npt.NDArray[np.float32]
"""1 for each class that takes part, 0 for the others."""

Pairs = Mapping[tuple[int, int], Alive]
"""For two choices: 1 where some combination has both classes, a row for each class of the first."""

_LARGEST = 2**18  # entries: larger pairs cost more to look through than they save
_ROUNDS = 4  # the first cuts nearly all; stopping early is only less thorough, never wrong


def pairs_of(sizes: Sequence[int], tables: Iterable[tuple[Scope, Table]]) -> Pairs:
    """All pairs that some table binds, both ways round."""
    found: dict[tuple[int, int], npt.NDArray[np.bool_]] = {}
    for scope, table in tables:
        some = table != 0
        for one in range(len(scope)):
            for two in range(one + 1, len(scope)):
                pair = scope[one], scope[two]
                if prod(sizes[var] for var in pair) > _LARGEST:
                    continue
                both = some.any(axis=tuple(a for a in range(len(scope)) if a not in {one, two}))
                if not both.all():
                    found[pair] = found[pair] & both if pair in found else both
    pairs = {pair: both.astype(np.float32) for pair, both in found.items()}
    return pairs | {(two, one): np.ascontiguousarray(both.T) for (one, two), both in pairs.items()}


def spread(
    alive: dict[int, Alive], changed: Iterable[int], pairs: Pairs, all_of: Sequence[int]
) -> None:
    """Cuts in ``alive`` what the changed choices no longer leave, and what these cuts cut.

    ``alive`` holds the choices of which not all classes take part; the others are whole, ``all_of``
    says how many classes each has.
    """
    waiting = set(changed)
    for _ in range(_ROUNDS):
        if not waiting:
            return
        later: set[int] = set()
        for (one, two), both in pairs.items():
            if one not in waiting:
                continue
            left = (alive[one] @ both > 0).astype(np.float32)
            before = alive.get(two)
            after = left if before is None else left * before
            if after.sum() < (all_of[two] if before is None else before.sum()):
                alive[two] = after
                later.add(two)
        waiting = later
