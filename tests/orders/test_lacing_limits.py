"""Clearance to heads, torque of dictated patterns, and programs and end caps that may be used."""

from __future__ import annotations

import pytest

from tests.orders.workshop import (
    answer,
    codes,
    demo,
    example,
    front_only,
    put,
    straight_pull_set,
    the,
    with_house,
    with_part,
)


def test_the_clearance_wanted_grows_with_the_head_and_the_blade():
    # 28 holes, 3 crossings: 3.0 mm are there; 3.7 mm heads and 2.3 mm blades want 3.1 mm
    order = example("refused/lacing.head-clearance")
    for head_mm, wanted_mm in ((3.7, 3.1), (5.0, 3.75)):
        altered = with_part(demo(), "spokes", "SJB9", head_mm=head_mm)
        finding = the(answer(order, altered), "lacing.head-clearance")
        assert finding.severity == "approval"
        assert finding.need["clearance_mm"] == {"at_least": wanted_mm}


@pytest.mark.parametrize(("head_mm", "severity"), [(5.9, "approval"), (6.1, "block")])
def test_nobody_releases_a_spoke_that_lies_inside_its_neighbours_head(
    head_mm: float, severity: str
):
    altered = with_part(demo(), "spokes", "SJB9", head_mm=head_mm)
    finding = the(
        answer(example("refused/lacing.head-clearance"), altered), "lacing.head-clearance"
    )
    assert finding.severity == severity
    assert ("have it released" in finding.says) == (severity == "approval")


def test_the_crossings_that_a_straight_pull_hub_dictates_carry_torque_too():
    assert "lacing.torque" not in codes(answer(straight_pull_set()))
    strict = with_house(demo(), "lacing", torque_crossings=4)
    for position in ("front", "rear"):
        finding = the(answer(straight_pull_set(), strict), "lacing.torque", f"/{position}/hub")
        assert finding.severity == "block"
        assert "dictated" in finding.says


@pytest.mark.parametrize("state", ["draft", "no-new-orders", "service-only", "ended"])
def test_only_an_active_program_drills_a_rim(state: str):
    assert "lacing.drilling-program" not in codes(answer(front_only()))
    edition = demo()
    for code, program in demo().programs.items():
        if (program.rim, program.holes, program.position) == ("OR33D", 24, "front"):
            edition = with_part(edition, "programs", code, state=state)
    assert "lacing.drilling-program" in codes(answer(front_only(), edition), "block")


def test_only_active_end_caps_are_planned_and_picked():
    active = answer(front_only()).plans["front"]
    assert active.end_caps is not None
    ended = with_part(demo(), "end_caps", active.end_caps, state="ended")
    checked = answer(front_only(), ended)
    plan = checked.plans["front"]
    assert plan.end_caps is None
    assert active.end_caps not in {pick.part for pick in plan.pick}
    assert not checked.buildable


def test_each_side_is_judged_by_its_own_spokes():
    order = example("refused/lacing.head-clearance")
    mixed = put(order, {"/front/spoke": {"left": "SJB9", "right": "SJ18"}})
    big = with_part(demo(), "spokes", "SJ18", head_mm=6.1)
    finding = the(answer(mixed, big), "lacing.head-clearance")
    assert (finding.severity, finding.have["side"]) == ("block", "right")
    big = with_part(demo(), "spokes", "SJB9", head_mm=6.1)
    finding = the(answer(mixed, big), "lacing.head-clearance")
    assert (finding.severity, finding.have["side"]) == ("block", "left")
