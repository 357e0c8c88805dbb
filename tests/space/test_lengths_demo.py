"""The demo's spoke store: proved smallest, and every wheel checked against the orders' own rule."""

from __future__ import annotations

from collections.abc import Callable
from math import ceil, floor

import numpy as np
import pytest

from buildsheet.actions.desk.lengths import plan_lengths
from buildsheet.plan.build import compute
from buildsheet.space.builds import WheelBuild, builds_of
from buildsheet.space.lengths.shelves import windows_by_type
from buildsheet.space.lengths.wanted import grids, wanted, wanted_in
from buildsheet.space.lengths.windows import fewest
from buildsheet.space.wheels import assembled, passing
from tests.space.editions import demo, small, with_part


def test_a_store_holds_a_length_in_every_window_of_every_buildable_wheel():
    """Against the plan's own computation, wheel by wheel, not against the columns of the builds."""
    edition = small(demo())
    plan = plan_lengths(edition).plan
    assert plan.proved
    for position, builds in builds_of(edition).items():
        for build in builds.builds[::7]:
            computed = compute(assembled(build, edition), edition)
            for side in ("left", "right"):
                choice = computed.stock[side]
                low_mm, high_mm = (choice.target_mm + each for each in choice.window_mm)
                stored = plan.types[computed.assembly.spokes[side].code].lengths_mm
                assert any(low_mm - 1e-9 <= each <= high_mm + 1e-9 for each in stored), position


def test_the_sides_planned_are_those_of_the_buildable_wheels():
    edition = small(demo())
    builds = builds_of(edition)
    wheels = sum(int(each.sum()) for each in passing(builds).values())
    plan = plan_lengths(edition).plan
    assert (plan.builds, plan.unserved) == (wheels, 0)
    assert sum(each.sides for each in plan.types.values()) == 2 * wheels


@pytest.mark.parametrize("spoke", ["SJB9", "SSB9"])
def test_no_store_of_the_small_demo_is_smaller(spoke: str):
    """Targets whose windows do not overlap need a length each: so many are found, from the other end."""
    edition = small(demo())
    windows = sorted(
        (
            ceil(side.target_mm + side.window_mm[0] - 1e-9),
            floor(side.target_mm + side.window_mm[1] + 1e-9),
        )
        for want in wanted_in(edition)
        for side in want.sides
        if side.spoke == spoke
    )
    apart, reach = 0, 10**6
    for first, last in reversed(windows):
        if last < reach:
            apart, reach = apart + 1, first
    assert len(plan_lengths(edition).plan.types[spoke].lengths) == apart


def test_a_coarser_grid_needs_no_more_lengths_and_may_leave_wheels_out():
    edition = small(demo())
    coarse = with_part(edition, "spokes", "SJB9", step_mm=2)
    fine = plan_lengths(edition).plan.types["SJB9"]
    assert grids(coarse)["SJB9"].step == 2
    left = plan_lengths(coarse).plan
    assert (
        left.builds < plan_lengths(edition).plan.builds
    )  # a side without a length is not buildable
    assert left.unserved == 0
    assert all((each - 248) % 2 == 0 for each in left.types["SJB9"].lengths_mm)
    assert len(left.types["SJB9"].lengths) <= len(fine.lengths)
    assert plan_lengths(coarse, free=True).plan.builds == left.builds


def test_a_wider_window_needs_no_more_lengths():
    edition = small(demo())
    windows = [
        range(ceil(side.target_mm - under), floor(side.target_mm + 1.0) + 1)
        for under in (0.2, 0.5, 1.0)
        for want in wanted_in(edition)
        for side in want.sides
    ]
    third = len(windows) // 3
    sizes = [len(fewest(windows[at * third : (at + 1) * third])) for at in range(3)]
    assert sizes[0] >= sizes[1] >= sizes[2] > 0


def test_stock_that_is_not_there_is_missing_and_lowers_the_share():
    edition = small(demo())
    every = plan_lengths(edition)
    assert every.shares is None
    nothing = plan_lengths(edition, ())
    assert nothing.shares == {"SJB9": 0.0, "SSB9": 0.0}
    for spoke, shelf in nothing.shelves.items():
        assert shelf.missing_mm == nothing.plan.types[spoke].lengths_mm
    assert every.chart("SSB9").startswith("<svg")


def test_washers_ask_for_lengths_of_their_own_and_mixed_sides_do_not():
    """The figures of the decision in DEVELOPERS.md."""
    edition = demo()
    builds = builds_of(edition)

    def sizes(keep: Callable[[WheelBuild], bool]) -> list[int]:
        sound = {
            position: np.array([keep(each) for each in some]) for position, some in builds.items()
        }
        windows = windows_by_type(wanted(builds.values(), sound), grids(edition))
        return [len(fewest(each)) for each in windows.values()]

    assert sizes(lambda _: True) == [36, 35, 35, 25]
    assert sizes(lambda each: each.washer is None) == [33, 31, 33, 19]
    plain = sizes(
        lambda each: (
            each.washer is None
            and len(set(each.spokes)) == 1
            and (each.crossings is None or len(set(each.crossings)) == 1)
        )
    )
    assert plain == [33, 31, 33, 19]
