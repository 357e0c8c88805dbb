"""The catalog's own rules in the answer to an order: what they say, where, and what clears them."""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType
from typing import Any

import pytest

from buildsheet.actions.finding_codes import finding_codes
from buildsheet.catalog.edition import Edition
from buildsheet.catalog.rules.facts import declared
from buildsheet.catalog.rules.rule import Rule
from buildsheet.orders.check import Checked
from buildsheet.orders.checks.rule_members import members_of, members_read, members_told, ways_of
from buildsheet.orders.checks.rules import beside
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
    put_values,
    rim_brake_set,
    sides,
    straight_pull_set,
    the,
    with_part,
)

SAID = {
    "severity": "block",
    "says": "It says so.",
    "reason": "A reason.",
    "source": "invented for a test",
    "owner": "engineering",
    "accepts": ({"rim": "OR33D"},),
    "refuses": ({"rim": "OR58D"},),
}


def ruled(*rules: dict[str, Any], edition: Edition | None = None) -> Edition:
    """The edition with these rules and no others."""
    read = [
        Rule.model_validate({"id": "tried", "scope": "wheel", **SAID, **each}) for each in rules
    ]
    by_id = MappingProxyType({each.id: each for each in read})
    return replace(edition or demo(), rules=by_id)


def checked(document: Document, *rules: dict[str, Any], edition: Edition | None = None) -> Checked:
    return answer(document, ruled(*rules, edition=edition))


def said_at(result: Checked, code: str = "rule.tried") -> list[str]:
    return [each.at for each in result.findings if each.code == code]


SHALLOW = {
    "needs": "rim.depth_mm <= 32.0",
    "at": "rim",
    "says": "Rim {rim.code} is {rim.depth_mm} mm deep, class {use.class}.",
}


def test_a_rule_that_fails_says_its_sentence_with_its_own_reason_and_source():
    result = checked(disc_set(), SHALLOW)
    finding = the(result, "rule.tried", "/front/rim")
    assert not result.buildable
    assert finding.says == "Rim OR33D is 33 mm deep, class 1."
    assert (finding.severity, finding.reason) == ("block", "A reason.")
    assert (finding.source, finding.edition) == ("invented for a test", 16)
    assert finding.have == {"rim.depth_mm": 33.0}
    assert finding.need == {"rule": "rim.depth_mm <= 32.0"}
    assert said_at(result) == ["/front/rim", "/rear/rim"]


@pytest.mark.parametrize("severity", ["block", "approval", "caution", "note"])
def test_a_rule_speaks_in_its_own_severity(severity: str):
    result = checked(front_only(), {**SHALLOW, "severity": severity})
    assert the(result, "rule.tried").severity == severity
    assert result.buildable is (severity != "block")
    assert result.needs_release is (severity == "approval")


def test_a_rule_that_holds_or_is_not_asked_says_nothing():
    holds = {"needs": "rim.depth_mm <= 33.0", "at": "rim"}
    asked_of_others = {**SHALLOW, "when": "wheel.position == 'rear'"}
    assert not said_at(checked(front_only(), holds))
    assert not said_at(checked(front_only(), asked_of_others))


def test_a_rule_past_its_last_edition_says_nothing():
    assert said_at(checked(front_only(), {**SHALLOW, "until": 16}))
    assert not said_at(checked(front_only(), {**SHALLOW, "until": 15}))


def test_every_way_out_of_a_rule_clears_it_and_blocks_nothing_else():
    rule = {
        "needs": "spoke.thickness_mm >= 1.8 || rim.depth_mm > 40.0",
        "at": "spoke",
    }
    document = front_only()
    finding = the(checked(document, rule), "rule.tried")
    assert {each.at for each in finding.try_} == {"/front/rim", "/front/spoke"}
    for change in finding.try_:
        for value in change.values:
            after = checked(put_values(document, {change.at: value}), rule)
            assert after.buildable, (change.at, value, codes(after))


