"""Where a rule turns: on the limit nothing is said, just beyond it something is."""

from __future__ import annotations

from dataclasses import dataclass, replace

import pytest

from buildsheet.catalog.edition import Edition
from buildsheet.orders.checks.lacing import valve_gap
from buildsheet.orders.posted import Posted
from tests.orders.workshop import (
    ABSENT,
    Document,
    answer,
    codes,
    demo,
    disc_set,
    example,
    front_only,
    gravel_set,
    put,
    rim_brake_set,
    sides,
    straight_pull_set,
    the,
    with_house,
    with_part,
)


@dataclass(frozen=True)
class Limit:
    """One figure of one part: ``within`` is accepted, ``beyond`` makes the code speak."""

    code: str
    order: Document
    kind: str
    part: str
    attribute: str
    within: object
    beyond: object


DISC, FRONT, GRAVEL, PULL, RIM = (
    disc_set(),
    front_only(),
    gravel_set(),
    straight_pull_set(),
    rim_brake_set(),
)

LIMITS = [
    # ends are 2.0 mm: 0.25 mm of play at least, 0.9 mm at most, from 0.6 mm on a caution
    Limit("fit.elbow-hole", FRONT, "hubs", "KF2", "hole_mm", 2.3, 2.24),
    Limit("fit.elbow-hole", FRONT, "hubs", "KF2", "hole_mm", 2.6, 2.61),
    # the blade has 2.3 mm, slots want 0.2 mm more
    Limit("fit.blade", FRONT, "spokes", "SJB9", "blade_mm", 2.6, 2.61),
    Limit("fit.spoke-stiffness", FRONT, "spokes", "SJB9", "section_mm2", 3.2, 3.21),
    # bodies have 4.0 mm: 0.2 mm of room at least, 0.6 mm at most
    Limit("fit.nipple-hole", FRONT, "rims", "OR33D", "external_hole_mm", 4.2, 4.19),
    Limit("fit.nipple-hole", FRONT, "rims", "OR33D", "external_hole_mm", 4.6, 4.61),
    Limit("fit.nipple-length", FRONT, "rims", "OR33D", "bed_mm", 3.0, 3.01),
    Limit("fit.tyre-bed", FRONT, "rims", "OR33D", "tyre_bed_hole_mm", 4.1, 4.0),
    Limit("fit.track-width", RIM, "rims", "OR38R", "outer_width_mm", 28.0, 28.1),
    Limit("fit.flange-thickness", FRONT, "spokes", "SJB9", "flange_max_mm", 3.2, 3.1),
    Limit("fit.flange-thickness", FRONT, "spokes", "SJB9", "flange_min_mm", 3.2, 3.3),
    Limit("fit.straight-pull-twist", PULL, "spokes", "SSB9", "blade_mm", 2.3, 0.0),
    Limit("fit.washer", FRONT, "nipples", "NA12", "needs_washer", False, True),
    Limit("fit.nipple-excluded", FRONT, "nipples", "NA12", "excluded_rims", (), ("OR33D",)),
    Limit("fit.nipple-colour", FRONT, "nipples", "NA12", "colours", ("black",), ("silver",)),
    Limit("fit.thread", FRONT, "nipples", "NA12", "thread", "Fg 2.3", "Fg 2.6"),
    Limit("fit.driver", DISC, "drivers", "B", "smallest_sprocket", 10, 11),
    Limit("fit.driver", DISC, "drivers", "B", "spline", "B", "C"),
    Limit("fit.driver", DISC, "hubs", "KR2", "drivers", ("B",), ("A", "C")),
    Limit("fit.axle", DISC, "hubs", "KR2", "axles", ("12x142",), ("12x148",)),
    Limit("fit.rotor-mount", DISC, "hubs", "KR2", "rotor_mount", "splined", "six-bolt"),
    Limit("lacing.pattern-not-released", FRONT, "hubs", "KF2", "crossings", (2,), (3,)),
    Limit("lacing.radial-not-released", RIM, "hubs", "KF1", "radial_holes", (20,), (24,)),
    Limit("load.system-mass", FRONT, "hubs", "KF2", "system_limit_kg", 92.0, 91.9),
    Limit("load.system-mass", FRONT, "spokes", "SJB9", "system_limit_kg", 92.0, 91.9),
    Limit("load.system-mass", FRONT, "nipples", "NA12", "system_limit_kg", 92.0, 91.9),
    Limit("load.use-class", FRONT, "rims", "OR33D", "use_classes", (1,), (2, 3)),
    Limit("load.use-class", FRONT, "hubs", "KF2", "use_classes", (1,), (2, 3)),
    Limit("load.use-class", FRONT, "nipples", "NA12", "use_classes", (1,), ()),
    Limit("load.spoke-class", FRONT, "spokes", "SJB9", "use_classes", (1,), (2,)),
    Limit("tyre.width", FRONT, "rims", "OR33D", "tyre_min_mm", 30.0, 30.5),
    Limit("tyre.width", FRONT, "rims", "OR33D", "tyre_max_mm", 30.0, 29.5),
    Limit("tyre.hookless", GRAVEL, "rims", "OR30G", "inner_width_mm", 40.0, 40.5),
    Limit("tyre.valve-length", FRONT, "rims", "OR33D", "depth_mm", 34.0, 70.0),
    Limit("tyre.tape-width", FRONT, "rims", "OR33D", "inner_width_mm", 21.0, 28.0),
    Limit("length.thread-fill", FRONT, "nipples", "NA12", "head_top_mm", 0.9, 0.2),
    Limit("tension.hub-limit", FRONT, "hubs", "KF2", "spoke_limit_n", 1250.0, 1249.0),
    Limit("finish.decal-size", FRONT, "rims", "OR33D", "depth_mm", 34.0, 34.1),
]


