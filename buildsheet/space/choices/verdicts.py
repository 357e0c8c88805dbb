"""What the checks say about combinations of members, each asked once and remembered."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Hashable, Mapping, Sequence
from itertools import product
from threading import Lock
from typing import Final

import numpy as np

from buildsheet.catalog.edition import Edition
from buildsheet.findings import Finding, Value
from buildsheet.orders.changes import changed
from buildsheet.space.builds.planned import Plans, plans_at, plans_pass
from buildsheet.space.choices.columns import Columns, Combos, Flags
from buildsheet.space.choices.places import POSITIONS
from buildsheet.space.questions import Asking, RuleAsking

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
        wheels = _wheels(read)
        key = ("finding", asking, *wheels, *(_hashable(read(at)) for at in asking.reads))
        known = self._kept.get(key, False)
        if known is None or isinstance(known, Finding):
            return known
        return self._keep_finding(key, asking.block(_document(asking, read), self._edition))

    def good(self, asking: Asking, columns: Sequence[Columns], fixed: Read) -> Flags:
        """Which combinations of members of one wheel or two pass, all other members being ``fixed``.

        One axis for each of ``columns``, over its different combinations of what the asking reads
        (`combos`); no axis where the asking reads nothing of a wheel.
        """
        beside = [at for at in asking.reads if not any(at in each.places for each in columns)]
        read = tuple(each.position for each in columns)
        key = (asking, read, *_wheels(fixed), *(_hashable(fixed(at)) for at in beside))
        known = self._kept.get(key)
        if isinstance(known, np.ndarray):
            return known
        table = self._asked(asking, columns, fixed)
        with self._lock:
            self._kept[key] = table
            self._forget()
        return table

    def _asked(self, asking: Asking, columns: Sequence[Columns], fixed: Read) -> Flags:
        planned = _planned(asking, columns)
        axes = [combos(asking, each).values if each is not planned else ((),) for each in columns]
        tables = []
        for chosen in product(*axes):
            built: dict[str, Value] = {}
            for wheel, values in zip(columns, chosen, strict=True):
                built.update(zip(places_read(asking, wheel), values, strict=False))
            document = _document(asking, over(built, fixed))
            tables.append(self._passes(asking, planned, document))
        shape = tuple(len(axis) for axis in axes)
        plans = () if planned is None else (len(combos(asking, planned).values),)
        table = np.array(tables, dtype=np.bool_).reshape((*shape, *plans))
        # what is asked of plans comes as an axis of its own: it takes the place of its wheel's
        return table if planned is None else _put_in_place(table, columns.index(planned))

    def _passes(self, asking: Asking, planned: Columns | None, document: dict[str, Value]) -> Flags:
        if planned is None or not isinstance(asking, RuleAsking):
            return np.array(asking.block(document, self._edition) is None, dtype=np.bool_)
        plans = _plans(asking, planned)
        if asking.is_settled(document, self._edition):
            return np.ones(len(plans.facts), dtype=np.bool_)
        return plans_pass(asking, plans, self._edition, document)

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


def combos(asking: Asking, columns: Columns) -> Combos:
    """The different combinations of what an asking reads of this wheel: of its members, or of its
    members and its plan together, which have numbers only."""
    if _planned(asking, (columns,)) is None or not isinstance(asking, RuleAsking):
        return columns.combos(places_read(asking, columns))
    plans = _plans(asking, columns)
    return Combos(plans.which, ((),) * len(plans.facts))


def _planned(asking: Asking, columns: Sequence[Columns]) -> Columns | None:
    """The wheel whose plan is read, where one is."""
    if not isinstance(asking, RuleAsking) or not asking.planned:
        return None
    return next((each for each in columns if each.position == asking.whose), None)


def _plans(asking: RuleAsking, columns: Columns) -> Plans:
    own = tuple(at for at in asking.beside if at in columns.places)
    return plans_at(columns.builds, own, asking.planned)


def _put_in_place(table: Flags, axis: int) -> Flags:
    """The last axis moved to ``axis``, where an axis of one stands."""
    moved: Flags = np.moveaxis(table.squeeze(axis=axis), -1, axis)
    return moved


def _document(asking: Asking, read: Read) -> dict[str, Value]:
    """The members that are read, in an order that has its wheels if only by name."""
    standing = [(at, value) for at in asking.reads if (value := read(at)) is not None]
    return changed({position: {"rim": None} for position in _wheels(read)}, standing)


def _wheels(read: Read) -> tuple[str, ...]:
    """The wheels of the order: those of its kind, or, where that is open, those it speaks of."""
    kind = read("/kind")
    if kind is not None:
        return POSITIONS if kind == "set" else (str(kind),)
    return tuple(each for each in POSITIONS if read(f"/{each}") is not None)


def _hashable(value: Value) -> Hashable:
    if isinstance(value, dict):
        return tuple((name, _hashable(inner)) for name, inner in sorted(value.items()))
    return (type(value), value) if not isinstance(value, list) else None