def test_a_way_out_changes_a_part_and_never_the_rider():
    rule = {"needs": "use.system_kg <= 80.0 || wheel.holes >= 28", "at": "holes"}
    finding = the(checked(front_only(), rule), "rule.tried")
    assert finding.at == "/front/holes"
    assert {each.at for each in finding.try_} == {"/front/holes"}
    assert set(finding.also) == {"/use/bike_kg", "/use/luggage_kg", "/use/rider_kg"}


def test_a_part_that_does_not_say_what_a_rule_reads_blocks_whatever_the_severity():
    edition = with_part(demo(), "rims", "OR33D", track_mm=None)
    rule = {"needs": "rim.track_mm > 5.0", "at": "rim", "severity": "note"}
    result = checked(front_only(), rule, edition=edition)
    finding = the(result, "rule.tried")
    assert (finding.severity, finding.at) == ("block", "/front/rim")
    assert finding.says == (
        "Rule tried cannot be judged: OR33D does not say its track_mm. "
        "Have it measured or released, or take another part."
    )
    assert finding.have == {"missing": ["rim.track_mm"]}


def test_a_rule_settled_without_the_silent_part_is_judged():
    rule = {"needs": "rim.brake == 'disc' || rim.track_mm > 5.0", "at": "rim"}
    assert not said_at(checked(front_only(), rule))


def test_a_rule_without_an_answer_blocks():
    rule = {"needs": "1 / (wheel.holes - 24) == 1", "at": "holes", "severity": "caution"}
    finding = the(checked(front_only(), rule), "rule.tried")
    assert finding.severity == "block"
    assert "divide by zero" in finding.says


@pytest.mark.parametrize(
    "member",
    ["/front/rim", "/front/holes", "/use/rider_kg", "/front/spoke", "/front/nipple_colour"],
)
def test_a_rule_is_silent_about_what_the_order_does_not_say(member: str):
    rule = {
        "needs": "rim.depth_mm + use.rider_kg < 1.0 && wheel.holes > 99 && spoke.blade_mm > 9.0 "
        "&& wheel.nipple_colour == 'pink'",
        "when": "rim.depth_mm > 0.0 && use.rider_kg > 0.0 && wheel.holes > 0 && spoke.blade_mm > 0.0 "
        "&& wheel.nipple_colour != ''",
        "at": "rim",
    }
    assert said_at(checked(front_only(), rule)) == ["/front/rim"]
    assert not said_at(checked(put(front_only(), {member: ABSENT}), rule))


def test_a_rule_is_silent_about_a_part_that_the_edition_does_not_know():
    result = checked(put(front_only(), {"/front/rim": "OR99X"}), SHALLOW)
    assert "data.unknown-part" in codes(result)
    assert not said_at(result)


def test_a_member_that_may_be_left_out_leaves_a_rule_silent():
    rule = {"needs": "use.rotor_mm <= 140", "at": "hub"}
    assert not said_at(checked(front_only(), rule))
    assert said_at(checked(put(front_only(), {"/use/front_rotor_mm": 160}), rule)) == ["/front/hub"]


ROUND = {"needs": "spoke.blade_mm == 0.0", "at": "spoke", "says": "{spoke.code} is a blade."}


def test_spokes_alike_are_asked_once_and_different_ones_side_by_side():
    assert said_at(checked(front_only(), ROUND)) == ["/front/spoke"]
    mixed = put(front_only(), {"/front/spoke": {"left": "SJ18", "right": "SJB9"}})
    result = checked(mixed, ROUND)
    assert said_at(result) == ["/front/spoke/right"]
    assert the(result, "rule.tried").says == "SJB9 is a blade."


def test_a_rule_about_washers_is_asked_of_wheels_that_have_one():
    rule = {"needs": "washer.thickness_mm <= 0.3", "at": "washer"}
    assert not said_at(checked(front_only(), rule))
    washed = put(front_only(), {"/front/washer": "W05"})
    assert said_at(checked(washed, rule)) == ["/front/washer"]


