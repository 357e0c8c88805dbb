"""A plan of lengths: what it holds is what wheels take; shelves and rims are measured against it."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildsheet.plan.lengths import look_alike
from buildsheet.space.lengths.plan import LengthPlan, length_plan, on_grids
from buildsheet.space.lengths.shelves import rim_adds, shelf, windows_by_type
from buildsheet.space.lengths.windows import Want, WheelWant, fewest, gathered
from tests.space.wants import GRIDS, HOUSE, STORES


def planned(wants: list[WheelWant]) -> LengthPlan:
    return length_plan(wants, GRIDS, HOUSE, spares=2)


def want(left_mm: float, right_mm: float, rim: str = "OR1", builds: int = 1) -> WheelWant:
    window = HOUSE.brass_window_mm
    return WheelWant(
        Want("SJ18", left_mm, window, 12), Want("SJ18", right_mm, window, 14), rim, builds
    )


@given(STORES)
def test_every_side_of_every_servable_wheel_is_counted_once(wants: list[WheelWant]):
    plan = planned(wants)
    assert plan.builds + plan.unserved == sum(each.builds for each in wants)
    assert sum(each.sides for each in plan.types.values()) == 2 * plan.builds
    for each in plan.types.values():
        assert sum(step.sides for step in each.errors) == each.sides
        assert sum(length.sides for length in each.lengths) == each.sides
        assert all(length.alone <= length.sides for length in each.lengths)


@given(STORES)
def test_errors_stay_inside_the_windows(wants: list[WheelWant]):
    for each in planned(wants).types.values():
        assert each.errors[0].from_mm >= -1.0
        assert each.errors[-1].from_mm <= 1.0


@given(STORES)
def test_wheels_put_together_are_planned_as_one_by_one(wants: list[WheelWant]):
    assert planned(list(gathered(wants))) == planned(wants)


@given(STORES)
def test_a_type_has_as_many_lengths_as_its_windows_need(wants: list[WheelWant]):
    plan = planned(wants)
    for spoke, windows in windows_by_type(wants, GRIDS).items():
        assert len(plan.types[spoke].lengths) == len(fewest(windows))
        assert all(
            any(each in window for each in plan.types[spoke].lengths_mm) for window in windows
        )


@given(STORES)
def test_a_rim_adds_what_the_store_saves_without_it(wants: list[WheelWant]):
    plan = planned(wants)
    lengths = {spoke: each.lengths_mm for spoke, each in plan.types.items()}
    for rim in ("OR1", "OR2"):
        adds = rim_adds(rim, wants, GRIDS, lengths)
        rest = planned([each for each in wants if each.rim != rim])
        for spoke, each in plan.types.items():
            without = len(rest.types[spoke].lengths) if spoke in rest.types else 0
            assert adds.more.get(spoke, 0) == len(each.lengths) - without >= 0
        for spoke, only in adds.only_mm.items():
            others = windows_by_type((each for each in wants if each.rim != rim), GRIDS)
            assert not [
                length for length in only for window in others.get(spoke, ()) if length in window
            ]


@given(STORES, st.sets(st.integers(248, 259)))
def test_a_shelf_is_planned_spare_or_dead(wants: list[WheelWant], stocked: set[int]):
    plan = planned(wants)
    for spoke, windows in windows_by_type(wants, GRIDS).items():
        planned_mm = plan.types[spoke].lengths_mm
        seen = shelf(spoke, planned_mm, stocked, windows)
        assert sorted({*seen.spare_mm, *seen.dead_mm, *(set(planned_mm) & stocked)}) == sorted(
            stocked
        )
        assert set(seen.missing_mm) == set(planned_mm) - stocked
        assert all(any(length in window for window in windows) for length in seen.spare_mm)
        assert not any(length in window for length in seen.dead_mm for window in windows)


def test_order_points_count_both_sides_of_one_wheel_and_its_spares():
    (lengths,) = (each.lengths for each in planned([want(252.0, 252.0)]).types.values())
    assert [(each.length_mm, each.order_point) for each in lengths] == [(252, 12 + 14 + 2)]
    apart = planned([want(252.0, 255.0)]).types["SJ18"].lengths
    assert [each.order_point for each in apart] == [12 + 2, 14 + 2]
    three = length_plan([want(252.0, 255.0)], GRIDS, HOUSE, spares=2, wheels_in_stock=3)
    assert [each.order_point for each in three.types["SJ18"].lengths] == [3 * 14, 3 * 16]


def test_look_alikes_that_no_small_store_avoids_are_counted():
    plan = planned([want(252.0, 253.6, builds=5)])
    assert look_alike(252, 253, HOUSE)
    assert (plan.look_alike, plan.types["SJ18"].lengths_mm) == (0, (252, 254))
    tight = WheelWant(
        Want("SJ18", 252.0, (-0.1, 0.1), 12), Want("SJ18", 253.0, (-0.1, 0.1), 12), "OR1", 5
    )
    assert planned([tight]).look_alike == 5


def test_a_wheel_that_finds_nothing_on_the_grid_is_said_and_not_planned():
    plan = planned([want(252.0, 270.0, builds=3), want(252.0, 252.0)])
    assert (plan.builds, plan.unserved) == (1, 3)
    assert on_grids(want(252.0, 270.0), GRIDS) is None


@pytest.mark.parametrize(("target_mm", "step_mm"), [(251.7, 0.3), (252.0, 0.0), (251.5, 0.5)])
def test_an_error_on_the_edge_of_a_step_belongs_to_it(target_mm: float, step_mm: float):
    errors = planned([want(target_mm, 252.0)]).types["SJ18"].errors
    assert step_mm in [step.from_mm for step in errors if step.sides]