@pytest.mark.parametrize("limit", LIMITS, ids=lambda each: f"{each.code}-{each.attribute}")
def test_a_rule_turns_at_its_limit(limit: Limit):
    within = with_part(demo(), limit.kind, limit.part, **{limit.attribute: limit.within})
    beyond = with_part(demo(), limit.kind, limit.part, **{limit.attribute: limit.beyond})
    assert limit.code not in codes(answer(limit.order, within), "block", "approval", "caution")
    assert limit.code in codes(answer(limit.order, beyond))


@pytest.mark.parametrize(
    ("kg", "accepted"), [(91.0, True), (91.1, False)], ids=["on the limit", "just over"]
)
def test_the_rims_table_by_holes_decides_over_the_mass(kg: float, accepted: bool):
    # OR33D with 24 holes carries 105 kg in front; bicycle and luggage weigh 14 kg
    checked = answer(put(front_only(), {"/use/rider_kg": kg}))
    assert checked.buildable == accepted


def test_slots_let_a_wide_blade_pass():
    order = put(front_only(), {"/front/spoke": sides("SJB12")})
    narrow = with_part(demo(), "hubs", "KF2", slot_mm=3.3)
    wide = with_part(demo(), "hubs", "KF2", slot_mm=3.4)
    assert "fit.blade" in codes(answer(order, narrow))
    assert "fit.blade" not in codes(answer(order, wide))


@pytest.mark.parametrize(
    ("hole_mm", "severity"), [(2.2, "block"), (2.6, None), (2.9, "caution"), (2.95, "block")]
)
def test_elbow_play_is_judged_in_three_steps(hole_mm: float, severity: str | None):
    checked = answer(front_only(), with_part(demo(), "hubs", "KF2", hole_mm=hole_mm))
    said = [each.severity for each in checked.findings if each.code == "fit.elbow-hole"]
    assert said == ([severity] if severity else [])


