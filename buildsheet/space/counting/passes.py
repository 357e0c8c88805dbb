"""From the leaves to the root for the count, and back for the ways through every class.

A choice's place in the order holds the tables that are used up there. Its result, over the later
choices that its tables still have, is handed to the first of these; so the places form trees. The
count is the product of what the roots hand out. What comes back to a place is the number of ways of
all that is not below it; joined with what is below, it gives the ways through each class of the
choice, its own weight left out.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from math import prod

import numpy as np

from buildsheet.space.counting.arithmetic import Floats, Plain, Ring
from buildsheet.space.counting.contraction import Operand, contract
from buildsheet.space.counting.ordering import Plan


@dataclass(frozen=True, eq=False)
class Work:
    """All that a pass needs, in one ring.

    ``tables``: for each place in the order, the tables used up there; ``weights``: of every choice's
    classes; ``ored``: choices of which some class must work, instead of all being counted (they come
    first in the order, and their tables and weights are 0 or 1); ``constant`` multiplies all.
    """

    plan: Plan
    tables: Sequence[Sequence[Operand]]
    weights: Sequence[Floats]
    ored: frozenset[int]
    constant: Floats
    ring: Ring

    def weight(self, place: int) -> list[Operand]:
        """The weights of the choice at a place, or nothing where all are 1."""
        var = self.plan.order[place]
        weights = self.weights[var]
        return [] if bool((weights == 1).all()) else [((var,), weights)]


def upward(work: Work) -> list[Operand]:
    """What each place hands on; the roots' results have no axis."""
    plan = work.plan
    results: list[Operand] = []
    for place, var in enumerate(plan.order):
        operands = [*work.tables[place], *(results[child] for child in plan.children[place])]
        operands += work.weight(place)
        if not operands:
            operands = [((var,), work.weights[var])]
        if var in work.ored:  # true numbers, not remainders: no more than the classes of one choice
            scope, table = contract(operands, plan.joined[place], plan.sizes, Plain())
            results.append((scope, np.minimum(table, 1.0)))
        else:
            results.append(contract(operands, plan.joined[place], plan.sizes, work.ring))
    return results


def total(work: Work, results: Sequence[Operand]) -> Floats:
    """The count."""
    count = work.constant
    for place, scope in enumerate(work.plan.joined):
        if not scope:
            count = work.ring.settle(np.asarray(count * results[place][1]))
    return count


def downward(
    work: Work, results: Sequence[Operand], wanted: Collection[int]
) -> Mapping[int, Floats]:
    """For each wanted choice (none of them or-ed), the ways through each class but for its weight."""
    plan = work.plan
    back = _at_roots(work, results)
    found: dict[int, Floats] = {}
    needed = _above(plan, wanted)
    for place in sorted(needed, reverse=True):
        var = plan.order[place]
        here = [*work.tables[place], back[place]]
        below = plan.children[place]
        if var in wanted:
            operands = [*here, *(results[child] for child in below)]
            scope, table = contract(operands, (var,), plan.sizes, work.ring)
            found[var] = table if scope else np.full(len(work.weights[var]), table)
        here += work.weight(place)
        for child in needed.intersection(below):
            operands = [*here, *(results[other] for other in below if other != child)]
            back[child] = contract(operands, plan.joined[child], plan.sizes, work.ring)
    return found


def _above(plan: Plan, wanted: Collection[int]) -> set[int]:
    """The places of the wanted choices and of all that their results are handed to."""
    needed: set[int] = set()
    for var in wanted:
        place = plan.place[var]
        while place not in needed:
            needed.add(place)
            if not plan.joined[place]:
                break
            place = plan.bucket(plan.joined[place])
    return needed


def _at_roots(work: Work, results: Sequence[Operand]) -> dict[int, Operand]:
    """For each root, the product of all other roots and the constant."""
    roots = [place for place, scope in enumerate(work.plan.joined) if not scope]
    back: dict[int, Operand] = {}
    before = work.constant
    for place in roots:
        back[place] = ((), before)
        before = work.ring.settle(np.asarray(before * results[place][1]))
    after = np.asarray(1.0)
    for place in reversed(roots):
        back[place] = ((), work.ring.settle(np.asarray(back[place][1] * after)))
        after = work.ring.settle(np.asarray(after * results[place][1]))
    return back


def bound(weights: Sequence[int], most: Sequence[int], constant: int) -> int:
    """No number of either pass exceeds this: total weights of all choices x largest entries."""
    return prod(max(1, number) for number in (*weights, *most, constant))
