"""Every station: a good step of the demo wheels goes on, a missing or wrong one says what and where."""

from __future__ import annotations

import json
from dataclasses import replace
from functools import cache
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildsheet.bench.packing import packing_list
from buildsheet.bench.stations import STATIONS, STEP, Stand, still_missing
from buildsheet.bench.stations.labels import LABELS
from buildsheet.bench.stations.packing import Box, judge_box
from buildsheet.documents.form import read_members
from buildsheet.findings import Finding
from buildsheet.plan.build import build
from tests.stand.wheels import EXAMPLES, computed, demo_edition, demo_task


@cache
def stand(order: str = "D-1001", position: str = "front", rim_serial: str = "33D-0412") -> Stand:
    made = computed(order, position)
    decals = ("LAGOON-S-L", "LAGOON-S-R")
    plan = build(made.assembly, demo_edition(), decals=decals, with_structure=False)
    return Stand(
        task=demo_task(order, position),
        plan=plan,
        rim=made.assembly.rim,
        house=demo_edition().house,
        rim_serial=rim_serial,
        decals=decals,
    )


def good_steps(at: Stand) -> dict[str, dict[str, Any]]:
    left, right = at.plan.spokes.left.stock_mm, at.plan.spokes.right.stock_mm
    return {
        "rim-gate": {
            "rim_serial": "33D-0412",
            "batch": "L7",
            "mass_g": at.rim.mass_g + 4,
            "lateral_mm": 0.2,
            "radial_mm": 0.3,
            "diameter_of": "erd",
            "diameters_mm": [at.plan.erd_mm + each for each in (-0.2, 0.1, 0.3, 0.0)],
            "track_widths_mm": [25.0] * 8 if at.rim.brake == "rim" else [],
        },
        "kit": {
            "scanned": [
                {"part": each.part, "count": each.count + each.spare} for each in at.plan.pick
            ],
            "bagged_apart": True,
        },
        "drill": {
            "rim_serial": at.rim_serial,
            "program": at.plan.drilling.program,
            "first_hole_good": True,
        },
        "first-spoke": {"left_mm": left, "right_mm": right},
        "half-way": {"as_picture": True, "label_at_valve": True, "bed_as_arrow": True},
        "relief": {"round": 3, "before_n": 1140.0, "after_n": 1120.0},
        "finishing": {
            "left_decal": at.decals[0],
            "right_decal": at.decals[1],
            "at_template": True,
            "limits_readable": True,
            "photos": ["p-1", "p-2"],
        },
        "pair": {"serial": "W31-1", "other_serial": "W31-2", "same_finish": True},
        "box": {"packed": []},
        "ship": {"carrier": "van", "reference": "R-1"},
    }


def judged(at: Stand, name: str, step: dict[str, Any]) -> tuple[Finding, ...]:
    station = STATIONS[name]
    document = {"key": "k-0000001", "issue": "A", "by": "M. K.", **step}
    given_step = read_members(document, station.document, STEP)
    assert given_step.document is not None, [each.says for each in given_step.findings]
    return station.judge(at, given_step.document)


@pytest.mark.parametrize("name", STATIONS)
@pytest.mark.parametrize("wheel", [("D-1001", "front"), ("D-1009", "rear")], ids=str)
def test_a_good_step_goes_on_without_a_word(wheel: tuple[str, str], name: str):
    at = stand(*wheel)
    assert judged(at, name, good_steps(at)[name]) == ()


WRONG: list[tuple[str, dict[str, Any], str, str]] = [
    ("rim-gate", {"mass_g": None}, "bench.reading-missing", "/mass_g"),
    ("rim-gate", {"mass_g": 420.0}, "bench.rim-mass", "/mass_g"),
    ("rim-gate", {"lateral_mm": 0.35}, "bench.rim-run-out", "/lateral_mm"),
    ("rim-gate", {"radial_mm": 0.55}, "bench.rim-run-out", "/radial_mm"),
    ("rim-gate", {"diameters_mm": [577.0] * 3}, "bench.reading-missing", "/diameters_mm"),
    ("rim-gate", {"diameters_mm": [577.7] * 4}, "bench.erd-off", "/diameters_mm"),
    (
        "rim-gate",
        {"diameter_of": "seat", "diameters_mm": [572.7] * 4},
        "bench.erd-off",
        "/diameters_mm",
    ),
    ("kit", {"scanned": []}, "bench.kit", "/scanned"),
    ("kit", {"bagged_apart": None}, "bench.bags", "/bagged_apart"),
    ("drill", {"program": "P-OTHER"}, "bench.program", "/program"),
    ("drill", {"rim_serial": "33D-0413"}, "bench.other-rim", "/rim_serial"),
    ("drill", {"first_hole_good": None}, "bench.reading-missing", "/first_hole_good"),
    ("first-spoke", {"left_mm": None}, "bench.reading-missing", "/left_mm"),
    ("first-spoke", {"left_mm": 277.4}, "bench.first-spoke", "/left_mm"),
    ("half-way", {"as_picture": False}, "bench.half-way", "/as_picture"),
    ("half-way", {"label_at_valve": None}, "bench.reading-missing", "/label_at_valve"),
    ("relief", {"after_n": None}, "bench.reading-missing", "/after_n"),
    ("relief", {"after_n": 1080.0}, "bench.not-settled", "/after_n"),
    ("finishing", {"photos": ["p-1"]}, "bench.reading-missing", "/photos"),
    ("finishing", {"at_template": None}, "bench.reading-missing", "/at_template"),
    ("pair", {"same_finish": None}, "bench.reading-missing", "/same_finish"),
    ("pair", {"rim_mass_g": 400.0, "other_rim_mass_g": 421.0}, "bench.pair-mass", "/other_rim_mass_g"),
]  # fmt: skip


