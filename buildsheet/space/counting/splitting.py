"""Choices whose classes are gone through one by one, because each leaves little of the others.

Under one class of a choice, whole classes of other choices fall away: a use leaves half of the rims,
hubs and spokes, so six small spaces are far less work than one large.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace

import numpy as np

from buildsheet.space.counting.arithmetic import Floats
from buildsheet.space.counting.contraction import Scope
from buildsheet.space.counting.ordering import Plan, plan_of, quick_plan
from buildsheet.space.counting.support import Alive, Pairs

OVERHEAD = 3e6
"""What a pass costs beside its products, in products (measured: about 1 ms against 0.3 ns)."""

WRITTEN = 7
"""What an entry of a result costs to write, in products (measured: about 2 ns)."""

_MOST_PASSES = 64
_ENOUGH = 0.8  # a split that saves less than a fifth is foretold too roughly to be worth it

Branch = dict[int, Alive]
"""What is left of other choices in one pass, as far as it is less than all."""

Tables = tuple[Floats, Floats]
"""A row for each step of a plan, 1 at the choices that its products have, and that its result has."""


def split_plan(
    sizes: tuple[int, ...], scopes: Collection[Scope], first: frozenset[int], pairs: Pairs
) -> Plan:
    """A plan with those splits that make it cheaper, as far as ``pairs`` foretell.

    Raises `CannotCount` as `plan_of` does.
    """
    held = sizes
    branches: list[Branch] = [{}]
    split: tuple[int, ...] = ()
    tables = _tables(quick_plan(sizes, scopes, first))
    now = _cost(tables, _sizes(sizes, {})[None])
    while now > OVERHEAD * len(branches) * 2:
        best: tuple[float, int, Tables] | None = None
        for var, size in enumerate(held):
            passes = size * len(branches)
            if var in first or size < 2 or passes > _MOST_PASSES:
                continue
            if OVERHEAD * passes > now * _ENOUGH:
                continue
            rows = np.concatenate([_foretold(held, branch, var, pairs) for branch in branches])
            tried = _tables(quick_plan(_typical(rows), scopes, first)) if len(rows) else tables
            for each in (tables, tried):
                cost = _cost(each, rows)
                if best is None or cost < best[0]:
                    best = cost, var, each
        if best is None or best[0] > now * _ENOUGH:
            break
        now, var, tables = best
        branches = [b for branch in branches for b in _branches(branch, var, held, pairs)]
        held = tuple(1 if other == var else size for other, size in enumerate(held))
        split = (*split, var)
        if not branches:
            branches = [{}]
    largest = np.max([_sizes(held, branch) for branch in branches], axis=0)
    plan = plan_of(tuple(int(size) for size in largest), scopes, first, passes=len(branches))
    return replace(plan, split=(*split, *plan.split))


def _tables(plan: Plan) -> Tables:
    results = np.zeros((len(plan.order), len(plan.sizes)))
    for row, joined in zip(results, plan.joined, strict=True):
        row[list(joined)] = 1
    products = results.copy()
    products[range(len(plan.order)), list(plan.order)] = 1
    return products, results


def _cost(tables: Tables, rows: Floats) -> float:
    """Of all passes, in products; ``rows`` has the sizes of the choices in each pass."""
    logs = np.log(np.maximum(rows, 1)).T
    products, written = (float(np.exp(table @ logs).sum()) for table in tables)
    return products + WRITTEN * written + OVERHEAD * len(rows)


def _typical(rows: Floats) -> tuple[int, ...]:
    return tuple(int(size) for size in np.ceil(rows.mean(axis=0)))


def _sizes(held: tuple[int, ...], branch: Branch) -> Floats:
    sizes = np.array(held, dtype=np.float64)
    for var, alive in branch.items():
        sizes[var] = min(sizes[var], alive.sum())
    return sizes


def _foretold(held: tuple[int, ...], branch: Branch, var: int, pairs: Pairs) -> Floats:
    """How many classes each choice has left, a row for each class of one that may be split."""
    rows = np.repeat(_sizes(held, branch)[None], held[var], axis=0)
    for (one, two), both in pairs.items():
        if one == var and held[two] > 1:
            rows[:, two] = both @ branch[two] if two in branch else both.sum(axis=1)
    rows[:, var] = 1
    rows = rows[branch[var] > 0] if var in branch else rows
    return np.asarray(rows[(rows > 0).all(axis=1)])


def _branches(branch: Branch, var: int, held: tuple[int, ...], pairs: Pairs) -> list[Branch]:
    """What is left under each class of a choice that leaves anything."""
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