def test_a_rule_about_driver_bodies_is_asked_of_rear_wheels():
    rule = {"needs": "driver.smallest_sprocket == 11", "at": "driver"}
    assert said_at(checked(disc_set(), rule)) == ["/rear/driver"]


def test_a_part_rule_is_asked_of_every_part_of_its_kind():
    rule = {"scope": "part", "needs": "spoke.thickness_mm > 1.0", "at": "spoke"}
    assert said_at(checked(disc_set(), rule)) == ["/front/spoke", "/rear/spoke"]
    mixed = put(front_only(), {"/front/spoke": {"left": "SJ18", "right": "SJB9"}})
    result = checked(mixed, rule)
    assert said_at(result) == ["/front/spoke/right"]
    assert not result.buildable


def test_a_rule_over_the_plan_reads_what_was_computed():
    result = checked(
        front_only(), {"needs": "plan.left_tension_n > plan.right_tension_n", "at": "hub"}
    )
    assert not said_at(result)
    rule = {
        "needs": "plan.mass_g < 600.0 && plan.left_stock_mm == plan.right_stock_mm",
        "at": "",
        "says": "{plan.mass_g} g, {plan.left_stock_mm} and {plan.right_stock_mm} mm.",
    }
    finding = the(checked(front_only(), {**rule, "at": "rim"}), "rule.tried")
    plan = result.plans["front"]
    left_mm, right_mm = plan.spokes.left.stock_mm, plan.spokes.right.stock_mm
    assert finding.says == f"{plan.mass_g:.2f} g, {left_mm} and {right_mm} mm."


def test_a_wheel_that_cannot_be_computed_leaves_a_rule_over_the_plan_silent():
    rule = {"needs": "plan.mass_g < 1.0", "at": "rim"}
    result = checked(put(front_only(), {"/front/holes": 20}), rule)
    assert not result.buildable
    assert not said_at(result)


def test_the_hub_that_dictates_its_pattern_makes_a_rule_about_crossings_unjudgeable():
    rule = {"needs": "wheel.left_crossings >= 2", "at": "crossings", "severity": "caution"}
    finding = next(
        each for each in checked(straight_pull_set(), rule).findings if each.code == "rule.tried"
    )
    assert finding.severity == "block"
    assert "the hub dictates its pattern" in finding.says
    guarded = {**rule, "needs": "wheel.straight_pull || wheel.left_crossings >= 2"}
    assert not said_at(checked(straight_pull_set(), guarded))


SAME_DEPTH = {"scope": "set", "needs": "rim.depth_mm == other.rim.depth_mm", "at": "rim"}


def test_a_set_rule_is_asked_of_each_wheel_beside_the_other():
    document = put(disc_set(), {"/rear/rim": "OR45D"})
    finding = the(checked(document, SAME_DEPTH), "rule.tried", "/front/rim")
    assert finding.also == ("/rear/rim",)
    assert finding.have == {"rim.depth_mm": 33.0, "other.rim.depth_mm": 45.0}
    assert said_at(checked(document, SAME_DEPTH)) == ["/front/rim", "/rear/rim"]
    once = {**SAME_DEPTH, "when": "wheel.position == 'front'"}
    assert said_at(checked(document, once)) == ["/front/rim"]


def test_a_set_rule_offers_a_change_of_either_wheel():
    document = put(disc_set(), {"/rear/rim": "OR45D"})
    rule = {**SAME_DEPTH, "when": "wheel.position == 'front'"}
    finding = the(checked(document, rule), "rule.tried")
    offered = {each.at: each.values for each in finding.try_}
    assert "OR33D" in offered["/rear/rim"]
    assert "OR45D" in offered["/front/rim"]