@pytest.mark.parametrize(("name", "change", "code", "at"), WRONG)
def test_what_is_wrong_or_missing_is_said_at_its_place(
    name: str, change: dict[str, Any], code: str, at: str
):
    said = judged(stand(), name, {**good_steps(stand())[name], **change})
    assert (code, at) in {(each.code, each.at) for each in said}


def test_swapped_bags_are_called_swapped():
    at = stand()
    left, right = at.plan.spokes.left.stock_mm, at.plan.spokes.right.stock_mm
    said = judged(at, "first-spoke", {"left_mm": right, "right_mm": left})
    assert all("the bags are swapped" in each.says for each in said)
    assert len(said) == 2


def test_a_mirrored_decal_is_called_the_other_hand():
    step = {**good_steps(stand())["finishing"], "left_decal": "LAGOON-S-R"}
    (said,) = judged(stand(), "finishing", step)
    assert said.says.endswith("It is the other side's hand.")


def test_a_rim_that_measures_nine_tenths_more_wants_spokes_longer_by_half_of_it():
    at = stand()
    step = {**good_steps(at)["rim-gate"], "diameters_mm": [at.plan.erd_mm + 0.9] * 4}
    (said,) = judged(at, "rim-gate", step)
    for side in ("left", "right"):
        grown_mm = said.need[f"{side}_mm"] - at.plan.spokes[side].target_mm  # type: ignore[operator]
        assert grown_mm == pytest.approx(0.45, abs=0.01)


def test_diameters_of_the_seat_that_were_called_erd_are_doubted_not_built_for():
    at = stand()
    for said_to_be, other, read_mm in (
        ("seat", "erd", at.plan.erd_mm),
        ("erd", "seat", at.rim.seat_diameter_mm),
    ):
        step = {**good_steps(at)["rim-gate"], "diameter_of": said_to_be}
        (said,) = judged(at, "rim-gate", {**step, "diameters_mm": [read_mm + 0.1] * 4})
        assert (said.code, said.at) == ("bench.erd-off", "/diameter_of")
        assert said.need == {"diameter_of": other}
        assert "issued again" not in said.says


def test_a_diameter_that_lies_far_from_the_others_is_measured_again():
    at = stand()
    mean_mm = at.plan.erd_mm
    step = {**good_steps(at)["rim-gate"]}
    step["diameters_mm"] = [mean_mm - 4.6, mean_mm + 4.6, mean_mm, mean_mm]
    said = judged(at, "rim-gate", step)
    assert [each.at for each in said] == ["/diameters_mm/0", "/diameters_mm/1"]
    assert {each.code for each in said} == {"bench.erd-off"}


def test_a_mass_in_kilograms_is_called_that():
    at = stand()
    step = {**good_steps(at)["rim-gate"], "mass_g": at.rim.mass_g / 1000.0}
    (said,) = judged(at, "rim-gate", step)
    assert "0.395 g" in said.says
    assert "Kilograms?" in said.says


def test_a_track_that_changes_its_width_or_was_not_measured_is_set_aside():
    at = replace(stand(), rim=demo_edition().rims["OR38R"])
    step = {**good_steps(stand())["rim-gate"], "mass_g": at.rim.mass_g}
    unmeasured = judged(at, "rim-gate", step)
    assert [each.at for each in unmeasured] == ["/track_widths_mm"]
    uneven = judged(at, "rim-gate", {**step, "track_widths_mm": [25.0] * 7 + [25.2]})
    assert [each.code for each in uneven] == ["bench.track"]


