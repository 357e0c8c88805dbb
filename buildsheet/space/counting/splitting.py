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
from buildsheet.space.counting.ordering import Plan, plan_of, quick_plan
from buildsheet.space.counting.support import Alive, Pairs

OVERHEAD = 3e6
"""What a pass costs beside its products, in products (measured: about 1 ms against 0.3 ns)."""

_CACHED = (
    2**21
)  # entries: products of larger tables wait for memory, up to four times as long (seen)
_LOOKED_AT = 6  # promising choices, for each of which another order is tried

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
    now = _work(cliques, [_sizes(sizes, {})]) + OVERHEAD
    while True:
        open_to = [
            var
            for var, size in enumerate(held)
            if var not in first and size > 1 and size * len(branches) <= _MOST_PASSES
        ]
        foretold = {var: [_foretold(held, b, var, pairs) for b in branches] for var in open_to}
        rough = {var: _cost(cliques, found) for var, found in foretold.items()}
        best: tuple[float, int, Floats] | None = None
        for var in sorted(open_to, key=rough.__getitem__)[:_LOOKED_AT]:
            tried = _cliques(quick_plan(_middle(foretold[var], held, var), scopes, first))
            cost, picked = min(
                ((_cost(each, foretold[var]), each) for each in (cliques, tried)),
                key=lambda pair: pair[0],
            )
            if best is None or cost < best[0]:
                best = (cost, var, picked)
        if best is None or best[0] > now * 0.8:
            break
        now, var, cliques = best
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
    """Products over all tables, for each row of sizes; those that wait for memory count more."""
    entries = np.exp(cliques @ np.log(np.maximum(np.asarray(sizes), 1)).T)
    return float((entries * np.minimum(1 + entries / _CACHED, 4)).sum())


def _cost(cliques: Floats, foretold: Sequence[Floats]) -> float:
    rows = np.concatenate(foretold)
    return _work(cliques, rows) + OVERHEAD * len(rows)


def _middle(foretold: Sequence[Floats], held: tuple[int, ...], var: int) -> tuple[int, ...]:
    """Typical sizes of the choices when one is split."""
    rows = np.concatenate(foretold)
    if not len(rows):
        return tuple(1 if other == var else size for other, size in enumerate(held))
    return tuple(int(size) for size in np.ceil(rows.mean(axis=0)))


def _sizes(held: tuple[int, ...], branch: dict[int, Alive]) -> Floats:
    sizes = np.array(held, dtype=np.float64)
    for var, alive in branch.items():
        sizes[var] = min(sizes[var], alive.sum())
    return sizes


def _foretold(held: tuple[int, ...], branch: dict[int, Alive], var: int, pairs: Pairs) -> Floats:
    """How many classes each choice has left, a row for each class of one that may be split."""
    rows = np.repeat(_sizes(held, branch)[None], held[var], axis=0)
    for (one, two), both in pairs.items():
        if one == var and held[two] > 1:
            rows[:, two] = both @ branch[two] if two in branch else both.sum(axis=1)
    rows[:, var] = 1
    rows = rows[branch[var] > 0] if var in branch else rows
    return np.asarray(rows[(rows > 0).all(axis=1)])


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
