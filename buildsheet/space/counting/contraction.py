"""Several tables become one: multiplied where they share a choice, summed over what is not kept."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import prod

import numpy as np

from buildsheet.space.counting.arithmetic import Floats, Ring

Scope = tuple[int, ...]
"""Numbers of the choices that a table's axes stand for."""

Operand = tuple[Scope, Floats]

_SMALL = 256  # below so many products a batch, one loop beats many calls for a matrix product


@dataclass(frozen=True)
class Step:
    """One step of a path. ``second`` None: axes of the first are summed; else the two are joined."""

    first: int
    second: int | None
    axes: tuple[int, ...] = ()
    first_axes: tuple[int, ...] = ()
    second_axes: tuple[int, ...] = ()
    shared: int = 0
    alone: int = 0
    scope: Scope = ()


def contract(
    operands: Sequence[Operand], keep: Scope, sizes: tuple[int, ...], ring: Ring
) -> Operand:
    """The product of all operands, summed over every choice that is not in ``keep``.

    The answer's scope holds those of ``keep`` that some operand has. ``sizes`` by choice decide in
    which order the tables are joined; entries must be below 2^53 as `arithmetic` says.
    """
    tables = dict(enumerate(operands))
    number = len(operands)
    for step in path(tuple(scope for scope, _ in operands), keep, sizes):
        _, first = tables.pop(step.first)
        if step.second is None:
            table = ring.settle(first.sum(axis=step.axes))
        else:
            _, second = tables.pop(step.second)
            table = ring.settle(_join(first, second, step, ring))
        tables[number] = (step.scope, table)
        number += 1
    ((scope, table),) = tables.values()
    return scope, table


def _join(first: Floats, second: Floats, step: Step, ring: Ring) -> Floats:
    """Axes first: shared and kept, alone, summed; second: shared and kept, summed, alone."""
    first = first.transpose(step.first_axes)
    second = second.transpose(step.second_axes)
    shared = first.shape[: step.shared]
    left = first.shape[step.shared : step.shared + step.alone]
    summed = first.shape[step.shared + step.alone :]
    right = second.shape[step.shared + len(summed) :]
    if not summed:
        first = first.reshape(shared + left + (1,) * len(right))
        second = second.reshape(shared + (1,) * len(left) + right)
        return np.asarray(first * second)
    many, rows, length, wide = prod(shared), prod(left), prod(summed), prod(right)
    product = _matrices(first.reshape(many, rows, length), second.reshape(many, length, wide), ring)
    return product.reshape(shared + left + right)


def _matrices(first: Floats, second: Floats, ring: Ring) -> Floats:
    """Matrix by matrix, in blocks whose sums stay exact."""
    length = first.shape[2]
    if length <= ring.summed:
        if len(first) > 1 and first.shape[1] * length * second.shape[2] < _SMALL:
            return np.asarray(np.einsum("bls,bsr->blr", first, second))
        return np.asarray(np.matmul(first, second))
    total = np.zeros((len(first), first.shape[1], second.shape[2]))
    for start in range(0, length, ring.summed):
        block = slice(start, start + ring.summed)
        total += ring.settle(np.matmul(first[:, :, block], second[:, block]))
    return total


def path(scopes: tuple[Scope, ...], keep: Scope, sizes: tuple[int, ...]) -> tuple[Step, ...]:
    """Which tables to sum and join, in order: always the pair with the smallest result."""
    # Remembered by the sizes that enter alone, and those in powers of two: what is held elsewhere, or a
    # few values more or less, must not make it another question. A good order needs no exact sizes.
    involved = sorted({var for scope in scopes for var in scope})
    return _path(scopes, keep, tuple((var, 1 << (sizes[var] - 1).bit_length()) for var in involved))


@lru_cache(maxsize=16384)
def _path(
    scopes: tuple[Scope, ...], keep: Scope, of_size: tuple[tuple[int, int], ...]
) -> tuple[Step, ...]:
    sizes = dict(of_size)
    there = dict(enumerate(scopes))
    steps: list[Step] = []
    number = len(scopes)
    while True:
        step = _lone(there, keep) or _pair(there, keep, sizes)
        if step is None:
            return tuple(steps)
        there.pop(step.first)
        if step.second is not None:
            there.pop(step.second)
        there[number] = step.scope
        number += 1
        steps.append(step)


def _lone(there: dict[int, Scope], keep: Scope) -> Step | None:
    """Sums the first table that alone has a choice which is not kept."""
    for place, scope in there.items():
        others = {var for other, held in there.items() if other != place for var in held}
        gone = [var for var in scope if var not in others and var not in keep]
        if gone:
            axes = tuple(scope.index(var) for var in gone)
            return Step(place, None, axes, scope=tuple(var for var in scope if var not in gone))
    return None


def _pair(there: dict[int, Scope], keep: Scope, sizes: Mapping[int, int]) -> Step | None:
    """Joins the two tables with the smallest result, summing what no other table has."""
    best: tuple[tuple[int, int], Step] | None = None
    places = list(there)
    for index, first in enumerate(places):
        for second in places[index + 1 :]:
            needed = set(keep).union(
                *(scope for place, scope in there.items() if place not in {first, second})
            )
            step = _step(first, second, there, needed)
            result = prod(sizes[var] for var in step.scope)
            work = prod(sizes[var] for var in {*there[first], *there[second]})
            if best is None or (result, work) < best[0]:
                best = ((result, work), step)
    return best and best[1]


def _step(first: int, second: int, there: dict[int, Scope], needed: set[int]) -> Step:
    one, two = there[first], there[second]
    both = [var for var in one if var in two]
    shared = [var for var in both if var in needed]
    summed = [var for var in both if var not in needed]
    left = [var for var in one if var not in both]
    right = [var for var in two if var not in both]
    return Step(
        first,
        second,
        first_axes=tuple(one.index(var) for var in (*shared, *left, *summed)),
        second_axes=tuple(two.index(var) for var in (*shared, *summed, *right)),
        shared=len(shared),
        alone=len(left),
        scope=(*shared, *left, *right),
    )
