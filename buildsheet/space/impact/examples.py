"""Of many wheels that an edition touches, those that look most like what people order."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from buildsheet.orders.members import Members
from buildsheet.space.impact.configurations import WheelChange
from buildsheet.space.impact.orders import OpenOrder

Look = tuple[object, ...]
"""Position, rim, holes, hub, crossings, both spokes, nipple, washer."""


@dataclass(frozen=True, slots=True)
class Example:
    """A wheel that is touched; ``apart`` is in how many members it differs from the nearest wheel on
    order (0: it is on order), ``orders`` how many open orders have such a nearest wheel. ``apart`` is
    None where nothing is on order at its position."""

    change: WheelChange
    apart: int | None
    orders: int


def nearest(
    changes: Sequence[WheelChange], orders: Iterable[OpenOrder], most: int
) -> tuple[Example, ...]:
    """At most so many examples, those nearest to open orders first, then the most ordered; ties in the
    order given."""
    ordered = Counter(look for order in orders for look in _looks_of(order))
    apart, counts = _nearness([_look(each) for each in changes], ordered)
    ranked = sorted(
        range(len(changes)), key=lambda place: (int(apart[place]), -int(counts[place]), place)
    )
    return tuple(
        Example(
            changes[place],
            None if apart[place] > _FAR else int(apart[place]),
            int(counts[place]),
        )
        for place in ranked[:most]
    )


_FAR: Final = 100


def _nearness(
    looks: Sequence[Look], ordered: Counter[Look]
) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """For each look: members in which the nearest ordered wheel differs, and its number of orders."""
    apart = np.full(len(looks), _FAR + 1, dtype=np.int64)
    counts = np.zeros(len(looks), dtype=np.int64)
    if not looks or not ordered:
        return apart, counts
    numbers: dict[tuple[int, object], int] = {}

    def coded(rows: Iterable[Look]) -> NDArray[np.int64]:
        return np.array(
            [
                [numbers.setdefault((place, each), len(numbers)) for place, each in enumerate(row)]
                for row in rows
            ],
            dtype=np.int64,
        )

    own = coded(looks)
    for row, number in zip(coded(ordered), ordered.values(), strict=True):
        here = (own[:, 1:] != row[1:]).sum(axis=1)
        here[own[:, 0] != row[0]] = _FAR + 1
        nearer = here < apart
        counts[nearer] = 0
        counts[here == np.minimum(apart, here)] += number
        apart = np.minimum(apart, here)
    counts[apart > _FAR] = 0
    return apart, counts


def _look(change: WheelChange) -> Look:
    build = change.build
    return (
        build.position,
        build.rim,
        build.holes,
        build.hub,
        build.crossings,
        *build.spokes,
        build.nipple,
        build.washer,
    )


def _looks_of(order: OpenOrder) -> Iterable[Look]:
    document = Members(order.document)
    for position in ("front", "rear"):
        wheel = document.inner(position)
        if not wheel.values:
            continue
        spoke, crossings = wheel.inner("spoke"), wheel.inner("crossings")
        left, right = crossings.whole("left"), crossings.whole("right")
        yield (
            position,
            wheel.word("rim"),
            wheel.whole("holes"),
            wheel.word("hub"),
            None if left is None or right is None else (left, right),
            spoke.word("left"),
            spoke.word("right"),
            wheel.word("nipple"),
            wheel.word("washer"),
        )
