"""Choices whose classes are gone through one by one, because each leaves little of the others.

Under one class of a choice, whole classes of other choices fall away: a use leaves half of the rims,
hubs and spokes, so six small spaces are far less work than one large.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace

import numpy as np

from buildsheet.space.counting.arithmetic import Floats
from buildsheet.space.counting.contraction import Scope
from buildsheet.space.counting.ordering import Plan, plan_of
from buildsheet.space.counting.support import Alive, Pairs

OVERHEAD = 1e6
"""What a pass costs beside its products, in products (measured: about 2 ms)."""

_MOST_PASSES = 64


def split_plan(
    sizes: tuple[int, ...], scopes: Collection[Scope], first: frozenset[int], pairs: Pairs
) -> Plan:
    """A plan with those splits that make it cheaper, as far as ``pairs`` foretell.

    Raises `CannotCount` as `plan_of` does.
    """
    held = sizes
    branches: list[dict[int, Alive]] = [{}]
    split: tuple[int, ...] = ()
    cliques = _cliques(plan_of(sizes, scopes, first, limited=False))
    while True:
        now = len(branches) * OVERHEAD + sum(_work(cliques, [_sizes(held, b)]) for b in branches)
        best: tuple[float, int] | None = None
        for var, size in enumerate(held):
            if var in first or size < 2 or size * len(branches) > _MOST_PASSES:
                continue
            tried = sum(_foretold(cliques, held, branch, var, pairs) for branch in branches)
            if best is None or tried < best[0]:
                best = (tried, var)
        if best is None or best[0] > now * 0.8:
            break
        var = best[1]
        branches = [b for branch in branches for b in _branches(branch, var, held, pairs)]
        held = tuple(1 if other == var else size for other, size in enumerate(held))
        split = (*split, var)
    if not branches:
        branches = [{}]
    largest = np.max([_sizes(held, branch) for branch in branches], axis=0)
    plan = plan_of(tuple(int(size) for size in largest), scopes, first, passes=len(branches))
    return replace(plan, split=(*split, *plan.split))


def _cliques(plan: Plan) -> Floats:
    """A row for each table on the way, 1 at the choices in it."""
    rows = np.zeros((len(plan.order), len(plan.sizes)))
    for row, var, joined in zip(rows, plan.order, plan.joined, strict=True):
        row[[var, *joined]] = 1
    return rows


def _work(cliques: Floats, sizes: Sequence[Floats] | Floats) -> float:
    return float(np.exp(cliques @ np.log(np.maximum(np.asarray(sizes), 1)).T).sum())


def _sizes(held: tuple[int, ...], branch: dict[int, Alive]) -> Floats:
    sizes = np.array(held, dtype=np.float64)
    for var, alive in branch.items():
        sizes[var] = min(sizes[var], alive.sum())
    return sizes


def _foretold(
    cliques: Floats, held: tuple[int, ...], branch: dict[int, Alive], var: int, pairs: Pairs
) -> float:
    """Work and overhead when this branch is split by the choice."""
    rows = np.repeat(_sizes(held, branch)[None], held[var], axis=0)
    for (one, two), both in pairs.items():
        if one == var and held[two] > 1:
            rows[:, two] = both @ branch[two] if two in branch else both.sum(axis=1)
    rows[:, var] = 1
    rows = rows[branch[var] > 0] if var in branch else rows
    rows = rows[(rows > 0).all(axis=1)]
    return _work(cliques, rows) + OVERHEAD * len(rows)


def _branches(
    branch: dict[int, Alive], var: int, held: tuple[int, ...], pairs: Pairs
) -> list[dict[int, Alive]]:
    found = []
    for number in range(held[var]):
        if var in branch and not branch[var][number]:
            continue
        one = dict(branch)
        for (first, two), both in pairs.items():
            if first == var and held[two] > 1:
                one[two] = both[number] * branch[two] if two in branch else both[number]
        if all(alive.any() for alive in one.values()):
            found.append(one)
    return found