@given(st.data())
def test_taking_anything_out_of_a_good_step_is_never_fine(data: st.DataObject):
    at = stand()
    name = data.draw(st.sampled_from(["rim-gate", "kit", "first-spoke", "half-way", "finishing"]))
    good = good_steps(at)[name]
    member = data.draw(
        st.sampled_from(
            [
                each
                for each in good
                if each not in ("rim_serial", "batch", "track_widths_mm", "bed_as_arrow")
            ]
        )
    )
    less = {**good, member: [] if isinstance(good[member], list) else None}
    assert any(each.blocks for each in judged(at, name, less))


def test_the_box_holds_the_packing_list_and_nothing_else():
    document = json.loads((EXAMPLES / "D-1001.json").read_text(encoding="utf-8"))
    lines = packing_list(
        {"front": stand().plan, "rear": stand("D-1001", "rear").plan}, demo_edition(), document
    )
    labels = tuple(each.label for each in lines)
    assert labels == (
        "wheel front",
        "wheel rear",
        "2 x SJB9/277",
        "2 x SJB9/279",
        "8 x NA12/black",
        "2 x SJB9/284",
        "2 x SJB9/282",
        "tape 23 mm",
        "valve 60 mm",
        "fitted C12-100",
        "fitted C12-142",
        "first-ride card",
        "manual M7 de",
        "label DE",
        "reflector sheet DE",
    )
    box = {"key": "k-0000001", "issue": "A", "by": "x", "packed": [*labels]}
    whole = read_members(box, Box, STEP).document
    assert whole is not None
    assert judge_box(labels, whole) == ()
    less = whole.model_copy(update={"packed": (*labels[1:], "a spanner")})
    assert [each.have for each in judge_box(labels, less)] == [
        {"missing": "wheel front"},
        {"extra": "a spanner"},
    ]


def test_what_is_in_the_box_already_is_not_asked_again_and_is_taken_out_where_nobody_wants_it():
    box = {"key": "k-0000001", "issue": "A", "by": "x", "packed": ["wheel rear"]}
    step = read_members(box, Box, STEP).document
    assert step is not None
    before = {"wheel front": "W31-00001-S", "tape 23 mm": "W31-00001-S"}
    assert judge_box(("wheel front", "wheel rear", "tape 23 mm"), step, before) == ()
    (said,) = judge_box(("wheel front", "wheel rear"), step, before)
    assert (said.severity, said.have) == ("caution", {"extra": "tape 23 mm"})
    assert said.says.startswith("tape 23 mm was put in with W31-00001-S")


def test_no_line_of_the_packing_list_says_in_small_print_what_its_label_says():
    document = json.loads((EXAMPLES / "D-1001.json").read_text(encoding="utf-8"))
    plans = {"front": stand().plan, "rear": stand("D-1001", "rear").plan}
    lines = packing_list(plans, demo_edition(), document)
    for line in lines:
        assert set(line.label.split()[1:]).isdisjoint(line.what.split()), line
    assert len({line.label for line in lines}) == len(lines)


def test_a_line_of_the_packing_list_that_both_wheels_need_names_both():
    document = json.loads((EXAMPLES / "D-1001.json").read_text(encoding="utf-8"))
    front, rear = stand().plan, stand("D-1009", "rear").plan
    inner_width_mm = demo_edition().rims[front.rim].inner_width_mm
    wide = demo_edition().rims[rear.rim].model_copy(update={"inner_width_mm": inner_width_mm})
    rims = {**demo_edition().rims, rear.rim: wide}
    edition = replace(demo_edition(), rims=rims)
    lines = {
        line.label: line for line in packing_list({"front": front, "rear": rear}, edition, document)
    }
    assert lines["tape 23 mm"].what == f"for the rim {front.rim}; for the rim {rear.rim}"
    assert lines["wheel rear"].what == f"rim {rear.rim}, hub {rear.hub}"


def test_everything_of_the_day_has_a_label_of_its_own():
    assert set(STATIONS) < set(LABELS)
    assert [each for each in LABELS if each in STATIONS] == [*STATIONS]
    assert len(set(LABELS.values())) == len(LABELS)


def test_a_station_names_what_has_to_come_before_it():
    assert still_missing(STATIONS["drill"], frozenset({"kit"})) == ("rim-gate",)
    assert still_missing(STATIONS["half-way"], frozenset({"kit", "first-spoke"})) == ()


def test_an_asymmetric_rim_is_asked_which_way_its_bed_lies():
    at = stand("D-1009", "rear")
    said = judged(at, "half-way", {"as_picture": True, "label_at_valve": True})
    assert [each.at for each in said] == ["/bed_as_arrow"]