def test_a_set_rule_is_not_asked_of_one_wheel():
    assert not said_at(checked(front_only(), {**SAME_DEPTH, "needs": "other.rim.depth_mm < 1.0"}))


def test_an_order_rule_points_at_members_of_the_order():
    rule = {
        "scope": "order",
        "when": "order.kind == 'set' && order.market == 'DE'",
        "needs": "finish.decal_colour != 'LAGOON' && use.bike == 'bicycle' && !use.salt",
        "at": "finish/decal_colour",
    }
    result = checked(disc_set(), rule)
    finding = the(result, "rule.tried")
    assert finding.at == "/finish/decal_colour"
    assert "EMBER" in next(
        each.values for each in finding.try_ if each.at == "/finish/decal_colour"
    )


def test_each_wheel_reads_its_own_decals_and_its_own_end_of_the_bicycle():
    document = put(disc_set(), {"/finish/rear_decal_colour": "EMBER"})
    rule = {
        "needs": "finish.decal_colour == 'LAGOON' && use.axle == '12x100'",
        "at": "rim",
        "says": "{finish.decal_colour} {use.axle}",
    }
    finding = the(checked(document, rule), "rule.tried")
    assert (finding.at, finding.says) == ("/rear/rim", "EMBER 12x142")


@pytest.mark.parametrize("order", [disc_set, gravel_set, rim_brake_set, straight_pull_set])
def test_the_demos_rules_are_silent_about_its_own_sound_orders(order: Any):
    assert [code for code in codes(answer(order())) if code.startswith("rule.")] == []


@pytest.mark.parametrize(
    ("document", "code", "at"),
    [
        (
            lambda: put(gravel_set(), {"/front/nipple": "NA14"}),
            "rule.alloy-on-rough-ground",
            "/front/nipple",
        ),
        (
            lambda: put(disc_set(), {"/rear/nipple_colour": "silver"}),
            "rule.one-nipple-colour",
            "/front/nipple_colour",
        ),
        (
            lambda: put(disc_set(), {"/front/spoke": sides("SJ18")}),
            "rule.blades-not-behind-alone",
            "/front/spoke",
        ),
        (
            lambda: put(rim_brake_set(), {"/use/salt": True}),
            "rule.salt-on-brake-tracks",
            "/use/brake",
        ),
        (
            lambda: put(rim_brake_set(), {"/use/rider_kg": 75}),
            "rule.few-spokes-heavy-rider",
            "/front/holes",
        ),
        (
            lambda: put(gravel_set(), {"/use/class": 1}),
            "rule.heavy-wheel-for-the-road",
            "/rear/rim",
        ),
    ],
    ids=["alloy", "colour", "blades", "salt", "few", "heavy"],
)
def test_each_of_the_demos_rules_can_speak(document: Any, code: str, at: str):
    result = answer(document())
    assert (code, at) in {(each.code, each.at) for each in result.findings}, codes(result)
    assert all(each.severity != "block" for each in result.findings if each.code == code)


def test_rules_stand_beside_the_fixed_codes_and_hide_none():
    assert not {code for code in finding_codes() if str(code["code"]).startswith("rule.")}


def rule_of(**keys: Any) -> Rule:
    return ruled({"at": "rim", **keys}).rules["tried"]


