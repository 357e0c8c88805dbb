"""In which order choices are eliminated, so that the tables on the way stay small."""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from math import prod

from buildsheet.errors import CannotCount
from buildsheet.space.counting.contraction import Scope

MOST_ENTRIES = 2**25
"""The largest table that is made, in entries of 8 bytes: 256 MiB (proposal)."""

MOST_WORK = 2**33
"""The most products that one question may take: some ten seconds on one core (proposal)."""

Cost = Callable[[int, "_Graph", Sequence[int]], int]


@dataclass(frozen=True)
class Plan:
    """An order of elimination. Choices are numbers.

    ``split``: choices whose values are gone through one by one, for the memory's sake.
    ``largest``: entries of the largest table, ``work``: products over all tables and all splits.
    """

    order: tuple[int, ...]
    joined: tuple[Scope, ...]  # for each of `order`, the later choices that its table still has
    sizes: tuple[int, ...]
    split: tuple[int, ...]
    largest: int
    work: int

    @cached_property
    def place(self) -> dict[int, int]:
        """Where each choice stands in the order."""
        return {var: place for place, var in enumerate(self.order)}

    def bucket(self, scope: Scope) -> int:
        """The place in the order where a table of this scope is used up."""
        return min(self.place[var] for var in scope)

    @cached_property
    def children(self) -> tuple[tuple[int, ...], ...]:
        """For each place, the earlier places whose results are used up there."""
        found: list[list[int]] = [[] for _ in self.order]
        for place, scope in enumerate(self.joined):
            if scope:
                found[self.bucket(scope)].append(place)
        return tuple(tuple(places) for places in found)


class _Graph:
    """Which choices stand in a table together, while choices are taken away."""

    def __init__(self, count: int, scopes: Collection[Scope]) -> None:
        self.near: list[set[int]] = [set() for _ in range(count)]
        for scope in scopes:
            for var in scope:
                self.near[var].update(scope)
        for var, near in enumerate(self.near):
            near.discard(var)

    def take(self, var: int) -> set[int]:
        """Takes a choice away; those that stood with it now stand together."""
        near = self.near[var]
        for other in near:
            self.near[other] |= near
            self.near[other] -= {var, other}
        return near


def _result(var: int, graph: _Graph, sizes: Sequence[int]) -> int:
    """Entries of the table that is left when the choice is gone."""
    return prod(map(sizes.__getitem__, graph.near[var]))


def _whole(var: int, graph: _Graph, sizes: Sequence[int]) -> int:
    """Entries of the table while the choice is in it."""
    return sizes[var] * _result(var, graph, sizes)


def _fill(var: int, graph: _Graph, sizes: Sequence[int]) -> int:
    """Entries of the pairs that stand together only because the choice goes."""
    near = sorted(graph.near[var])
    return sum(
        sizes[one] * sizes[two]
        for place, one in enumerate(near)
        for two in near[place + 1 :]
        if two not in graph.near[one]
    )


def plan_of(
    sizes: tuple[int, ...],
    scopes: Collection[Scope],
    first: frozenset[int] = frozenset(),
    *,
    passes: int = 1,
) -> Plan:
    """The cheapest of a few orders, split as far as memory asks.

    ``first`` are eliminated before all others and are never split. The plan will be gone through in
    so many ``passes``. Raises `CannotCount` where even splitting leaves a table above `MOST_ENTRIES`
    or asks for more work than `MOST_WORK`.
    """
    held = sizes
    split: tuple[int, ...] = ()
    times = passes
    plan = _best(held, scopes, first)
    while plan.largest > MOST_ENTRIES:
        best: tuple[int, int, Plan] | None = None
        for var in {*_largest_scope(plan)} - first - {*split}:
            if held[var] < 2:
                continue
            tried = _best(tuple(1 if v == var else n for v, n in enumerate(held)), scopes, first)
            if best is None or tried.work * held[var] < best[0]:
                best = (tried.work * held[var], var, tried)
        if best is None or best[0] * times > MOST_WORK:
            raise CannotCount(
                f"the factors bind so many choices together that a table of {plan.largest:,} "
                f"entries is needed; the limit is {MOST_ENTRIES:,}. Try to hold more choices, or "
                "conditions that read fewer facts at once"
            )
        _, var, plan = best
        times *= held[var]
        held = plan.sizes
        split = (*split, var)
    if plan.work * times > MOST_WORK:
        raise CannotCount(
            f"the count would take {plan.work * times:,} products; the limit is {MOST_WORK:,}. "
            "Try to hold more choices, or conditions that read fewer facts at once"
        )
    return replace(plan, split=split, work=plan.work * times)


def quick_plan(sizes: tuple[int, ...], scopes: Collection[Scope], first: frozenset[int]) -> Plan:
    """One order, without a look at others or at any limit."""
    return _eliminated(sizes, scopes, first, _result)


LITTLE_WORK = 50_000
"""Products that are done in about the time in which an order is found (own measurement)."""


def _largest_scope(plan: Plan) -> Scope:
    scopes = [(var, *near) for var, near in zip(plan.order, plan.joined, strict=True)]
    return max(scopes, key=lambda scope: prod(plan.sizes[var] for var in scope))


def _best(sizes: tuple[int, ...], scopes: Collection[Scope], first: frozenset[int]) -> Plan:
    best: Plan | None = None
    for cost in (_result, _whole, _fill):
        plan = _eliminated(sizes, scopes, first, cost)
        if best is None or (plan.work, plan.largest) < (best.work, best.largest):
            best = plan
        if best.work <= LITTLE_WORK:
            break  # another order would cost more to find than it could save
    if best is None:
        raise ValueError("no order was tried")
    return best


def _eliminated(
    sizes: tuple[int, ...], scopes: Collection[Scope], first: frozenset[int], cost: Cost
) -> Plan:
    graph = _Graph(len(sizes), scopes)
    order: list[int] = []
    near: list[set[int]] = []
    waves = (set(first), set(range(len(sizes))) - first)
    for wave in waves:
        while wave:
            costs = {v: cost(v, graph, sizes) for v in wave}
            least = min(costs.values())
            among = (v for v in wave if costs[v] == least)
            var = min(among, key=lambda v: (_whole(v, graph, sizes), v))
            wave.remove(var)
            order.append(var)
            near.append(graph.take(var))
    place = {var: at for at, var in enumerate(order)}
    joined = tuple(tuple(sorted(others, key=place.__getitem__)) for others in near)
    tables = [
        prod(sizes[v] for v in (var, *others)) for var, others in zip(order, joined, strict=True)
    ]
    return Plan(tuple(order), joined, sizes, (), max(tables, default=1), sum(tables))
