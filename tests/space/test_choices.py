"""What may still be chosen in the demo workshop."""

from __future__ import annotations

from dataclasses import replace

from buildsheet.catalog.edition import Edition
from buildsheet.findings import Value
from buildsheet.space.choices import Choices, choices
from buildsheet.space.choices.part import part_of
from tests.orders.workshop import demo, disc_set, put, with_part


def offered(answer: Choices, at: str) -> list[Value]:
    return [way.value for way in answer.open.get(at, ())]


def closed_by(answer: Choices, at: str, value: Value) -> str:
    return next(each.finding.code for each in answer.closed[at] if each.value == value)


def test_nothing_said_leaves_every_kind_of_order_open():
    answer = choices({}, demo())
    assert offered(answer, "/kind") == ["set", "front", "rear"]
    assert offered(answer, "/use/brake") == ["disc", "rim"]
    assert sum(way.ways for way in answer.open["/kind"]) == answer.ways
    assert answer.assumed == {"/use/rider_kg": 20, "/use/bike_kg": 3, "/use/luggage_kg": 0}
    assert not answer.findings


def test_a_value_that_only_some_orders_ask_for_is_closed_for_those_alone():
    def says(part: dict[str, Value]) -> str:
        closed = choices(part, demo()).closed["/use/rotor_mount"]
        return next(each.finding.says for each in closed if each.value == "none")

    assert choices({"use": {"rotor_mount": "none"}}, demo()).ways > 0
    assert says({}).startswith(
        "Rotor mount none leads to no complete order that asks for a rotor mount."
    )
    assert choices({"use": {"rotor_mount": "none", "brake": "disc"}}, demo()).ways == 0
    assert says({"use": {"brake": "disc"}}).startswith(
        "Rotor mount none leads to no complete order beside brake disc."
    )


def test_the_wide_blade_goes_into_no_wheel_and_says_so():
    answer = choices({"kind": "front"}, demo())
    assert "SJB12" not in offered(answer, "/front/spoke/left")
    assert closed_by(answer, "/front/spoke/left", "SJB12") == "order.no-way-on"


def test_a_hub_closes_what_it_does_not_fit_by_the_finding_of_the_check():
    answer = choices({"kind": "front", "front": {"hub": "KF4"}}, demo())
    assert answer.forced["/front/crossings"] is None
    assert answer.forced["/front/spoke/left"] == "SSB9"
    assert answer.forced["/use/front_axle"] == "12x100"
    assert closed_by(answer, "/front/spoke/left", "SJB9") == "fit.spoke-head"
    assert closed_by(answer, "/front/crossings", {"left": 2, "right": 2}) == "lacing.fixed-pattern"
    assert closed_by(answer, "/front/holes", 28) == "fit.hole-count"


def test_a_heavy_rider_closes_rims_that_do_not_carry_him():
    light = choices({"kind": "rear", "rear": {"holes": 24}}, demo())
    heavy = choices({"kind": "rear", "rear": {"holes": 24}, "use": {"rider_kg": 98}}, demo())
    assert {"OR33D", "OR45D"} <= set(offered(light, "/rear/rim"))
    assert "OR45D" in offered(heavy, "/rear/rim")
    assert closed_by(heavy, "/rear/rim", "OR38R") == "load.system-mass"
    assert heavy.assumed == {"/use/bike_kg": 3, "/use/luggage_kg": 0}


def test_one_side_of_a_pattern_leaves_the_other_side_open():
    wheel = {"hub": "KF2", "holes": 24, "rim": "OR33D"}
    whole = choices({"kind": "front", "front": wheel}, demo())
    answer = choices({"kind": "front", "front": {**wheel, "crossings": {"left": 2}}}, demo())
    two_left = {
        way.value["right"]: way.ways
        for way in whole.open["/front/crossings"]
        if isinstance(way.value, dict) and way.value["left"] == 2
    }
    assert "/front/crossings" not in answer.open
    assert {way.value: way.ways for way in answer.open["/front/crossings/right"]} == two_left
    assert answer.ways == sum(two_left.values())


def test_null_is_a_decision_and_absence_is_none():
    open_washer = choices({"kind": "front", "front": {"rim": "OR33D"}}, demo())
    no_washer = choices({"kind": "front", "front": {"rim": "OR33D", "washer": None}}, demo())
    assert offered(open_washer, "/front/washer") == [None, "W05"]
    assert "/front/washer" not in no_washer.open
    assert no_washer.ways == open_washer.open["/front/washer"][0].ways


