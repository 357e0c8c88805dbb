"""What the wheels of an edition want of a spoke store."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from functools import lru_cache

import numpy as np

from buildsheet.catalog.edition import Edition
from buildsheet.catalog.parts import Position
from buildsheet.plan.assembly import side_counts
from buildsheet.remembered import Same
from buildsheet.space.builds import Builds, WheelBuild, builds_of
from buildsheet.space.builds.build import Truths
from buildsheet.space.lengths.windows import Want, WheelWant, gathered
from buildsheet.space.remembered import remembered
from buildsheet.space.wheels import assembled, passing
from buildsheet.wheel.spec import Sides

FREE_STEP_MM = 1
"""Grid of a store that is planned without looking at what is stocked today."""


def wanted(
    builds: Iterable[Builds], sound: Mapping[Position, Truths] | None = None
) -> tuple[WheelWant, ...]:
    """What all these builds want, equal ones put together. ``sound`` holds, by position, which builds
    the edition's rules let pass; absent, all of them."""
    return gathered(want for each in builds for want in _of_position(each, sound))


@remembered
def wanted_in(edition: Edition) -> tuple[WheelWant, ...]:
    """What the edition's buildable wheels want. Equal for every edition with the same wheels."""
    builds = builds_of(edition)
    return _wanted(_SameWheels(builds, passing(builds)))


class _SameWheels:
    """Wheels that can be built: equal where the same ones of the same parts are."""

    def __init__(self, builds: Mapping[Position, Builds], sound: Mapping[Position, Truths]) -> None:
        self.builds, self.sound = builds, sound
        self._key = tuple(
            (position, sound[position].tobytes(), Same(each.builds))
            for position, each in builds.items()
        )

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _SameWheels) and self._key == other._key

    def __hash__(self) -> int:
        return hash(self._key)


@lru_cache(maxsize=16)
def _wanted(of: _SameWheels) -> tuple[WheelWant, ...]:
    return wanted(of.builds.values(), of.sound)


def _of_position(builds: Builds, sound: Mapping[Position, Truths] | None) -> Iterator[WheelWant]:
    counts: dict[tuple[str, int], Sides[int]] = {}
    figures, edition = builds.figures, builds.edition
    passes = np.ones(len(builds), np.bool_) if sound is None else sound[builds.position]
    for row, build in enumerate(builds):
        if not passes[row]:
            continue
        key = build.rim, build.holes
        if key not in counts:
            counts[key] = side_counts(assembled(build, edition))
        window_mm = _window_mm(
            build, edition, figures.window_low_mm[row], figures.window_high_mm[row]
        )
        left_mm, right_mm = figures.left_target_mm[row], figures.right_target_mm[row]
        yield WheelWant(
            Want(build.spokes[0], float(left_mm), window_mm, counts[key].left),
            Want(build.spokes[1], float(right_mm), window_mm, counts[key].right),
            build.rim,
        )


def _window_mm(
    build: WheelBuild, edition: Edition, low_mm: float, high_mm: float
) -> tuple[float, float]:
    """The house's window, cut where the thread would leave the nipple's head: a longer length is blocked
    however wide the window is."""
    head_top_mm = edition.nipples[build.nipple].head_top_mm
    cut_mm = float(high_mm) if head_top_mm is None else min(float(high_mm), head_top_mm)
    return float(low_mm), cut_mm


def grids(edition: Edition) -> dict[str, range]:
    """Every spoke type's own stock lengths."""
    return {spoke.code: spoke.lengths_mm for spoke in edition.spokes.values()}


def free_grids(edition: Edition) -> dict[str, range]:
    """The same types on a grid of 1 mm, whatever their own step is."""
    return {
        spoke.code: range(spoke.shortest_mm, spoke.longest_mm + 1, FREE_STEP_MM)
        for spoke in edition.spokes.values()
    }
