"""How a part of an order stands among all that can be ordered of one kind."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
import numpy.typing as npt

from buildsheet.findings import Value
from buildsheet.space.choices.columns import Columns, Flags
from buildsheet.space.choices.part import Part
from buildsheet.space.choices.shelf import Layout, Shelf
from buildsheet.space.choices.tables import row_flags
from buildsheet.space.counting import Space
from buildsheet.space.questions import Asking

Wholes = npt.NDArray[Any]
"""Whole numbers: of 64 bits, or Python's own where those are too small."""


@dataclass(frozen=True, slots=True, eq=False)
class Demand:
    """Places that demand something of a wheel, and which wheels (all of its position) meet it.

    ``asking`` is the check that says so; None where the part names that very member of the wheel.
    """

    places: tuple[str, ...]
    meets: Flags
    asking: Asking | None = None


class Standing:
    """How a part of an order stands on one shelf: what it fixes, and which wheels it leaves.

    ``before`` is how it stood when it said nothing yet at one more list: that is not worked out again.
    """

    def __init__(self, shelf: Shelf, part: Part, before: Standing | None = None) -> None:
        self.shelf = shelf
        self.part = part
        self._before = before
        places = {at for at in shelf.asked if not part.has(at) or _listed(shelf, at, part)}
        self.layout: Layout = before.layout if before else shelf.layout(frozenset(places))

    def fixed(self, at: str) -> Value:
        """What stands at a place of the order, or is decided by its kind; None where nothing does."""
        return self.shelf.frame.value(at) or self.part.value(at)

    @cached_property
    def sound(self) -> bool:
        """Whether nothing that the part fixes is refused by itself."""
        return all(
            bool(self.shelf.verdicts.good(each.asking, (), self.fixed).item())
            for each in self.layout.of_order
        )

    @cached_property
    def demands(self) -> Mapping[str, tuple[Demand, ...]]:
        """By position, what the part demands of its wheel."""
        if self._before is not None:
            return self._before.demands
        return {each.position: tuple(self._demands(each)) for each in self.shelf.columns}

    def _demands(self, columns: Columns) -> Iterator[Demand]:
        part = self.part
        for at in columns.places:
            if part.has(at):
                yield Demand((at,), columns.having(at, part.value(at)))
            elif at.endswith("/crossings") and isinstance(part.value(at), dict):
                yield Demand((at,), ~columns.having(at, None))
                for side in (f"{at}/left", f"{at}/right"):
                    if part.has(side):
                        yield Demand((side,), columns.having(side, part.value(side)))
        for each in self.layout.of_wheels[columns.position]:
            flags = row_flags(columns, each, self.fixed, self.shelf.verdicts)
            if not flags.all():
                yield Demand(each.fixed, flags, each.asking)

    @cached_property
    def left(self) -> Mapping[str, Flags]:
        """By position, which of the shelf's wheels (in the order of its rows) meet every demand."""
        if self._before is not None:
            return self._before.left
        return {position: self._left(position) for position in self.shelf.rows}

    def _left(self, position: str) -> Flags:
        rows = self.shelf.rows[position]
        flags: Flags = np.ones(len(rows), dtype=np.bool_)
        for each in self.demands[position]:
            flags &= each.meets[rows]
        return flags

    @cached_property
    def held(self) -> dict[str, int | Sequence[int]]:
        """What is chosen already, as the space counts it."""
        held: dict[str, int | Sequence[int]] = {}
        for at, values in self.layout.lists.items():
            if self.part.has(at):
                held[at] = values.index(self.part.value(at))
        for position, flags in self.left.items():
            if not flags.all():
                held[position] = np.flatnonzero(flags).tolist()
        return held

    @cached_property
    def space(self) -> Space:
        """All that could be chosen on this shelf."""
        return self.shelf.space(self.layout, self.fixed)

    def ways(self) -> Mapping[str, Wholes]:
        """For each list and each position, the complete orders through each value or wheel.

        Wheels stand in the order of the shelf's rows.
        """
        names = [*self.layout.lists, *self.shelf.rows]
        if not self._leads_anywhere:
            return {name: self._none(name) for name in names}
        return {name: _whole(ways) for name, ways in self.space.ways(self.held, names).items()}

    def ways_instead(self, name: str) -> Wholes:
        """The same of one list or position, as if the part said nothing there and all else."""
        if not self._leads_anywhere:
            return self._none(name)
        held = {each: values for each, values in self.held.items() if each != name}
        return _whole(self.space.ways(held, [name])[name])

    def lists_instead(self, lists: Sequence[str]) -> Mapping[str, Wholes]:
        """The same of these lists, each as if the part said nothing there and all else."""
        if not lists or not self._leads_anywhere:
            return {name: self._none(name) for name in lists}
        if len(lists) == 1:
            return {lists[0]: self.ways_instead(lists[0])}
        found = self.space.ways(self.held, lists, instead=True)
        return {name: _whole(ways) for name, ways in found.items()}

    @property
    def _leads_anywhere(self) -> bool:
        return self.sound and all(len(each) for each in self.shelf.rows.values())

    def _none(self, name: str) -> Wholes:
        return np.zeros(self._size(name), dtype=np.int64)

    def _size(self, name: str) -> int:
        return len(self.layout.lists[name] if name in self.layout.lists else self.shelf.rows[name])


def _listed(shelf: Shelf, at: str, part: Part) -> bool:
    return part.value(at) in shelf.lists[at]


def _whole(ways: Sequence[int]) -> Wholes:
    """As 64-bit numbers where they fit, summed up too; else as Python's own."""
    fits = sum(ways) < 2**62
    return np.array(ways, dtype=np.int64 if fits else object)
