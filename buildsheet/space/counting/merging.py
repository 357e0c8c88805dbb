"""Values that no factor tells apart become one class; what a factor does not depend on leaves it."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import prod

import numpy as np
import numpy.typing as npt

from buildsheet.space.counting.arithmetic import EXACT, Floats, Plain, Ring
from buildsheet.space.counting.contraction import Scope
from buildsheet.space.counting.problem import Table, as_whole
from buildsheet.space.counting.support import Pairs, pairs_of

Places = npt.NDArray[np.intp]
Scoped = tuple[Scope, Table]

DEAD = -1
"""The class of a value that some factor refuses with everything."""


@dataclass(frozen=True, eq=False)
class Merged:
    """A space over classes of values.

    ``classes``: for each choice the class of every value (`DEAD` for none), ``sizes`` how many
    classes; ``tables`` over at least one choice of at least two classes; ``constant`` multiplies all.
    """

    classes: tuple[Places, ...]
    sizes: tuple[int, ...]
    tables: tuple[MergedTable, ...]
    constant: int

    @cached_property
    def pairs(self) -> Pairs:
        """Which classes of two choices go together at all."""
        return pairs_of(self.sizes, [(table.scope, table.whole) for table in self.tables])


@dataclass(frozen=True, eq=False)
class MergedTable:
    """One table over classes, whole numbers; ``most`` is the largest of them."""

    scope: Scope
    whole: Table

    @cached_property
    def most(self) -> int:
        """The largest entry."""
        return int(self.whole.max())

    @cached_property
    def _floats(self) -> Floats:
        return self.whole.astype(np.float64)

    def floats(self, ring: Ring) -> Floats:
        """The entries as the ring works with them."""
        if isinstance(ring, Plain) or self.most < ring.prime:
            return self._floats
        if self.most < EXACT:
            return ring.settle(self._floats)
        return (self.whole % ring.prime).astype(np.float64)


def merge(lengths: Sequence[int], factors: Iterable[Scoped]) -> Merged:
    """The space of choices with so many values each, under these factors, over classes."""
    tables = _one_a_scope(_in_order(scope, table) for scope, table in factors)
    tables = _one_a_scope(_needed_axes(scope, table) for scope, table in tables)
    alive, tables = _living(lengths, tables)
    if not all(places.any() for places in alive):
        return _empty(lengths)
    classes: list[Places] = []
    for var, living in enumerate(alive):
        of_living, tables = _classes(var, int(living.sum()), tables)
        of_all = np.full(len(living), DEAD, dtype=np.intp)
        of_all[living] = of_living
        classes.append(of_all)
    tables = _one_a_scope(_long_axes(scope, table) for scope, table in tables)
    constant = prod(int(table) for scope, table in tables if not scope)
    return Merged(
        tuple(classes),
        tuple(int(found.max()) + 1 for found in classes),
        tuple(MergedTable(*scoped) for scoped in _absorbed([t for t in tables if t[0]])),
        constant,
    )


def _empty(lengths: Sequence[int]) -> Merged:
    """A space without any combination: every value in one class, and nothing through it."""
    classes = tuple(np.zeros(length, dtype=np.intp) for length in lengths)
    return Merged(classes, (1,) * len(classes), (), 0)


def _in_order(scope: Scope, table: Table) -> Scoped:
    """Scope in rising order."""
    order = sorted(range(len(scope)), key=scope.__getitem__)
    return tuple(scope[axis] for axis in order), table.transpose(order)


def _needed_axes(scope: Scope, table: Table) -> Scoped:
    """Without the choices that the table does not depend on."""
    kept: list[int] = []
    for var in scope:
        axis = len(kept)
        first = table[(slice(None),) * axis + (slice(0, 1),)]
        if table.shape[axis] and bool((table == first).all()):
            table = first.squeeze(axis)
        else:
            kept.append(var)
    return tuple(kept), table


def _long_axes(scope: Scope, table: Table) -> Scoped:
    """Without the choices of one class."""
    kept = tuple(var for var, length in zip(scope, table.shape, strict=True) if length > 1)
    return kept, table.squeeze() if len(kept) < len(scope) else table


def _one_a_scope(tables: Iterable[Scoped]) -> list[Scoped]:
    """Tables over the same choices multiplied into one."""
    found: dict[Scope, Table] = {}
    for scope, table in tables:
        found[scope] = _times(found[scope], table) if scope in found else table
    return list(found.items())


def _times(one: Table, two: Table) -> Table:
    """The product, in Python's whole numbers where 63 bits would not hold it."""
    if one.dtype.kind == two.dtype.kind == "b":
        return np.asarray(one & two)
    if one.size and two.size and int(one.max()) * int(two.max()) >= 2**63:
        return np.asarray(one.astype(object) * two.astype(object))
    return as_whole(one) * as_whole(two)


