"""What the checks say about combinations of members, each asked once and remembered."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Hashable, Iterable, Mapping, Sequence
from itertools import product
from threading import Lock
from typing import Final

import numpy as np

from buildsheet.catalog.edition import Edition
from buildsheet.findings import Finding, Value
from buildsheet.orders.changes import changed
from buildsheet.space.choices.columns import Columns, Flags
from buildsheet.space.questions import Asking

MOST_REMEMBERED: Final = 50_000
"""Tables and findings kept for one edition; the oldest go first. A table is small: an answer for every
different combination of the few members that a check reads."""

Read = Callable[[str], Value]
"""What stands at a place of an order; None where nothing does."""


class Verdicts:
    """The answers of an edition's checks about parts of orders."""

    def __init__(self, edition: Edition) -> None:
        self._edition = edition
        self._kept: OrderedDict[Hashable, Flags | Finding | None] = OrderedDict()
        self._lock = Lock()

    def finding(self, asking: Asking, read: Read) -> Finding | None:
        """The block that this asking finds in the members it reads; None where there is none."""
        key = ("finding", asking, *(_hashable(read(at)) for at in asking.reads))
        known = self._kept.get(key, False)
        if known is None or isinstance(known, Finding):
            return known
        document = changed({}, _standing(asking.reads, read))
        return self._keep_finding(key, asking.block(document, self._edition))

    def good(self, asking: Asking, columns: Sequence[Columns], fixed: Read) -> Flags:
        """Which combinations of members of one wheel or two pass, all other members being ``fixed``.

        One axis for each of ``columns``, over its different combinations of what the asking reads;
        no axis where the asking reads nothing of a wheel.
        """
        wheels = tuple(each.position for each in columns)
        beside = (at for at in asking.reads if not any(at in each.places for each in columns))
        key = (asking, wheels, *(_hashable(fixed(at)) for at in beside))
        known = self._kept.get(key)
        if isinstance(known, np.ndarray):
            return known
        combos = [each.combos(places_read(asking, each)) for each in columns]
        passes = [
            self._passes(asking, columns, fixed, chosen)
            for chosen in product(*(each.values for each in combos))
        ]
        table: Flags = np.array(passes, dtype=np.bool_).reshape([len(c.values) for c in combos])
        with self._lock:
            self._kept[key] = table
            self._forget()
        return table

    def _passes(
        self,
        asking: Asking,
        columns: Sequence[Columns],
        fixed: Read,
        chosen: Sequence[tuple[Value, ...]],
    ) -> bool:
        built: dict[str, Value] = {}
        for wheel, values in zip(columns, chosen, strict=True):
            built.update(zip(places_read(asking, wheel), values, strict=True))
        document = changed({}, _standing(asking.reads, over(built, fixed)))
        return asking.block(document, self._edition) is None

    def _keep_finding(self, key: Hashable, finding: Finding | None) -> Finding | None:
        with self._lock:
            self._kept[key] = finding
            self._forget()
        return finding

    def _forget(self) -> None:
        while len(self._kept) > MOST_REMEMBERED:
            self._kept.popitem(last=False)


def places_read(asking: Asking, columns: Columns) -> tuple[str, ...]:
    """What an asking reads of the build of this wheel."""
    return tuple(at for at in asking.reads if at in columns.places)


def over(members: Mapping[str, Value], beside: Read) -> Read:
    """These members, and beside them whatever else stands in the order."""
    return lambda at: members[at] if at in members else beside(at)


def _standing(places: Iterable[str], read: Read) -> list[tuple[str, Value]]:
    return [(at, value) for at in places if (value := read(at)) is not None]


def _hashable(value: Value) -> Hashable:
    if isinstance(value, dict):
        return tuple((name, _hashable(inner)) for name, inner in sorted(value.items()))
    return (type(value), value) if not isinstance(value, list) else None