def test_an_unused_axle_stays_with_an_order_that_does_not_need_it():
    answer = choices({"use": {"front_axle": "no axle of ours"}}, demo())
    assert offered(answer, "/kind") == ["rear"]
    assert {each.value for each in answer.closed["/kind"]} == {"set", "front"}


def test_values_off_the_lists_are_judged_like_any_other():
    answer = choices({"kind": "front", "use": {"tyre_width_mm": 29.5}}, demo())
    assert "/use/tyre_width_mm" not in answer.open
    assert "OR30G" not in offered(answer, "/front/rim")
    assert closed_by(answer, "/front/rim", "OR30G") == "tyre.width"


def test_parts_on_their_way_out_are_closed_by_their_state_and_drafts_are_not_named():
    edition = with_part(demo(), "rims", "OR58D", state="ended")
    edition = with_part(edition, "hubs", "KF5", state="draft")
    answer = choices({"kind": "front"}, edition)
    assert closed_by(answer, "/front/rim", "OR58D") == "data.part-state"
    assert offered(answer, "/front/hub") == ["KF1", "KF2", "KF3", "KF4"]
    assert "/front/hub" not in answer.closed


def test_a_dead_end_says_every_block_and_the_way_back():
    answer = choices(put(disc_set(), {"/front/hub": "KF4"}), demo())
    assert answer.ways == 0
    assert {each.code for each in answer.findings} >= {"lacing.fixed-pattern", "fit.spoke-head"}
    for finding in answer.findings:
        assert [(each.at, each.values) for each in finding.try_] == [("/front/hub", ("KF2",))]
    assert not answer.open


def test_two_wrong_wheels_are_set_right_at_once():
    document = put(
        disc_set(), {"/front/hub": "KF4", "/rear/hub": "KR4", "/rear/nipple_colour": "blue"}
    )
    finding = choices(document, demo()).findings[0]
    assert not finding.try_
    changes = finding.together[0]
    assert choices(put(document, changes), demo()).ways > 0


def test_a_code_that_the_catalog_lacks_is_a_dead_end_with_codes_to_try():
    answer = choices({"kind": "front", "front": {"rim": "OR99X"}}, demo())
    assert [each.code for each in answer.findings] == ["data.unknown-part"]
    assert [each.at for each in answer.findings[0].try_] == ["/front/rim"]


def test_wheels_of_another_kind_close_the_kind():
    answer = choices({"kind": "front", "rear": {"rim": "OR33D"}}, demo())
    assert answer.ways == 0
    assert [each.code for each in answer.findings] == ["pair.kind"]
    assert [(each.at, each.values) for each in answer.findings[0].try_] == [
        ("/kind", ("set", "rear"))
    ]


def test_faults_of_form_are_told_and_nothing_is_counted():
    part = part_of({"use": {"class": "sporty"}, "price": 3, "front": {"holes": 2}})
    assert {each.code for each in part.faults} == {
        "order.wrong-type",
        "order.price-member",
        "order.out-of-range",
    }
    answer = choices({"use": {"class": "sporty"}}, demo())
    assert (answer.ways, [each.edition for each in answer.findings]) == (0, [16])


def test_members_that_name_the_order_change_nothing():
    named = {"source": "shop-a", "number": "X-1", "revision": 1, "note": "soon, please"}
    assert choices({"kind": "rear", **named}, demo()).ways == choices({"kind": "rear"}, demo()).ways


def with_rule(edition: Edition, name: str, **changes: str) -> Edition:
    rule = edition.rules[name].model_copy(update=changes)
    digest = f"{edition.digest}+{name}{changes}"
    return replace(edition, digest=digest, rules={**edition.rules, name: rule})


def test_a_rule_that_blocks_closes_values_under_its_own_code():
    edition = with_rule(demo(), "alloy-on-rough-ground", severity="block")
    rough = {"kind": "front", "use": {"class": 3}}
    assert "NA14" in offered(choices(rough, demo()), "/front/nipple")
    answer = choices(rough, edition)
    assert closed_by(answer, "/front/nipple", "NA14") == "rule.alloy-on-rough-ground"
    assert answer.forced["/front/nipple"] == "NB12"


def test_a_rule_about_the_plan_closes_the_wheels_whose_plan_it_refuses():
    light = with_rule(
        demo(), "heavy-wheel-for-the-road", severity="block", needs="plan.mass_g <= 640.0"
    )
    on_roads = {"kind": "front", "use": {"class": 1}}
    elsewhere = {"kind": "front", "use": {"class": 2}}
    assert "OR58D" in offered(choices(on_roads, demo()), "/front/rim")
    assert "OR58D" not in offered(choices(on_roads, light), "/front/rim")
    assert choices(elsewhere, light).ways == choices(elsewhere, demo()).ways
