"""The different plans of builds, as far as a rule reads them, and which builds a rule lets pass."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from itertools import groupby

import numpy as np
from numpy.typing import NDArray

from buildsheet.catalog.edition import Edition
from buildsheet.catalog.rules.rule import Fact
from buildsheet.findings import Value
from buildsheet.orders.changes import changed
from buildsheet.remembered import Same
from buildsheet.space.builds.build import Builds, Figures, Truths, WheelBuild
from buildsheet.space.builds.seen import Places, Seen, seen_at
from buildsheet.space.questions import RuleAsking

_COLUMN_OF = {
    "plan.left_tension_n": "left_n",
    "plan.right_tension_n": "right_n",
}
"""Facts whose columns have another name; the others are called alike."""


@dataclass(frozen=True, slots=True, eq=False)
class Plans:
    """Different plans, in the order of what their builds say: ``of_seen`` (P,) numbers ``seen.different``,
    ``facts`` the plan's facts; ``which`` (B,) is the plan of each build."""

    seen: Seen
    of_seen: tuple[int, ...]
    facts: tuple[Mapping[str, Fact], ...]
    which: NDArray[np.intp]


def plans_at(builds: Builds, places: Places, names: tuple[str, ...]) -> Plans:
    """What builds say at these places together with these facts of their plans. Worked out once for
    equal builds."""
    return _plans(Same(builds.builds), builds.figures, seen_at(builds, places), names)


@lru_cache(maxsize=64)
def _plans(
    _: Same[tuple[WheelBuild, ...]], figures: Figures, seen: Seen, names: tuple[str, ...]
) -> Plans:
    columns = [_column(figures, name) for name in names]
    rows, which = np.unique(
        np.column_stack([seen.which.astype(np.float64), *columns]), axis=0, return_inverse=True
    )
    facts = tuple(dict(zip(names, row[1:], strict=True)) for row in rows.tolist())
    return Plans(seen, tuple(int(each) for each in rows[:, 0]), facts, which.reshape(-1))


def _column(figures: Figures, name: str) -> NDArray[np.float64]:
    column: NDArray[np.float64] = getattr(figures, _COLUMN_OF.get(name, name.split(".", 1)[1]))
    return column.astype(np.float64)


def plans_pass(
    asking: RuleAsking, plans: Plans, edition: Edition, around: Mapping[str, Value]
) -> Truths:
    """Which of the plans (P,) the rule lets pass in an order that says ``around`` beside the build.

    ``around`` holds whole wheels by name, and other members by place.
    """
    passes = np.ones(len(plans.facts), dtype=np.bool_)
    for number, rows in groupby(range(len(plans.facts)), key=plans.of_seen.__getitem__):
        document = changed(dict(around), plans.seen.different[number].items())
        chosen = [*rows]
        blocked = asking.blocks_with(document, edition, (plans.facts[row] for row in chosen))
        passes[chosen] = [not each for each in blocked]
    return passes