@pytest.mark.parametrize("side", ["left", "right"])
def test_a_fault_of_one_side_stands_at_that_side(side: str):
    order = put(front_only(), {f"/front/spoke/{side}": "SSB9"})
    assert the(answer(order), "fit.spoke-head").at == f"/front/spoke/{side}"


def test_unlike_crossings_are_judged_side_by_side():
    order = put(front_only(), {"/front/crossings": {"left": 2, "right": 1}})
    said = {(each.code, each.at) for each in answer(order).findings if each.blocks}
    assert said == {
        ("lacing.torque", "/front/crossings/right"),
        ("lacing.pattern-not-released", "/front/crossings/right"),
    }


def test_a_front_rim_brake_wheel_carries_no_torque_and_may_be_radial():
    assert answer(rim_brake_set()).buildable


def test_a_rear_wheel_is_crossed_with_any_brake():
    radial = put(rim_brake_set(), {"/rear/crossings": sides(0)})
    assert "lacing.torque" in codes(answer(radial), "block")


def test_two_to_one_needs_a_count_that_three_divides():
    edition = with_part(demo(), "rims", "OR33D", split="2:1", holes=(24, 28))
    edition = with_part(edition, "hubs", "KF2", split="2:1")
    order = put(front_only(), {"/front/holes": 28})
    assert the(answer(order, edition), "fit.side-split").at == "/front/holes"
    assert "fit.side-split" not in codes(answer(front_only(), edition))


def test_paired_holes_on_both_parts_are_not_planned_without_their_distance():
    edition = with_part(demo(), "rims", "OR33D", spacing="paired")
    edition = with_part(edition, "hubs", "KF2", spacing="paired")
    checked = answer(front_only(), edition)
    assert the(checked, "data.fact-missing").have["missing"] == "pair distance"
    assert dict(checked.plans) == {}


@pytest.mark.parametrize(("washer", "said"), [(ABSENT, True), ("W05", False)])
def test_a_flat_seat_takes_a_nipple_by_way_of_a_washer(washer: object, said: bool):
    flat = with_part(demo(), "rims", "OR33D", seat_shape="flat")
    checked = answer(put(front_only(), {"/front/washer": washer}), flat)
    assert ("fit.nipple-seat" in codes(checked)) == said


def test_a_washer_must_fit_the_seat():
    cone = with_part(demo(), "rims", "OR33D", seat_shape="cone")
    checked = answer(put(front_only(), {"/front/washer": "W05"}), cone)
    assert {"fit.washer", "fit.nipple-seat"} <= set(codes(checked, "block"))


def test_a_washer_moves_every_length():
    bare = answer(front_only()).plans["front"]
    lifted = answer(put(front_only(), {"/front/washer": "W05"})).plans["front"]
    assert lifted.erd_mm == pytest.approx(bare.erd_mm + 1.0, abs=1e-9)


def pressure_bar(order: Document, edition: Edition | None = None) -> object:
    need = the(answer(order, edition), "tyre.pressure", "/front/rim").need["bar"]
    assert isinstance(need, dict)
    return need["at_most"]


@pytest.mark.parametrize(("tyre_mm", "bar"), [(28, 6.0), (31.9, 6.0), (32, 5.0), (40, 3.8)])
def test_the_pressure_is_that_of_the_row_that_the_tyre_reaches(tyre_mm: float, bar: float):
    assert pressure_bar(put(front_only(), {"/use/tyre_width_mm": tyre_mm})) == bar


def test_a_rim_without_hooks_is_capped_whatever_its_table_says():
    generous = with_part(demo(), "rims", "OR33D", bead="hookless", inner_width_mm=21.0)
    assert pressure_bar(front_only(), generous) == 5.0


def test_a_tube_lowers_the_cap_further():
    tube = put(gravel_set(), {"/use/tyre_system": "clincher", "/use/tyre_width_mm": 35})
    low = with_house(demo(), "tyre", tube_on_hookless_bar=3.0)
    assert pressure_bar(tube, low) == 3.0


