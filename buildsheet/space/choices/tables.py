"""The choices of one kind of order as a space that is counted: builds, lists, and what goes together."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from itertools import product

import numpy as np

from buildsheet.findings import Value
from buildsheet.space.choices.columns import Columns, Flags, Numbers
from buildsheet.space.choices.sorting import Sorted
from buildsheet.space.choices.verdicts import Read, Verdicts, combos, over
from buildsheet.space.counting import Choice, Factor, Space


class Tables:
    """Factors over the lists and over ``rows`` (the wheels, by position, that can come into question)."""

    def __init__(
        self,
        verdicts: Verdicts,
        rows: Mapping[str, Numbers],
        lists: Mapping[str, tuple[Value, ...]],
    ) -> None:
        self._verdicts = verdicts
        self._rows = rows
        self._lists = lists

    def space(self, askings: Iterable[Sorted], fixed: Read) -> Space:
        """The space of everything that goes together, the other members being ``fixed``."""
        choices = [Choice(at, len(values)) for at, values in self._lists.items()]
        choices += [Choice(position, len(rows)) for position, rows in self._rows.items()]
        factors: dict[tuple[str, ...], Flags] = {}
        for number, each in enumerate(askings):
            if len(each.wheels) > 1:
                self._across(number, each, fixed, choices, factors)
                continue
            names = (*(wheel.position for wheel in each.wheels), *each.open)
            table = self.over_lists(each, fixed)
            for axis, wheel in enumerate(each.wheels):
                table = table.take(self._of_rows(each, wheel), axis=axis)
            factors[names] = factors[names] & table if names in factors else table
        return Space(choices, [Factor(names, table) for names, table in _fewest(factors).items()])

    def over_lists(self, each: Sorted, fixed: Read) -> Flags:
        """Whether the asking passes: an axis over the combinations of each wheel, then one for each
        of its open lists."""
        lists = [self._lists[at] for at in each.open]
        tables = [
            self._verdicts.good(
                each.asking, each.wheels, over(dict(zip(each.open, values, strict=True)), fixed)
            )
            for values in product(*lists)
        ]
        joined: Flags = np.stack(tables, axis=-1)
        return joined.reshape((*joined.shape[:-1], *(len(values) for values in lists)))

    def _of_rows(self, each: Sorted, wheel: Columns) -> Numbers:
        return combos(each.asking, wheel).of_wheel[self._rows[wheel.position]]

    def _across(
        self,
        number: int,
        each: Sorted,
        fixed: Read,
        choices: list[Choice],
        factors: dict[tuple[str, ...], Flags],
    ) -> None:
        """What two wheels have to do with one another, by way of what is read of each: a choice of
        its own that each wheel decides, so that no table runs over pairs of wheels."""
        table = self.over_lists(each, fixed)
        names: list[str] = []
        links: list[tuple[str, str, Flags]] = []
        for axis, wheel in enumerate(each.wheels):
            present, where = np.unique(self._of_rows(each, wheel), return_inverse=True)
            table = table.take(present, axis=axis)
            name = f"{wheel.position} read by {number}"
            names.append(name)
            links.append((wheel.position, name, where[:, None] == np.arange(len(present))))
        if table.all():
            return
        for position, name, link in links:
            choices.append(Choice(name, link.shape[1]))
            factors[position, name] = link
        factors[(*names, *each.open)] = table


def _fewest(factors: Mapping[tuple[str, ...], Flags]) -> dict[tuple[str, ...], Flags]:
    """The same conditions in fewer tables: without those that refuse nothing, and each in a larger one
    about the same choices where there is one."""
    joined: dict[tuple[str, ...], Flags] = {}
    for names in sorted(factors, key=len, reverse=True):
        table = factors[names]
        if table.all():
            continue
        larger = next((each for each in joined if {*names} <= {*each}), None)
        if larger is None:
            joined[names] = table
            continue
        order = sorted(range(len(names)), key=lambda axis: larger.index(names[axis]))
        shape = [
            size if name in names else 1
            for name, size in zip(larger, joined[larger].shape, strict=True)
        ]
        joined[larger] = joined[larger] & table.transpose(order).reshape(shape)
    return joined


def rows_passing(
    columns: Columns, askings: Sequence[Sorted], fixed: Read, verdicts: Verdicts
) -> Flags:
    """Which wheels pass every one of these askings about one wheel."""
    passing: Flags = np.ones(columns.size, dtype=np.bool_)
    for each in askings:
        passing &= row_flags(columns, each, fixed, verdicts)
    return passing


def row_flags(columns: Columns, each: Sorted, fixed: Read, verdicts: Verdicts) -> Flags:
    """Which wheels pass this asking about one wheel, its other members being ``fixed``."""
    table = verdicts.good(each.asking, each.wheels, fixed)
    flags: Flags = table[combos(each.asking, columns).of_wheel]
    return flags
