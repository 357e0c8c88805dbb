"""The orders of the demo's story, and orders that must be refused: all of invented data."""

from __future__ import annotations

import pytest

from buildsheet.orders.check import Checked
from tests.orders.workshop import (
    EXAMPLES,
    answer,
    codes,
    demo,
    edition_17,
    example,
    keys,
    put,
    the,
    with_part,
)

ACCEPTED = ("D-1001", "D-1002", "D-1003", "D-1004", "D-1009", "D-1010", "D-1011")
REFUSED = ("D-1005", "D-1006", "D-1007", "D-1008")
CHANGES = ("changes/D-1010-2", "changes/D-1011-2")


@pytest.mark.parametrize("name", [*ACCEPTED, *CHANGES])
def test_an_order_of_the_story_is_accepted_with_nothing_to_release(name: str):
    checked = answer(example(name))
    assert codes(checked, "block", "approval") == []
    assert checked.buildable
    assert not checked.needs_release
    assert checked.order is not None
    assert list(checked.plans) == [each for each in ("front", "rear") if each in example(name)]


def test_every_order_file_is_named_in_a_test():
    orders = {str(path.relative_to(EXAMPLES).with_suffix("")) for path in EXAMPLES.glob("D-*.json")}
    changes = {f"changes/{path.stem}" for path in EXAMPLES.glob("changes/D-*.json")}
    assert orders == {*ACCEPTED, *REFUSED}
    assert changes == set(CHANGES)


def test_the_disc_set_is_planned_as_the_story_says():
    plans = answer(example("D-1001")).plans
    front, rear = plans["front"], plans["rear"]
    assert (front.spokes.left.stock_mm, front.spokes.right.stock_mm) == (277, 279)
    assert (round(front.tension.left_n), round(front.tension.right_n)) == (1150, 766)
    assert front.tension.stop_n == 1210
    assert (rear.position, rear.holes, rear.driver) == ("rear", 28, "B")
    assert {"LAGOON-S-L", "LAGOON-S-R"} <= {pick.part for pick in front.pick}


def test_six_errors_come_in_one_answer():
    checked = answer(example("D-1005"), edition_17())
    assert keys(checked, "block") == {
        ("fit.hole-count", "/rear/hub"),
        ("fit.spoke-head", "/rear/spoke"),
        ("load.mass-missing", "/use/rider_kg"),
        ("finish.decal-size", "/finish/decal_size"),
        ("finish.colour", "/finish/decal_colour"),
        ("order.price-member", "/price"),
    }
    assert codes(checked, "approval", "caution") == []


def test_a_heavy_rider_is_offered_the_asymmetric_rim_with_more_spokes():
    checked = answer(example("D-1006"))
    assert keys(checked, "block") == {("load.system-mass", "/rear")}
    finding = the(checked, "load.system-mass")
    assert finding.have["system_kg"] == 118
    assert finding.need["by"] == "rim OR33D with 24 holes"
    assert finding.try_ == ()
    assert {"/rear/rim": "OR45A", "/rear/holes": 28} in finding.together


def test_rim_brake_wheels_for_a_disc_bicycle_are_refused_part_by_part():
    checked = answer(example("D-1007"))
    assert keys(checked, "block") == {
        ("fit.brake", f"/{position}/{part}")
        for position in ("front", "rear")
        for part in ("rim", "hub")
    }
    assert the(checked, "fit.brake", "/front/rim").try_[0].as_json() == {
        "at": "/use/brake",
        "values": ["rim"],
    }


def test_a_deep_rim_is_not_released_for_gravel():
    checked = answer(example("D-1008"))
    assert keys(checked, "block") == {("load.use-class", "/rear/rim")}
    assert all(each["/rear/rim"] != "OR58D" for each in the(checked, "load.use-class").together)


def test_the_heaviest_order_of_the_day_passes_mass_and_class():
    checked = answer(example("D-1009"))
    assert checked.buildable
    assert {"tension.bed-orientation", "order.note"} <= set(codes(checked, "note"))


NEGATIVE = {path.stem: path for path in sorted((EXAMPLES / "refused").glob("*.json"))}


@pytest.mark.parametrize("code", sorted(NEGATIVE))
def test_a_refused_example_gives_the_code_that_it_is_named_after(code: str):
    checked = answer(NEGATIVE[code].read_bytes())
    assert code in codes(checked, "block", "approval")
    assert (code == "lacing.head-clearance") == checked.buildable, (
        "a release can save only that one"
    )
    assert checked.buildable == (codes(checked, "block") == [])


def test_an_asked_release_is_named_and_does_not_block():
    checked = answer(example("refused/lacing.head-clearance"))
    assert checked.needs_release
    assert round(float(str(the(checked, "lacing.head-clearance").have["clearance_mm"])), 1) == 3.0


def test_a_nipple_that_the_only_drilling_does_not_take_is_refused():
    hidden_only = with_part(demo(), "rims", "OR58D", drillings=("hidden",))
    order = put(example("D-1008"), {"/rear/nipple": "NA14", "/use/class": 1})
    assert ("fit.nipple-hidden", "/rear/nipple") in keys(answer(order, hidden_only), "block")


def test_right_angled_wrap_is_refused_once_and_not_for_clearance_too():
    checked: Checked = answer(example("refused/lacing.wrap-angle"))
    assert codes(checked, "block") == ["lacing.wrap-angle"]


def test_the_rear_of_the_disc_set_is_not_released_with_twenty_spokes():
    checked = answer(put(example("D-1001"), {"/rear/holes": 20}))
    assert {("load.spoke-count", "/rear/holes"), ("fit.hole-count", "/rear/hub")} <= keys(
        checked, "block"
    )
