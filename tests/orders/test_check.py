"""The answer as a whole: complete, stable, and in the form of the interfaces."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from buildsheet.findings import SEVERITIES
from tests.orders.speaking import SPEAKING
from tests.orders.workshop import (
    ABSENT,
    answer,
    answer_to_mapping,
    codes,
    demo,
    disc_set,
    example,
    front_only,
    gravel_set,
    put,
    straight_pull_set,
    the,
    with_part,
)


def test_the_answer_has_the_members_of_the_interfaces():
    document = answer(disc_set()).as_json()
    assert list(document) == ["buildable", "edition", "findings", "plans"]
    assert document["buildable"] is True
    assert document["edition"] == 16
    plans = document["plans"]
    assert isinstance(plans, dict)
    assert list(plans) == ["front", "rear"]
    json.dumps(document, allow_nan=False)


def test_every_finding_says_who_says_so_and_in_which_edition():
    for name in ("D-1001", "D-1005", "D-1007", "D-1009"):
        for finding in answer(example(name)).findings:
            assert finding.edition == 16
            assert finding.reason
            assert finding.source
            assert finding.says.endswith((".", "?")) or finding.code == "finish.reflector"


def test_the_hardest_findings_come_first_and_the_order_is_stable():
    first, second = answer(example("D-1005")), answer(example("D-1005"))
    assert first.findings == second.findings
    ranks = [SEVERITIES.index(each.severity) for each in first.findings]
    assert ranks == sorted(ranks)


@pytest.mark.parametrize("code", sorted(SPEAKING))
def test_no_code_is_said_twice_of_one_place(code: str):
    speaking = SPEAKING[code]
    checked = answer(speaking.order(), speaking.edition())
    said = [(each.code, each.at, each.have.get("missing")) for each in checked.findings]
    assert len(said) == len(set(map(str, said)))


def test_a_mapping_gets_the_same_answer_as_its_text():
    assert answer_to_mapping(disc_set()).findings == answer(disc_set()).findings


def test_members_in_another_order_change_nothing():
    turned = dict(reversed(list(example("D-1005").items())))
    assert answer(turned).findings == answer(example("D-1005")).findings


def test_what_is_known_is_judged_although_the_form_is_faulty():
    order = put(disc_set(), {"/front/hub": "KF1", "/use/rider_kg": "heavy", "/source": ABSENT})
    said = set(codes(answer(order), "block"))
    assert {"order.wrong-type", "order.missing-member", "fit.brake", "fit.axle"} <= said


def test_a_wheel_is_planned_although_the_other_one_cannot_be():
    checked = answer(put(disc_set(), {"/front/hub": "KF9"}))
    assert "data.unknown-part" in codes(checked, "block")
    assert list(checked.plans) == ["rear"]


def test_a_wheel_is_planned_although_its_rider_is_too_heavy():
    assert list(answer(example("D-1006")).plans) == ["front", "rear"]


def test_a_wheel_without_geometry_has_no_plan():
    assert dict(answer(example("refused/fit.spoke-head")).plans) == {}


def test_a_plan_carries_structure_and_decals():
    plan = answer(straight_pull_set()).plans["front"]
    assert plan.structure is not None
    assert {"GRAPHITE-M-L", "GRAPHITE-M-R"} <= {pick.part for pick in plan.pick}


def test_an_order_of_one_wheel_needs_only_what_that_wheel_needs():
    order = put(front_only(), {"/use/rear_axle": ABSENT, "/use/cassette": ABSENT})
    assert answer(order).buildable


@pytest.mark.parametrize("name", ["front_axle", "rear_axle", "cassette", "rotor_mount"])
def test_what_a_set_for_a_disc_bicycle_needs_is_asked_for_once(name: str):
    checked = answer(put(disc_set(), {f"/use/{name}": ABSENT}))
    finding = the(checked, "order.missing-member")
    assert (finding.severity, finding.at) == ("block", f"/use/{name}")


@pytest.mark.parametrize("name", ["front_axle", "rear_axle", "cassette", "rotor_mount"])
def test_a_faulty_member_is_not_called_missing_as_well(name: str):
    checked = answer(put(disc_set(), {f"/use/{name}": 5}))
    assert "order.missing-member" not in codes(checked)
    assert set(codes(checked, "block")) <= {"order.wrong-type", "order.not-a-choice"}


def test_a_rear_wheel_needs_its_driver_body():
    finding = the(answer(put(disc_set(), {"/rear/driver": ABSENT})), "order.missing-member")
    assert finding.at == "/rear/driver"
    assert finding.try_[0].values == ("B",)


def test_unknown_codes_are_met_with_near_ones():
    finding = the(answer(put(disc_set(), {"/front/rim": "OR33"})), "data.unknown-part")
    assert "OR33D" in finding.says


SILENT = {
    ("rims", "OR30G"): (
        "external_hole_mm tyre_bed_hole_mm spoke_limit_n max_spoke_section_mm2 use_classes "
        "system_limits pressure_limits tyre_min_mm tyre_max_mm decal_size section"
    ),
    ("hubs", "KF5"): "hole_mm spoke_limit_n use_classes system_limit_kg",
    ("spokes", "SJ18"): "spoke_limit_n flange_min_mm flange_max_mm use_classes system_limit_kg",
    ("nipples", "NB12"): "head_top_mm bed_max_mm use_classes system_limit_kg",
}


@pytest.mark.parametrize(
    ("kind", "code", "attribute"),
    [(*part, each) for part, attributes in SILENT.items() for each in attributes.split()],
)
def test_a_part_that_does_not_say_what_a_check_needs_blocks(kind: str, code: str, attribute: str):
    silent = with_part(demo(), kind, code, **{attribute: None})
    checked = answer(gravel_set(), silent)
    missing = [each for each in checked.findings if each.code == "data.fact-missing"]
    assert missing
    assert all(each.have["part"] == code and each.blocks for each in missing)
    assert not checked.buildable


def test_two_missing_facts_of_one_part_are_both_said():
    silent = with_part(demo(), "rims", "OR30G", use_classes=None, tyre_max_mm=None)
    missing = [
        each.have["missing"]
        for each in answer(gravel_set(), silent).findings
        if each.code == "data.fact-missing" and each.at == "/front/rim"
    ]
    assert len(missing) == 2


def test_an_edition_that_differs_in_one_figure_is_not_mixed_up_with_another():
    lower = replace(
        with_part(demo(), "rims", "OR33D", spoke_limit_n=1200.0), digest="sha256:another"
    )
    assert answer(disc_set()).plans["front"].tension.stop_n == 1210
    assert answer(disc_set(), lower).plans["front"].tension.stop_n == 1160
    assert answer(disc_set()).plans["front"].tension.stop_n == 1210
