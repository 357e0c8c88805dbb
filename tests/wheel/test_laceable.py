"""What cannot be laced, and the number that would fit."""

from __future__ import annotations

from dataclasses import replace

import pytest

from buildsheet.errors import CannotLace
from buildsheet.wheel import lacing as lacing_room
from buildsheet.wheel.lacing import lace
from buildsheet.wheel.spec import (
    FlangeSide,
    HubSide,
    HubSpec,
    RimSpec,
    Sides,
    SpokeSection,
    SpokeSideSpec,
    StraightPullSide,
    WheelSpec,
)

FLANGE = FlangeSide(circle_mm=45.0, from_centre_mm=30.0, hole_mm=2.6)
SEAT = StraightPullSide(line_from_axis_mm=22.5, seat_ahead_mm=9.5, from_centre_mm=30.0)


def a_wheel(
    left: int,
    right: int,
    crossings_left: int | None,
    crossings_right: int | None,
    hub_left: HubSide = FLANGE,
    hub_right: HubSide = FLANGE,
) -> WheelSpec:
    wire = (SpokeSection(2.0),)
    spokes = Sides(
        SpokeSideSpec(left, crossings_left, wire, 195.0),
        SpokeSideSpec(right, crossings_right, wire, 195.0),
    )
    return WheelSpec(RimSpec(left + right, 580.0), HubSpec(hub_left, hub_right), spokes, 1000.0)


def refusal(wheel: WheelSpec) -> CannotLace:
    with pytest.raises(CannotLace) as caught:
        lace(wheel)
    return caught.value


def test_a_spoke_past_the_tangent_is_refused_with_the_count_that_fits() -> None:
    refused = refusal(a_wheel(18, 18, 5, 3))
    assert refused.slug == "past-tangent"
    assert refused.have == {"side": "left", "crossings": 5, "wrap_deg": pytest.approx(100.0)}
    assert refused.need["most_crossings"] == 4
    fitting = refused.need["most_crossings"]
    assert isinstance(fitting, int)
    lace(a_wheel(18, 18, fitting, 3))


def test_the_tangent_of_the_published_example_stands_between_four_and_five_crossings() -> None:
    # flange radius 19.5, rim radius 301, 18 a side: tangent at 86.29 degrees (own calculation)
    flange = FlangeSide(39.0, 30.0, 2.2)
    wheel = a_wheel(18, 18, 5, 4, flange, flange)
    wheel = replace(wheel, rim=replace(wheel.rim, erd_mm=602.0))
    assert refusal(wheel).need["tangent_deg"] == pytest.approx(86.29, abs=0.005)


def test_three_crossings_on_24_holes_stand_at_90_degrees_and_are_refused() -> None:
    refused = refusal(a_wheel(12, 12, 3, 3))
    assert refused.slug == "past-tangent"
    assert refused.need["most_crossings"] == 2


def test_a_turned_hub_can_push_a_spoke_past_the_tangent() -> None:
    # 36 holes four times is 80 degrees; aligned flanges turn the hub by 5 more, past 84.3
    flange = FlangeSide(58.0, 30.0, 2.6)
    wheel = a_wheel(18, 18, 4, 4, flange, flange)
    lace(wheel)
    aligned = replace(wheel, hub=replace(wheel.hub, flange_turn=0.0))
    refused = refusal(aligned)
    assert refused.slug == "past-tangent"
    assert refused.need["most_crossings"] == 3, "what is refused is not offered"


def test_an_odd_count_cannot_be_crossed() -> None:
    refused = refusal(a_wheel(11, 11, 2, 2))
    assert refused.slug == "odd-count"
    assert refused.need["most_crossings"] == 0
    lace(a_wheel(11, 11, 0, 0))


def test_the_crossed_single_side_of_two_to_one_needs_an_even_count_too() -> None:
    assert refusal(a_wheel(9, 18, 1, 3)).slug == "odd-count"
    lace(a_wheel(9, 18, 0, 3))


def test_counts_that_do_not_fill_the_rim_are_refused() -> None:
    wheel = a_wheel(14, 14, 3, 3)
    refused = refusal(replace(wheel, rim=replace(wheel.rim, holes=32)))
    assert refused.slug == "count"
    assert refused.need == {"holes": 28}


def test_a_split_of_three_to_two_is_refused() -> None:
    assert refusal(a_wheel(8, 12, 0, 0)).slug == "split"


def test_a_flange_without_a_crossing_count_is_refused() -> None:
    refused = refusal(a_wheel(14, 14, None, 3))
    assert refused.slug == "no-pattern"
    assert refused.need == {"most_crossings": 3}


def test_a_straight_pull_hub_keeps_its_own_pattern() -> None:
    refused = refusal(a_wheel(12, 12, 3, None, SEAT, SEAT))
    assert refused.slug == "fixed-pattern"
    assert refused.need == {"crossings": 2}
    lace(a_wheel(12, 12, 2, None, SEAT, SEAT))


@pytest.mark.parametrize(
    "hub_side",
    [
        FlangeSide(580.0, 30.0, 2.6),
        FlangeSide(0.0, 30.0, 2.6),
        FlangeSide(float("nan"), 30.0, 2.6),
        FlangeSide(45.0, float("inf"), 2.6),
        FlangeSide(45.0, 30.0, -1.0),
        StraightPullSide(300.0, 5.0, 30.0),
        StraightPullSide(-5.0, 5.0, 30.0),
        StraightPullSide(0.0, -5.0, 30.0),
    ],
)
def test_seats_outside_the_rim_or_without_a_size_are_refused(hub_side: HubSide) -> None:
    crossings = 3 if isinstance(hub_side, FlangeSide) else None
    assert refusal(a_wheel(14, 14, crossings, 3, hub_side)).slug == "sizes"


def test_paired_holes_may_not_meet_and_groups_of_three_are_not_paired() -> None:
    wheel = a_wheel(10, 10, 2, 2)
    meeting = replace(wheel, rim=replace(wheel.rim, pair_shift_deg=9.0))
    assert refusal(meeting).slug == "pairs-collide"
    threes = a_wheel(8, 16, 1, 3)
    assert refusal(replace(threes, rim=replace(threes.rim, pair_shift_deg=1.0))).slug == (
        "pairs-in-threes"
    )


def test_a_map_that_crosses_over_the_valve_is_never_handed_back(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    # only the start that puts a trailing spoke before the valve and a leading one after it
    monkeypatch.setattr(lacing_room, "_PHASES", ((True, True),))
    assert refusal(a_wheel(14, 14, 3, 3)).slug == "valve-gap"


def test_a_parallel_gap_is_taken_where_none_opens(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(lacing_room, "_PHASES", ((True, True), (False, True)))
    assert lace(a_wheel(14, 14, 3, 3)).valve_gap == "parallel"


def test_a_map_that_uses_a_hub_hole_twice_is_never_handed_back(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(lacing_room, "seat_step", lambda spec, side, run: 3)
    lace(a_wheel(14, 14, 3, 3))
    monkeypatch.setattr(
        lacing_room, "seat_step", lambda spec, side, run: 1 if run == "trailing" else 0
    )
    assert refusal(a_wheel(14, 14, 3, 3)).slug == "self-test"