def _living(
    lengths: Sequence[int], tables: list[Scoped]
) -> tuple[list[npt.NDArray[np.bool_]], list[Scoped]]:
    """Which values every factor leaves something for, and the tables over these alone."""
    alive = [np.ones(length, dtype=np.bool_) for length in lengths]
    changed = True
    while changed:
        changed = False
        for number, axis in [
            (n, axis) for n, (s, _) in enumerate(tables) for axis in range(len(s))
        ]:
            scope, table = tables[number]
            others = tuple(other for other in range(table.ndim) if other != axis)
            lives = (table != 0).any(axis=others)
            if lives.all():
                continue
            changed = True
            var = scope[axis]
            alive[var][np.flatnonzero(alive[var])[~lives]] = False
            tables = [
                (held, t.compress(lives, axis=held.index(var)) if var in held else t)
                for held, t in tables
            ]
    return alive, tables


def _classes(var: int, living: int, tables: list[Scoped]) -> tuple[Places, list[Scoped]]:
    """The class of every living value of one choice, and the tables with one row a class."""
    classes = np.zeros(living, dtype=np.intp)
    for scope, table in tables:
        if var in scope:
            classes = _told_apart(classes, np.moveaxis(table, scope.index(var), 0))
    _, first = np.unique(classes, return_index=True)
    if len(first) == living:
        return classes, tables
    return classes, [
        (scope, table.take(first, axis=scope.index(var)) if var in scope else table)
        for scope, table in tables
    ]


def _told_apart(classes: Places, table: Table) -> Places:
    """Classes, split where rows of the table differ; numbered in order of appearance."""
    rows = np.ascontiguousarray(table).reshape(len(classes), -1)
    numbers: dict[Hashable, int] = {}
    held = rows.dtype == object  # bytes of objects are addresses
    keys = (
        (before, tuple(row.tolist()) if held else row.tobytes())
        for before, row in zip(classes.tolist(), rows, strict=True)
    )
    return np.array([numbers.setdefault(key, len(numbers)) for key in keys], dtype=np.intp)


def _absorbed(tables: list[Scoped]) -> list[Scoped]:
    """Tables multiplied into one over more choices, where there is one and numbers stay small.

    Numbers never go into a table of yes and no: a choice of that one may be or-ed.
    """
    left: list[Scoped] = []
    for scope, table in sorted(tables, key=lambda scoped: -len(scoped[0])):
        wider = [
            place
            for place, (other, into) in enumerate(left)
            if set(scope) <= set(other) and (int(table.max()) == 1 or int(into.max()) > 1)
        ]
        if not wider:
            left.append((scope, table))
            continue
        place = min(wider, key=lambda at: left[at][1].size)
        other, into = left[place]
        if int(table.max()) * int(into.max()) >= EXACT:
            left.append((scope, table))
            continue
        shape = [
            length if var in scope else 1 for var, length in zip(other, into.shape, strict=True)
        ]
        left[place] = (other, _times(into, table.reshape(shape)))
    return left
