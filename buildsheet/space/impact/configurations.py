"""Which wheels appear, disappear or change between two editions, counted exactly.

A configuration is a wheel in one nipple colour, with one driver body and one decal colour, as `count`
counts them; a wheel is what those leave open.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final

import numpy as np

from buildsheet.catalog.edition import Edition
from buildsheet.catalog.parts import Position
from buildsheet.space.builds import POSITIONS, Builds, FigureRow, WheelBuild, builds_of
from buildsheet.space.builds.build import Truths, Wholes
from buildsheet.space.finishes import ways_in_both
from buildsheet.space.impact.released import FIGURES as RELEASE_FIGURES
from buildsheet.space.impact.released import Released, released, releases_differ
from buildsheet.space.wheels import ways

FIGURES: Final[Mapping[str, float]] = {
    **dict.fromkeys(("left_exact_mm", "right_exact_mm"), 1e-6),
    **dict.fromkeys(("left_target_mm", "right_target_mm"), 1e-6),
    **dict.fromkeys(("left_stock_mm", "right_stock_mm"), 0.5),
    **dict.fromkeys(("left_n", "right_n", "stop_n", "limit_n"), 1e-3),
    "mass_g": 1e-3,
}
"""Figures of a wheel that a change is told of, with what counts as the same."""

GROUPS: Final[Mapping[str, tuple[str, ...]]] = {
    "length": ("left_exact_mm", "right_exact_mm", "left_target_mm", "right_target_mm"),
    "stock_length": ("left_stock_mm", "right_stock_mm"),
    "tension": ("left_n", "right_n"),
    "stop": ("stop_n",),
    "limit": ("limit_n",),
    "mass": ("mass_g",),
    "program": ("program",),
    "carries": ("system_kg",),
    "classes": ("use_classes",),
    "tyres": ("tyres",),
}
"""What people call them."""


@dataclass(frozen=True, slots=True)
class WheelChange:
    """One wheel and in how many colours and driver bodies it appears, disappears or stays.

    ``old`` and ``new`` are its figures where it can be built at all. A wheel that stays in fewer
    colours disappears in part. ``released`` is what it is released for, old and new, where that is
    among what ``changed``.
    """

    build: WheelBuild
    appear: int
    disappear: int
    stay: int
    old: FigureRow | None
    new: FigureRow | None
    changed: tuple[str, ...]
    released: tuple[Released, Released] | None = None


@dataclass(frozen=True, slots=True)
class Configurations:
    """Everything that differs; ``wheels`` in the order of the new edition, those that are gone last.

    ``appear``, ``disappear`` and ``change`` count configurations; ``by_group`` those that change in
    length, stock length, tension, stop, limit, mass, drilling program or release. ``old`` and ``new``
    are all buildable configurations of both editions.
    """

    old: int
    new: int
    appear: int
    disappear: int
    change: int
    by_group: Mapping[str, int]
    wheels: tuple[WheelChange, ...]


def configurations(old: Edition, new: Edition) -> Configurations:
    """The difference of two editions in what can be built; nothing where both say the same."""
    before, after = builds_of(old), builds_of(new)
    wheels: list[WheelChange] = []
    totals = {"old": 0, "new": 0}
    for position in POSITIONS:
        compared = _Compared(before[position], after[position])
        wheels.extend(compared.changes())
        totals["old"] += sum(compared.old_ways)
        totals["new"] += sum(compared.new_ways)
    return Configurations(
        **totals,
        appear=sum(each.appear for each in wheels),
        disappear=sum(each.disappear for each in wheels),
        change=sum(each.stay for each in wheels if each.changed),
        by_group={
            group: sum(each.stay for each in wheels if any(name in each.changed for name in names))
            for group, names in GROUPS.items()
        },
        wheels=tuple(wheels),
    )


class _Compared:
    """The wheels of one position in both editions, side by side."""

    def __init__(self, old: Builds, new: Builds) -> None:
        self.old, self.new = old, new
        self.position: Position = old.position
        self.old_ways = ways(old)
        self.new_ways = ways(new)
        place = {build: index for index, build in enumerate(old)}
        common = [(place[build], index) for index, build in enumerate(new) if build in place]
        self.old_at: Wholes = np.array([each[0] for each in common], dtype=np.int64)
        self.new_at: Wholes = np.array([each[1] for each in common], dtype=np.int64)
        if old.edition.digest == new.edition.digest:
            self.stay = self.new_ways
        else:
            self.stay = ways_in_both(old, new, self.old_at.tolist(), self.new_at.tolist())

    def changes(self) -> Iterator[WheelChange]:
        """Every wheel of which anything differs."""
        yield from self._in_both()
        known = {int(index) for index in self.new_at}
        for index, build in enumerate(self.new):
            if index not in known and self.new_ways[index]:
                row = self.new.figures.row(index)
                yield WheelChange(build, self.new_ways[index], 0, 0, None, row, ())
        known = {int(index) for index in self.old_at}
        for index, build in enumerate(self.old):
            if index not in known and self.old_ways[index]:
                row = self.old.figures.row(index)
                yield WheelChange(build, 0, self.old_ways[index], 0, row, None, ())

    def _in_both(self) -> Iterator[WheelChange]:
        differs = {**self._figures_differ(), **(self._releases_differ() or {})}
        moved = np.zeros(len(self.new_at), np.bool_)
        for each in differs.values():
            moved |= each
        for place, stay in enumerate(self.stay):
            old_at, new_at = int(self.old_at[place]), int(self.new_at[place])
            appear, disappear = self.new_ways[new_at] - stay, self.old_ways[old_at] - stay
            changed = bool(moved[place]) and stay > 0
            if not (appear or disappear or changed):
                continue
            build = self.new.builds[new_at]
            names = tuple(name for name, each in differs.items() if each[place]) if changed else ()
            yield WheelChange(
                build,
                appear,
                disappear,
                stay,
                self.old.figures.row(old_at),
                self.new.figures.row(new_at),
                names,
                self._released(build) if set(names) & set(RELEASE_FIGURES) else None,
            )

    def _releases_differ(self) -> dict[str, Truths] | None:
        builds = [self.new.builds[int(each)] for each in self.new_at]
        return releases_differ(self.old.edition, self.new.edition, builds)

    def _released(self, build: WheelBuild) -> tuple[Released, Released]:
        return released(self.old.edition, build), released(self.new.edition, build)

    def _figures_differ(self) -> dict[str, Truths]:
        """Figure -> for each wheel of both editions whether it is another."""
        old, new = self.old.figures, self.new.figures
        found: dict[str, Truths] = {"program": old.program[self.old_at] != new.program[self.new_at]}
        for name, same in FIGURES.items():
            apart = getattr(new, name)[self.new_at] - getattr(old, name)[self.old_at]
            found[name] = np.abs(apart) > same
        return found
