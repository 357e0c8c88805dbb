"""Stock lengths are chosen for both sides together."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildsheet.catalog.house import LengthHouse
from buildsheet.catalog.parts import Nipple, Spoke
from buildsheet.plan.lengths import choose, look_alike, window_mm
from buildsheet.wheel.spec import SIDES, Sides

HOUSE = LengthHouse(
    brass_window_mm=(-0.5, 1.0),
    alloy_window_mm=(-0.2, 0.9),
    aim_mm=0.3,
    look_alike_mm=1,
    stretch_difference_mm=0.5,
)


def spoke(shortest_mm: int = 250, longest_mm: int = 300, step_mm: int = 1) -> Spoke:
    return Spoke(
        code="SJ18",
        name="round",
        head="j-bend",
        thread="FG 2.3",
        end_mm=2.0,
        blade_mm=0.0,
        thickness_mm=1.8,
        section_mm2=2.54,
        head_mm=4.0,
        modulus_gpa=195.0,
        mass_at_264_g=5.8,
        shortest_mm=shortest_mm,
        longest_mm=longest_mm,
        step_mm=step_mm,
    )


def nipple(material: str = "brass") -> Nipple:
    return Nipple.model_validate(
        {
            "code": "NB12",
            "name": "nipple",
            "material": material,
            "kind": "external",
            "length_mm": 12.0,
            "body_mm": 4.0,
            "head_height_mm": 1.6,
            "head_shape": "ball",
            "thread": "FG 2.3",
            "colours": ("black",),
            "mass_g": 1.0,
        }
    )


def chosen(left_mm: float, right_mm: float, material: str = "brass") -> tuple[int | None, ...]:
    both = choose(Sides(left_mm, right_mm), Sides(spoke(), spoke()), nipple(material), HOUSE)
    return both.left.stock_mm, both.right.stock_mm


def test_the_length_nearest_to_the_target_and_the_aim_is_taken() -> None:
    assert chosen(276.48, 279.62) == (277, 280)


def test_a_pair_that_differs_by_one_is_avoided_where_the_windows_allow_it() -> None:
    # each side alone would take 286 and 287
    assert chosen(285.30, 286.95) == (285, 287)


def test_two_sides_that_nearly_agree_share_one_length() -> None:
    assert chosen(281.24, 281.13) == (281, 281)


def test_a_look_alike_pair_is_taken_where_nothing_else_lies_in_the_windows() -> None:
    left, right = chosen(280.05, 281.05, material="alloy")
    assert (left, right) == (280, 281)
    assert look_alike(280, 281, HOUSE)


def test_alloy_hardly_ever_takes_a_short_spoke() -> None:
    assert window_mm(nipple("alloy"), HOUSE) == (-0.2, 0.9)
    assert window_mm(nipple("brass"), HOUSE) == (-0.5, 1.0)


def test_no_length_in_the_window_is_said_with_the_neighbours_on_both_sides() -> None:
    sparse = spoke(shortest_mm=250, longest_mm=298, step_mm=3)
    both = choose(Sides(275.3, 277.0), Sides(sparse, spoke()), nipple("alloy"), HOUSE)
    assert both.left.stock_mm is None
    assert both.left.error_mm is None
    assert (both.left.below_mm, both.left.above_mm) == (274, 277)
    assert both.right.stock_mm == 277


def test_a_length_on_the_edge_of_the_window_is_inside() -> None:
    assert chosen(280.5, 280.5)[0] in (280, 281)
    just = choose(Sides(280.2, 280.2), Sides(spoke(), spoke()), nipple("alloy"), HOUSE)
    assert just.left.stock_mm in (280, 281)


@given(
    left_mm=st.floats(255.0, 295.0),
    right_mm=st.floats(255.0, 295.0),
    material=st.sampled_from(["brass", "alloy"]),
)
def test_a_chosen_length_lies_in_its_window_and_swapping_sides_swaps_the_choice(
    left_mm: float, right_mm: float, material: str
) -> None:
    part = nipple(material)
    both = choose(Sides(left_mm, right_mm), Sides(spoke(), spoke()), part, HOUSE)
    low, high = window_mm(part, HOUSE)
    for side in SIDES:
        error = both[side].error_mm
        assert error is not None
        assert low - 1e-6 <= error <= high + 1e-6
    mirrored = choose(Sides(right_mm, left_mm), Sides(spoke(), spoke()), part, HOUSE)
    assert (mirrored.right.stock_mm, mirrored.left.stock_mm) == (
        both.left.stock_mm,
        both.right.stock_mm,
    )


@given(left_mm=st.floats(255.0, 295.0), right_mm=st.floats(255.0, 295.0))
def test_a_look_alike_pair_means_that_every_other_pair_was_outside(
    left_mm: float, right_mm: float
) -> None:
    left, right = chosen(left_mm, right_mm)
    assert left is not None
    assert right is not None
    if not look_alike(left, right, HOUSE):
        return
    inside = [
        (a, b)
        for a in range(250, 301)
        for b in range(250, 301)
        if -0.5 <= a - left_mm <= 1.0 and -0.5 <= b - right_mm <= 1.0
    ]
    assert all(abs(a - b) == 1 for a, b in inside)


@pytest.mark.parametrize(("left", "right"), [(280, 280), (280, 282), (284, 281)])
def test_equal_or_plainly_different_lengths_are_no_look_alikes(left: int, right: int) -> None:
    assert not look_alike(left, right, HOUSE)
