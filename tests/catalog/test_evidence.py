"""A limit names its report, a figure its two measurements; a copy has to prove itself anew."""

from __future__ import annotations

import pytest

from buildsheet.catalog.edition import KINDS
from buildsheet.catalog.evidence import LIMITS, MEASURED, unproved
from buildsheet.catalog.parts import Part
from tests.catalog.demo_texts import HUBS, RIMS, changed, demo_edition, faults_of, the_fault

DEMO = demo_edition()
PARTS = [part for kind in KINDS for part in getattr(DEMO, kind).values()]


@pytest.mark.parametrize("part", PARTS, ids=lambda part: part.code)
def test_every_part_of_the_demo_is_proved(part: Part):
    assert unproved(part) == ()


@pytest.mark.parametrize("kind", LIMITS)
def test_every_limit_is_a_key_of_its_kind(kind: str):
    assert set(LIMITS[kind]) <= set(KINDS[kind].model_fields)
    assert LIMITS[kind]


@pytest.mark.parametrize("kind", KINDS)
def test_every_key_of_a_kind_that_sounds_like_a_limit_is_one(kind: str):
    sounding = {key for key in KINDS[kind].model_fields if "limit" in key or key == "use_classes"}
    assert sounding <= set(LIMITS.get(kind, ()))


def test_without_its_reports_a_part_is_not_publishable_and_each_limit_is_named():
    rim = DEMO.rims["OR33D"].model_copy(update={"evidence": None, "seat_measured_mm": None})
    found = unproved(rim)
    assert [(each.code, each.at) for each in found] == [
        *(("data.unproved", f"/parts/rims.toml/OR33D/evidence/{key}") for key in LIMITS["rims"]),
        ("data.unmeasured", "/parts/rims.toml/OR33D/seat_measured_mm"),
    ]
    assert all(each.blocks for each in found)
    assert found[0].says == (
        "parts/rims.toml [OR33D] evidence, spoke_limit_n: spoke_limit_n is stated without a report. "
        "Name the test report or the maker's sheet."
    )


def test_a_limit_that_is_not_stated_asks_for_no_report():
    bare = {"evidence": None, **dict.fromkeys(LIMITS["spokes"])}
    assert unproved(DEMO.spokes["SJ18"].model_copy(update=bare)) == ()


@pytest.mark.parametrize("state", ["draft", "ended"])
def test_a_part_that_nothing_is_built_with_may_wait_for_its_proof(state: str):
    rim = DEMO.rims["OR33D"].model_copy(update={"evidence": None, "state": state})
    assert unproved(rim) == ()
    active = rim.model_copy(update={"state": "active"})
    assert len(unproved(active, before=rim)) == len(LIMITS["rims"]), "released, it is asked"


def test_a_changed_limit_may_not_rest_on_the_old_report():
    before = DEMO.rims["OR33D"]
    lower = before.model_copy(update={"spoke_limit_n": 1200.0})
    (found,) = unproved(lower, before)
    assert found.at == "/parts/rims.toml/OR33D/evidence/spoke_limit_n"
    assert "still the one of the old figure" in found.says
    assert before.evidence is not None
    evidence = before.evidence.model_copy(update={"spoke_limit_n": "bed test BT-33-4, 2031"})
    assert unproved(lower.model_copy(update={"evidence": evidence}), before) == ()


def test_what_does_not_change_is_not_asked_again():
    before = DEMO.rims["OR33D"].model_copy(update={"evidence": None, "seat_measured_mm": None})
    assert unproved(before.model_copy(update={"mass_g": 396.0}), before) == ()
    moved = before.model_copy(update={"seat_diameter_mm": 573.8})
    assert [each.code for each in unproved(moved, before)] == ["data.unmeasured"]


def test_each_side_of_a_hub_is_measured():
    hub = DEMO.hubs["KF4"]
    assert hub.left_seats is not None
    bare = hub.left_seats.model_copy(update={"from_centre_measured_mm": None})
    (found,) = unproved(hub.model_copy(update={"left_seats": bare}))
    assert found.at == "/parts/hubs.toml/KF4/left_seats/from_centre_measured_mm"
    assert len(MEASURED["hubs"]) == 4


SEAT = "seat_measured_mm = [573.5, 573.6]"


@pytest.mark.parametrize(
    ("measured", "at", "code"),
    [
        ("[573.0, 573.6]", "seat_measured_mm", "data.contradiction"),
        ("[573.1, 573.5]", None, None),
        ("[574.2, 574.3]", "seat_diameter_mm", "data.implausible"),
        ("[573.5]", "seat_measured_mm", "data.wrong-count"),
        ("[57.35, 573.5]", "seat_measured_mm/0", "data.out-of-range"),
    ],
)
def test_measurements_agree_with_each_other_and_with_the_figure(
    measured: str, at: str | None, code: str | None
):
    texts = changed(RIMS, "OR33D", SEAT, f"seat_measured_mm = {measured}")
    if at is None:
        texts["house.toml"] = texts["house.toml"].replace("edition = 16", "edition = 0")
        assert the_fault(texts).at == "/house.toml/edition"
        return
    fault = the_fault(texts)
    assert (fault.at, fault.code) == (f"/parts/rims.toml/OR33D/{at}", code)


def test_a_figure_that_its_measurements_deny_offers_their_mean():
    fault = the_fault(changed(RIMS, "OR33D", SEAT, "seat_measured_mm = [574.2, 574.4]"))
    assert fault.try_[0].values == (574.3,)
    assert "but measured was 574.2 and 574.4" in fault.says


def test_a_flange_that_its_measurements_deny_is_caught_at_the_figure():
    old = "from_centre_mm = 22.5, thickness_mm = 3.2"
    fault = the_fault(changed(HUBS, "KF2", old, "from_centre_mm = 23.6, thickness_mm = 3.2"))
    assert fault.at == "/parts/hubs.toml/KF2/left_flange/from_centre_mm"


def test_evidence_for_what_is_no_limit_is_refused_with_the_nearest():
    texts = changed(RIMS, "OR33D", "evidence = { spoke_limit_n", "evidence = { spoke_limt_n")
    assert the_fault(texts).says.endswith("no such key. Try spoke_limit_n.")


def test_evidence_for_a_limit_that_is_not_stated_contradicts_the_part():
    fault = the_fault(changed(RIMS, "OR33D", "max_spoke_section_mm2 = 3.2\n", ""))
    assert (fault.code, fault.at) == (
        "data.contradiction",
        "/parts/rims.toml/OR33D/evidence/max_spoke_section_mm2",
    )


def test_evidence_that_names_nothing_is_refused():
    texts = changed(RIMS, "OR33D", "evidence = { spoke_limit_n", "evidence = {}\n# { spoke_limit_n")
    assert [each.code for each in faults_of(texts)] == ["data.wrong-count"]
