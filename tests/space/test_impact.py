"""What publishing does: laws over small editions, and the demo's own changes."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from buildsheet.catalog.edition import Edition
from buildsheet.catalog.rules.rule import Rule
from buildsheet.orders.check import check_document
from buildsheet.space.builds import WheelBuild, builds_of
from buildsheet.space.count import count, ways_of_builds
from buildsheet.space.finishes import finish_space
from buildsheet.space.impact.configurations import Configurations, configurations
from buildsheet.space.impact.content import changed_content
from buildsheet.space.impact.impact import impact
from buildsheet.space.impact.orders import OF_THE_NUMBER, OpenOrder, touched
from buildsheet.space.impact.proposals import STAGES, TABLE
from buildsheet.space.impact.released import released
from buildsheet.states import STATIONS
from tests.space.editions import demo, small, with_part, with_rule, without_part
from tests.workshops import EXAMPLES, Document

Next = Callable[[Edition], Edition]

CHANGES: dict[str, Next] = {
    "limit": lambda each: with_part(each, "rims", "OR33D", spoke_limit_n=1200.0),
    "seat": lambda each: with_part(each, "rims", "OR33D", seat_diameter_mm=574.0),
    "drilling": lambda each: with_part(each, "rims", "OR33D", holes=(24,)),
    "colour": lambda each: with_part(each, "nipples", "NA12", colours=("black", "gold")),
    "ended": lambda each: with_part(each, "decals", "PLUM-S-L", state="ended"),
    "driver": lambda each: with_part(each, "hubs", "KR4", drivers=("A",)),
    "class": lambda each: with_part(each, "spokes", "SJB9", use_classes=(6,)),
    "dropped": lambda each: without_part(each, "nipples", "NA14"),
    "clone": lambda each: with_part(each, "nipples", "NA13", like="NA12", mass_g=0.4),
    "rule": lambda each: with_rule(
        each, "no-red", scope="wheel", needs='wheel.nipple_colour != "red"', at="nipple_colour"
    ),
}


def edition(names: frozenset[str]) -> Edition:
    """The small demo with these changes, in the order of the table."""
    found = small(demo())
    for name, change in CHANGES.items():
        if name in names:
            found = change(found)
    return found


editions = st.frozensets(st.sampled_from(sorted(CHANGES)), max_size=3).map(edition)


@settings(max_examples=12)
@given(editions)
def test_an_edition_beside_itself_changes_nothing(same: Edition):
    found = impact(same, same, orders=open_orders(same))
    assert found.nothing
    assert found.configurations.old == found.configurations.new == count(same).buildable
    assert not found.configurations.wheels
    assert not found.orders


@settings(max_examples=20)
@given(editions, editions)
def test_appearing_and_disappearing_swap_with_the_editions(old: Edition, new: Edition):
    there, back = configurations(old, new), configurations(new, old)
    assert (there.appear, there.disappear) == (back.disappear, back.appear)
    assert (there.change, there.by_group) == (back.change, back.by_group)
    assert len(there.wheels) == len(back.wheels)


@settings(max_examples=20)
@given(editions, editions)
def test_the_counts_agree_with_the_count_of_both(old: Edition, new: Edition):
    found = configurations(old, new)
    assert found.old == count(old).buildable
    assert found.new == count(new).buildable
    assert found.old - found.disappear + found.appear == found.new
    assert all(each.stay >= 0 for each in found.wheels)


@settings(max_examples=10)
@given(editions)
def test_finishes_are_counted_as_the_count_counts_them(one: Edition):
    for position, builds in builds_of(one).items():
        assert finish_space(builds).ways() == ways_of_builds(one, {position: builds})


@pytest.mark.parametrize("state", ["accepted", "on-hold", "released", "shipped", *STATIONS])
def test_every_state_of_an_open_order_has_a_stage(state: str):
    assert state in STAGES or state == "planned"
    for row in TABLE.values():
        assert set(row) == set(STAGES.values())


@pytest.mark.parametrize("name", sorted(CHANGES))
def test_every_change_of_the_table_is_noticed(name: str):
    found = configurations(edition(frozenset()), edition(frozenset({name})))
    assert expected(name, found)


def expected(name: str, found: Configurations) -> bool:
    """What each change should do, by hand."""
    only_gone = found.disappear > 0 and found.appear == found.change == 0
    match name:
        case "limit":
            return found.change == found.by_group["stop"] == found.by_group["limit"] > 0
        case "seat":
            return found.by_group["length"] > 0 and found.by_group["stop"] == 0
        case "colour":
            return found.appear > 0 and found.disappear == 2 * found.appear
        case "clone":
            return found.appear > 0 and found.disappear == found.change == 0
        case _:
            return only_gone


RELEASES: dict[str, Next] = {
    "carries": lambda each: with_part(each, "hubs", "KF2", system_limit_kg=60.0),
    "classes": lambda each: with_part(each, "spokes", "SJB9", use_classes=(1,)),
    "tyres": lambda each: with_part(each, "rims", "OR33D", tyre_max_mm=36.0),
}


@pytest.mark.parametrize("group", sorted(RELEASES))
def test_a_wheel_that_is_released_for_less_has_changed(group: str):
    old = small(demo())
    new = RELEASES[group](old)
    found = configurations(old, new)
    assert found.by_group[group] > 0
    assert found.appear == 0
    assert not impact(old, new).nothing
    for each in found.wheels:
        assert (each.released is not None) == bool(each.changed)
    if group == "carries":
        told = [each for each in found.wheels if "system_kg" in each.changed]
        assert {each.build.hub for each in told} == {"KF2"}
        assert {each.released and each.released[1].system_kg for each in told} == {60.0}


def test_what_a_wheel_carries_is_what_an_order_for_it_is_refused_above():
    one = small(demo())
    for builds in builds_of(one).values():
        for build in list(builds)[::7]:
            carries_kg = released(one, build).system_kg
            assert carries_kg is not None
            assert not is_too_heavy(build, carries_kg - 0.5, one)
            assert is_too_heavy(build, carries_kg + 0.5, one)


def is_too_heavy(build: WheelBuild, system_kg: float, about: Edition) -> bool:
    """Whether an order for this wheel under so much is refused for its mass."""
    use = {"rider_kg": system_kg - 10.0, "bike_kg": 10.0, "luggage_kg": 0.0}
    order = {"kind": build.position, build.position: build.members(), "use": use}
    return "load.system-mass" in {each.code for each in check_document(order, about).findings}


def test_a_wheel_keeps_the_colours_that_both_editions_have():
    """NA12 comes black, silver and red; black stays, gold is new, silver and red go."""
    found = configurations(edition(frozenset()), edition(frozenset({"colour"})))
    for each in found.wheels:
        assert each.build.nipple == "NA12"
        assert each.stay == each.appear == each.disappear // 2


# ---- orders -------------------------------------------------------------------


def open_orders(held_to: Edition) -> tuple[OpenOrder, ...]:
    """The examples that can be taken, each in another state."""
    states = ("accepted", "released", "drilled", "building", "packed", "on-hold")
    documents: list[Document] = [
        json.loads(path.read_text(encoding="utf-8")) for path in sorted(EXAMPLES.glob("D-*.json"))
    ]
    known = [each for each in documents if check_document(each, held_to).buildable]
    return tuple(
        OpenOrder(f"O-{place}", each["source"], each["number"], states[place % 6], held_to, each)
        for place, each in enumerate(known)
    )


def said(document: Mapping[str, Any], about: Edition) -> set[tuple[str, str, str]]:
    """What a whole check says, notes apart, and every length and stop of its plans."""
    checked = check_document(document, about)
    findings = {
        (each.code, each.at, each.severity)
        for each in checked.findings
        if each.severity != "note" and not each.code.startswith("order.edition")
    }
    figures = {
        (
            position,
            "plan",
            f"{plan.spokes.left.target_mm:.6f} {plan.tension.stop_n} {plan.mass_g:.3f}",
        )
        for position, plan in checked.plans.items()
    }
    return findings | figures


@pytest.mark.parametrize("name", sorted(CHANGES))
def test_the_orders_touched_are_those_that_a_whole_check_answers_otherwise(name: str):
    old = demo()
    new = CHANGES[name](old)
    orders = open_orders(old)
    found = {each.order.id for each in touched(orders, old, new, changed_content(old, new))}
    differs = {each.id for each in orders if said(each.document, old) != said(each.document, new)}
    assert found == differs


def test_the_check_that_speaks_of_edition_numbers_is_the_only_one_left_out():
    assert {"order.edition_seen"} == OF_THE_NUMBER


def test_a_lower_limit_is_proposed_by_how_far_an_order_has_come():
    old = demo()
    (order,) = (each for each in open_orders(old) if each.number == "D-1001")
    new = CHANGES["limit"](old)
    proposals = {}
    for state in ("accepted", "released", "drilled", "building", "inspected"):
        moved = OpenOrder(order.id, order.source, order.number, state, old, order.document)
        (found,) = impact(old, new, orders=[moved]).orders
        proposals[state] = found.proposal
        assert "stop 1210 N becomes 1160 N" in found.why
    assert proposals == {
        "accepted": "re-issue",
        "released": "re-issue",
        "drilled": "re-issue",
        "building": "re-issue",
        "inspected": "hold",
    }


def test_a_hub_that_goes_cancels_what_is_not_begun_and_holds_what_is():
    old = demo()
    (order,) = (each for each in open_orders(old) if each.number == "D-1001")
    new = without_part(old, "hubs", "KF2")
    for state, proposal in (("accepted", "cancel"), ("drilled", "hold"), ("packed", "hold")):
        moved = OpenOrder(order.id, order.source, order.number, state, old, order.document)
        (found,) = impact(old, new, orders=[moved]).orders
        assert (found.proposal, found.touches[0]) == (proposal, "gone")


def test_an_ended_part_is_used_up_and_kept():
    old = demo()
    (order,) = (each for each in open_orders(old) if each.number == "D-1001")
    new = with_part(old, "nipples", "NA12", state="no-new-orders")
    (found,) = impact(old, new, orders=[order]).orders
    assert (found.proposal, found.touches) == ("keep", ("ended",))


def test_an_order_held_to_an_older_edition_is_touched_by_what_the_draft_changes_alone():
    oldest = demo()
    (order,) = (each for each in open_orders(oldest) if each.number == "D-1001")
    running = CHANGES["limit"](oldest)
    assert not impact(running, CHANGES["ended"](running), orders=[order]).orders
    lower = with_part(running, "rims", "OR33D", spoke_limit_n=1150.0)
    (found,) = impact(running, lower, orders=[order]).orders
    assert "stop 1210 N becomes 1110 N" in found.why


def test_a_new_rim_waits_for_its_drilling_programs():
    old = small(demo())
    new = with_part(old, "rims", "OR36D", like="OR33D", seat_diameter_mm=567.6)
    found = impact(old, new)
    assert found.configurations.appear == 0
    assert [each.code for each in found.dead] == ["OR36D"]
    assert {each.of.rim for each in found.drilling} == {"OR36D"}
    for need in found.drilling:
        assert need.unserved == sum(axes.serves for axes in need.missing) > 0
        assert all(axes.worst_deg <= old.house.lacing.hole_axis_deg for axes in need.missing)


def test_builds_are_the_same_where_only_rules_differ():
    old = edition(frozenset())
    new = edition(frozenset({"rule"}))
    assert isinstance(new.rules["no-red"], Rule)
    assert builds_of(old)["front"].builds is builds_of(new)["front"].builds