@pytest.mark.parametrize(
    ("keys", "members"),
    [
        ({"needs": "rim.depth_mm > 3.0"}, {"rim"}),
        ({"needs": "spoke.blade_mm > 0.0"}, {"spoke/left", "spoke/right"}),
        ({"needs": "left_spoke.blade_mm > 0.0"}, {"spoke/left"}),
        ({"needs": "wheel.holes > 3", "when": "use.class == 1"}, {"holes", "use/class"}),
        ({"needs": "wheel.position == 'front'"}, set()),
        ({"needs": "use.system_kg > 3.0"}, {"use/rider_kg", "use/bike_kg", "use/luggage_kg"}),
        ({"needs": "use.cassette.spline == 'A'"}, {"use/cassette/spline"}),
        ({"needs": "use.axle == '12x100'"}, {"use/front_axle", "use/rear_axle"}),
        ({"needs": "wheel.erd_mm > 3.0"}, {"rim", "nipple", "washer"}),
        ({"needs": "order.kind == 'set'", "scope": "order"}, {"kind"}),
        ({"needs": "finish.decal_size == 'S'", "scope": "order"}, {"finish/decal_size"}),
        ({"needs": "finish.decal_size == 'S'"}, {"finish/decal_size", "rim"}),
        (
            {"needs": "other.rim.depth_mm > rim.depth_mm", "scope": "set"},
            {"rim", "other:rim", "kind"},
        ),
        (
            {"needs": "other.wheel.holes > 3", "scope": "set"},
            {"other:holes", "kind"},
        ),
    ],
)
def test_a_rule_depends_on_the_members_that_its_facts_follow_from(
    keys: dict[str, Any], members: set[str]
):
    assert members_read(rule_of(**keys)) == members


def test_what_a_rule_says_may_depend_on_more_than_its_verdict():
    rule = rule_of(needs="rim.depth_mm > 3.0", says="{hub.code} with {rim.code}")
    assert members_read(rule) == {"rim"}
    assert members_told(rule) == {"rim", "hub"}


def test_ways_out_name_parts_before_people_and_both_sides_as_one():
    members = frozenset({"use/class", "other:rim", "spoke/left", "spoke/right", "crossings/left"})
    assert ways_of(members, None) == ("crossings", "spoke", "other:rim", "use/class")
    assert ways_of(members, "left") == ("crossings", "spoke/left", "other:rim", "use/class")


@pytest.mark.parametrize("name", ["D-1001", "D-1005", "D-1007", "D-1008"])
def test_the_same_order_is_answered_in_the_same_words_every_time(name: str):
    rules = [
        {**SHALLOW, "id": f"deep-{each}", "severity": severity}
        for each, severity in enumerate(["note", "caution", "approval", "block"])
    ]
    first, second = (checked(example(name), *rules) for _ in range(2))
    assert first.as_json() == second.as_json()


def _only(document: Document, members: frozenset[str]) -> Document:
    """The order with these members alone, beside two wheels of which nothing else is said."""
    part: Document = {"kind": "set", "front": {"rim": None}, "rear": {"rim": None}}
    for member in members:
        wheel, own = ("rear", member[6:]) if member.startswith("other:") else ("front", member)
        of_order = own.split("/", 1)[0] in ("kind", "market", "use", "finish")
        names = own.split("/") if of_order else [wheel, *own.split("/")]
        standing: Any = document
        for name in names:
            standing = standing.get(name) if isinstance(standing, dict) else None
        if standing is not None:
            part = put(part, {"/" + "/".join(names): standing})
    return part


@pytest.mark.parametrize("build", [disc_set, straight_pull_set, rim_brake_set, gravel_set])
def test_every_fact_follows_from_the_members_that_it_is_said_to_depend_on(build: Any):
    document = put(
        build(),
        {
            "/front/washer": "W05",
            "/use/salt": True,
            "/use/front_rotor_mm": 160,
            "/use/rear_rotor_mm": 140,
            "/finish/rear_decal_colour": "EMBER",
        },
    )

    def facts_of(given: Document) -> Any:
        front, rear = Posted(given, demo()).pair or pytest.fail("no pair")
        return beside(front.planned_facts, rear.facts)

    whole = facts_of(document)
    for name in declared("set"):
        members = members_of(frozenset({name}), "set")
        alone = facts_of(_only(document, members))
        if name.startswith("spoke.") and "spoke" not in whole.parts:
            continue
        assert alone.get(name) == whole.get(name), (name, members)
    assert {"plan.mass_g", "wheel.erd_mm", "use.rotor_mm", "other.rim.code"} <= set(whole)