def test_a_tyre_below_the_first_row_cannot_be_judged():
    edition = with_part(demo(), "rims", "OR33D", tyre_min_mm=23.0)
    checked = answer(put(front_only(), {"/use/tyre_width_mm": 25}), edition)
    assert the(checked, "data.fact-missing").at == "/front/rim"


def test_a_decal_size_left_out_follows_each_rim():
    mixed = put(disc_set(), {"/rear/rim": "OR45D"})
    parts = {pick.part for pick in answer(mixed).plans["rear"].pick}
    assert {"LAGOON-M-L", "LAGOON-M-R"} <= parts
    assert answer(mixed).buildable


def test_one_decal_size_cannot_suit_two_depths():
    mixed = put(disc_set(), {"/rear/rim": "OR45D", "/finish/decal_size": "S"})
    finding = the(answer(mixed), "finish.decal-size")
    assert (finding.at, finding.also) == ("/finish/decal_size", ("/rear/rim",))


def test_sand_is_not_made_for_the_deepest_rim():
    order = put(example("D-1008"), {"/finish/decal_colour": "SAND", "/use/class": 1})
    assert codes(answer(order), "block") == ["finish.colour"]


def test_a_set_of_two_rims_that_weigh_alike_needs_no_picking():
    even = with_part(demo(), "rims", "OR33D", mass_tolerance_g=10.0)
    assert "pair.rim-mass" in codes(answer(disc_set()))
    assert "pair.rim-mass" not in codes(answer(disc_set(), even))


@pytest.mark.parametrize(
    ("front", "rear", "said"),
    [("OR33D", "OR45D", False), ("OR45D", "OR33D", True), ("OR33D", "OR58D", False)],
)
def test_the_front_rim_is_not_the_deeper_one(front: str, rear: str, said: bool):
    order = put(disc_set(), {"/front/rim": front, "/rear/rim": rear})
    assert ("pair.depth" in codes(answer(order))) == said


def test_rims_far_apart_in_depth_are_asked_about():
    shallow = with_house(demo(), "pair", depth_difference_mm=11.0)
    order = put(disc_set(), {"/rear/rim": "OR45D"})
    assert "pair.depth" in codes(answer(order, shallow))


def test_a_slack_share_below_the_floor_is_for_a_release_and_above_it_a_caution():
    floor = with_house(demo(), "tension", ratio_floor=0.49)
    low = the(answer(rim_brake_set(), floor), "tension.ratio")
    fair = the(answer(rim_brake_set()), "tension.ratio")
    assert (low.severity, fair.severity) == ("approval", "caution")


def test_an_asymmetric_rim_says_which_way_round_it_goes():
    checked = answer(gravel_set())
    front = the(checked, "tension.bed-orientation", "/front/rim").says
    rear = the(checked, "tension.bed-orientation", "/rear/rim").says
    assert "RIGHT" in front
    assert "LEFT" in rear


def test_rough_use_is_pushed_harder_from_the_side():
    push = with_house(demo(), "load", side_load_n=1.0, side_load_rough_n=2000.0)
    assert "load.side-load" in codes(answer(gravel_set(), push)), "class 3"
    assert "load.side-load" not in codes(answer(disc_set(), push)), "class 1"


def test_a_map_that_crosses_spokes_over_the_valve_is_refused():
    # lacing itself never hands such a map back, so one is made by hand
    wheel = Posted(front_only(), demo()).wheels[0]
    computed = wheel.computed
    assert computed is not None
    assert list(valve_gap(wheel)) == []
    crossing = replace(computed.mechanics.lacing, valve_gap="crossing")
    mechanics = replace(computed.mechanics, lacing=crossing)
    wheel.__dict__["outcome"] = replace(computed, mechanics=mechanics)
    (raised,) = valve_gap(wheel)
    assert (raised.finding.code, raised.finding.severity) == ("lacing.valve-gap", "block")
