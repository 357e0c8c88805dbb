"""Dimensions that contradict each other are caught when the catalog is read."""

from __future__ import annotations

import re

import pytest

from buildsheet.catalog.reading import read_catalog
from tests.catalog.demo_texts import (
    END_CAPS,
    HOUSE,
    HUBS,
    NIPPLES,
    RIMS,
    SPOKES,
    changed,
    demo_texts,
    faults_of,
    the_fault,
)


def unmeasured(file: str, table: str, old: str, new: str) -> dict[str, str]:
    """The demo with one change, and without the measurements that would speak against it as well."""
    texts = changed(file, table, old, new)
    lines = texts[RIMS].splitlines(keepends=True)
    texts[RIMS] = "".join(each for each in lines if not each.startswith("seat_measured_mm"))
    return texts


def test_a_seat_diameter_that_depth_and_bed_do_not_give_is_refused() -> None:
    fault = the_fault(
        unmeasured(RIMS, "OR33D", "seat_diameter_mm = 573.6", "seat_diameter_mm = 537.6")
    )
    assert fault.says == (
        "parts/rims.toml [OR33D] seat_diameter_mm: found 537.6; a 622 rim of depth 33 with a bed of 2.8 "
        "has about 573.6, within 3. An effective rim diameter typed for the nipple seat?"
    )
    assert fault.code == "data.implausible"
    assert fault.also == ("/parts/rims.toml/OR33D/depth_mm", "/parts/rims.toml/OR33D/bed_mm")
    assert fault.try_[0].values == (573.6,)


def test_an_effective_rim_diameter_in_the_place_of_the_seat_is_caught() -> None:
    # 573.6 + 2 x 1.6: what the rim measures to the slots of its shortest nipples
    fault = the_fault(
        unmeasured(RIMS, "OR33D", "seat_diameter_mm = 573.6", "seat_diameter_mm = 576.8")
    )
    assert fault.at == "/parts/rims.toml/OR33D/seat_diameter_mm"


def test_a_seat_diameter_two_millimetres_off_the_round_figures_is_taken() -> None:
    texts = unmeasured(RIMS, "OR33D", "seat_diameter_mm = 573.6", "seat_diameter_mm = 571.6")
    texts[HOUSE] = changed(HOUSE, "", "edition = 16", "edition = 0")[HOUSE]
    assert the_fault(texts).at == "/house.toml/edition"


ONE_FAULT = [
    (
        RIMS,
        "OR33D",
        "inner_width_mm = 21.0",
        "inner_width_mm = 27.0",
        "inner_width_mm",
        "implausible",
    ),
    (RIMS, "OR45A", "bed_offset_mm = 2.5", "bed_offset_mm = 7.6", "bed_offset_mm", "implausible"),
    (RIMS, "OR33D", "radius_mm = 302.0", "radius_mm = 320.0", "section/radius_mm", "implausible"),
    (RIMS, "OR58D", "hidden_hole_mm = 3.2\n", "", "hidden_hole_mm", "missing-key"),
    (RIMS, "OR33D", "external_hole_mm = 4.5\n", "", "external_hole_mm", "missing-key"),
    (RIMS, "OR38R", "track_mm = 9.0", "", "track_mm", "missing-key"),
    (RIMS, "OR33D", "decal_size", "track_mm = 9.0\ndecal_size", "track_mm", "contradiction"),
    (RIMS, "OR45A", "tubeless = true", "tubeless = false", "tubeless", "contradiction"),
    (RIMS, "OR33D", "tyre_min_mm = 28.0", "tyre_min_mm = 48.0", "tyre_min_mm", "contradiction"),
    (
        RIMS,
        "OR33D",
        "{ tyre_mm = 32.0",
        "{ tyre_mm = 28.0",
        "pressure_limits/1/tyre_mm",
        "contradiction",
    ),
    (RIMS, "OR33D", "{ holes = 28,", "{ holes = 24,", "system_limits/2/holes", "duplicate"),
    (RIMS, "OR33D", "use_classes = [1, 2]", "use_classes = [1, 1]", "use_classes/1", "duplicate"),
    (RIMS, "OR33D", "holes = [20, 24, 28]", "holes = [20, 24, 28, 21]", "holes/3", "contradiction"),
    (RIMS, "OR33D", 'decal_size = "S"', 'decal_size = "M"', "decal_size", "contradiction"),
    (
        HUBS,
        "KF2",
        "over_locknut_mm = 100.0",
        "over_locknut_mm = 68.5",
        "over_locknut_mm",
        "implausible",
    ),
    (HUBS, "KF2", "hole_mm = 2.6\n", "", "hole_mm", "missing-key"),
    (HUBS, "KF2", "crossings = [2, 3]\n", "", "crossings", "missing-key"),
    (HUBS, "KF4", "spoke_limit_n", "crossings = [2]\nspoke_limit_n", "crossings", "contradiction"),
    (HUBS, "KF4", "spoke_limit_n", "hole_mm = 2.6\nspoke_limit_n", "hole_mm", "contradiction"),
    (
        HUBS,
        "KF4",
        "line_from_axis_mm = 20.0",
        "line_from_axis_mm = 75.5",
        "left_seats",
        "implausible",
    ),
    (
        HUBS,
        "KF2",
        'rotor_mount = "splined"',
        'rotor_mount = "none"',
        "rotor_mount",
        "contradiction",
    ),
    (
        HUBS,
        "KF1",
        'rotor_mount = "none"',
        'rotor_mount = "splined"',
        "rotor_mount",
        "contradiction",
    ),
    (HUBS, "KR1", 'drivers = ["A", "B"]\n', "", "drivers", "missing-key"),
    (HUBS, "KF1", "spoke_limit_n", 'drivers = ["A"]\nspoke_limit_n', "drivers", "contradiction"),
    (HUBS, "KR1", 'drivers = ["A", "B"]', 'drivers = ["A", "A"]', "drivers/1", "duplicate"),
    (RIMS, "OR33D", "mass_g = 395.0", "mass_g = 0.395", "mass_g", "implausible"),
    (
        RIMS,
        "OR33D",
        "rear_kg = 115.0",
        "rear_kg = 11.5",
        "system_limits/2/rear_kg",
        "implausible",
    ),
    (HUBS, "KF1", "mass_g = 82.0", "mass_g = 0.082", "mass_g", "implausible"),
    (
        HUBS,
        "KF1",
        "system_limit_kg = 150.0",
        "system_limit_kg = 15.0",
        "system_limit_kg",
        "implausible",
    ),
    (
        HUBS,
        "KR2",
        "over_locknut_mm = 142.0",
        "over_locknut_mm = 124.0",
        "over_locknut_mm",
        "contradiction",
    ),
    (HUBS, "KF1", "circle_mm = 36.0", "circle_mm = 18.0", "left_flange/circle_mm", "implausible"),
    (SPOKES, "SJ18", "mass_at_264_g = 5.8", "mass_at_264_g = 2.8", "mass_at_264_g", "implausible"),
    (SPOKES, "SJB9", "blade_mm = 2.3", "blade_mm = 0.8", "blade_mm", "implausible"),
    (SPOKES, "SJ18", "section_mm2 = 2.54", "section_mm2 = 3.14", "section_mm2", "implausible"),
    (SPOKES, "SJB9", "section_mm2 = 1.70", "section_mm2 = 2.54", "section_mm2", "implausible"),
    (SPOKES, "SJ18", "shortest_mm = 248", "shortest_mm = 300", "shortest_mm", "contradiction"),
    (
        SPOKES,
        "SJ18",
        "flange_min_mm = 2.8",
        "flange_min_mm = 3.8",
        "flange_min_mm",
        "contradiction",
    ),
    (
        NIPPLES,
        "NB12",
        "head_height_mm = 1.6",
        "head_height_mm = 16.0",
        "head_height_mm",
        "implausible",
    ),
    (NIPPLES, "NB12", '"silver"]', '"black"]', "colours/1", "duplicate"),
]


@pytest.mark.parametrize(
    ("file", "table", "old", "new", "key", "slug"),
    ONE_FAULT,
    ids=[f"{row[1]} {row[4]} {row[5]}" for row in ONE_FAULT],
)
def test_a_part_that_contradicts_itself_is_refused_at_the_key(
    file: str, table: str, old: str, new: str, key: str, slug: str
) -> None:
    fault = the_fault(changed(file, table, old, new))
    assert (fault.at, fault.code) == (f"/{file}/{table}/{key}", f"data.{slug}")
    assert fault.says.startswith(f"{file} [{table}] ")


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("right_seats =", "# right_seats ="),
        ("right_seats = { line_from_axis_mm = 18.5, seat_ahead_mm = 8.5, from_centre_mm = 35.5,",
         "right_flange = { circle_mm = 42.0, from_centre_mm = 35.5,"),
        ("spoke_limit_n",
         "left_flange = { circle_mm = 42.0, from_centre_mm = 35.5 }\nspoke_limit_n"),
    ],
    ids=["one side missing", "one side of each kind", "three sides"],
)  # fmt: skip
def test_a_hub_has_exactly_one_pair_of_sides(old: str, new: str) -> None:
    fault = the_fault(changed(HUBS, "KF4", old, new))
    assert fault.code == "data.contradiction"
    assert "left_flange and right_flange, or left_seats and right_seats; found " in fault.says


def test_a_hub_without_any_side_is_refused() -> None:
    texts = changed(HUBS, "KF4", "left_seats", "# left_seats")
    texts[HUBS] = texts[HUBS].replace("right_seats = { line_from_axis_mm = 18.5", "# {")
    assert the_fault(texts).says.endswith("found neither.")


HOUSE_FAULTS = [
    ("length", "brass_window_mm = [-0.5, 1.0]", "brass_window_mm = [1.0, -0.5]", "brass_window_mm"),
    ("length", "alloy_window_mm = [-0.2, 0.9]", "alloy_window_mm = [0.9, 0.9]", "alloy_window_mm"),
    (
        "tyre",
        "tape_over_inner_mm = [2.0, 4.0]",
        "tape_over_inner_mm = [4.0, 2.0]",
        "tape_over_inner_mm",
    ),
    ("tyre", "[44, 60, 70, 90]", "[44, 60, 90, 70]", "valve_lengths_mm"),
    ("tension", "ratio_floor = 0.45", "ratio_floor = 0.55", "ratio_floor"),
    ("tension", "goal_percent = 5.0", "goal_percent = 9.0", "goal_percent"),
    ("fit", "elbow_play_min_mm = 0.25", "elbow_play_min_mm = 0.7", "elbow_play_min_mm"),
    ("fit", "nipple_play_min_mm = 0.2", "nipple_play_min_mm = 0.7", "nipple_play_min_mm"),
    ("lacing", "hole_axis_deg = 3.0", "hole_axis_deg = 11.0", "hole_axis_deg"),
    (
        "lacing",
        "head_clearance_block_mm = 2.4",
        "head_clearance_block_mm = 3.4",
        "head_clearance_block_mm",
    ),
    ("load", "spoke_floor_n = 150.0", "spoke_floor_n = 350.0", "spoke_floor_n"),
    ("load", "side_load_n = 250.0", "side_load_n = 450.0", "side_load_n"),
]


@pytest.mark.parametrize(
    ("table", "old", "new", "key"), HOUSE_FAULTS, ids=[row[3] for row in HOUSE_FAULTS]
)
def test_house_figures_that_exclude_each_other_are_refused(
    table: str, old: str, new: str, key: str
) -> None:
    fault = the_fault(changed(HOUSE, table, old, new))
    assert (fault.at, fault.code) == (f"/house.toml/{table}/{key}", "data.contradiction")


def test_a_depth_belongs_to_one_decal_size_at_most() -> None:
    faults = faults_of(
        changed(HOUSE, "finish.size_depths_mm", "M = [36.0, 46.0]", "M = [34.0, 46.0]")
    )
    assert [each.says for each in faults] == [
        "house.toml [finish] size_depths_mm, M: begins at 34, inside size S up to 34."
    ]


def unmeasured_hubs(table: str, *changes: tuple[str, str]) -> dict[str, str]:
    """The demo's hubs changed inside one table, without measurements that would speak as well."""
    texts = dict(demo_texts())
    for old, new in changes:
        start = texts[HUBS].index(f"[{table}]")
        place = texts[HUBS].index(old, start)
        texts[HUBS] = texts[HUBS][:place] + new + texts[HUBS][place + len(old) :]
    texts[HUBS] = re.sub(r", from_centre_measured_mm = \[[^\]]*\]", "", texts[HUBS])
    return texts


@pytest.mark.parametrize(
    ("hub", "left_mm", "right_mm", "key"),
    [
        ("KR2", "33.5", "18.5", "right_flange"),
        ("KF2", "22.5", "34.0", "left_flange"),
        ("KR4", "34.5", "18.0", "right_seats"),
        ("KF4", "21.5", "35.5", "left_seats"),
    ],
)
def test_swapped_sides_of_a_hub_are_caught_and_said_the_right_way_round(
    hub: str, left_mm: str, right_mm: str, key: str
):
    fault = the_fault(
        unmeasured_hubs(
            hub,
            (f"from_centre_mm = {left_mm}", "from_centre_mm = LEFT"),
            (f"from_centre_mm = {right_mm}", f"from_centre_mm = {left_mm}"),
            ("from_centre_mm = LEFT", f"from_centre_mm = {right_mm}"),
        )
    )
    assert (fault.code, fault.at) == (
        "data.implausible",
        f"/parts/hubs.toml/{hub}/{key}/from_centre_mm",
    )
    meant = f"Try left {float(left_mm):g} and right {float(right_mm):g}."
    assert fault.says.endswith(f"Left and right swapped? {meant}")
    assert fault.try_[0].values == (float(right_mm if key.startswith("right") else left_mm),)


def test_the_sides_of_a_hub_for_a_rim_brake_in_front_may_stand_either_way():
    for old, new in (("35.5", "30.5"), ("35.5", "40.5")):
        texts = unmeasured_hubs("KF1", (f"from_centre_mm = {old}", f"from_centre_mm = {new}"))
        edition, faults = read_catalog(texts)
        assert edition is not None, faults


def test_the_distance_between_flanges_typed_for_the_one_from_the_middle_is_caught():
    fault = the_fault(unmeasured_hubs("KF1", ("from_centre_mm = 35.5", "from_centre_mm = 71.0")))
    assert fault.at == "/parts/hubs.toml/KF1/left_flange/from_centre_mm"
    assert "71 lies outside the locknut, 50 from the middle" in fault.says


def test_a_radius_typed_for_a_hole_circle_offers_the_diameter():
    fault = the_fault(changed(HUBS, "KF1", "circle_mm = 36.0", "circle_mm = 18.0"))
    assert fault.try_[0].values == (36.0,)


def test_kilograms_offer_grams_and_a_slipped_point_its_place():
    fault = the_fault(changed(RIMS, "OR33D", "mass_g = 395.0", "mass_g = 0.395"))
    assert fault.says.endswith("Kilograms? Try 395.")
    fault = the_fault(changed(RIMS, "OR33D", "rear_kg = 115.0", "rear_kg = 11.5"))
    assert fault.try_[0].values == (115.0,)


def test_a_straight_pull_hub_unlike_its_like_is_caught():
    texts = dict(demo_texts())
    start = texts[HUBS].index("[KF4]")
    end = texts[HUBS].index("[KF5]")
    copy = texts[HUBS][start:end].replace("[KF4]", "[KF6]")
    texts[HUBS] += copy
    texts[END_CAPS] = texts[END_CAPS].replace('"KF3", "KF4"]', '"KF3", "KF4", "KF6"]')
    edition, faults = read_catalog(texts)
    assert edition is not None, faults
    texts[HUBS] = texts[HUBS].replace(copy, copy.replace("ahead_mm = 9.0", "ahead_mm = 38.5", 1))
    found = faults_of(texts)
    assert {each.at for each in found} == {
        "/parts/hubs.toml/KF6/left_seats",
        "/parts/hubs.toml/KF4/left_seats",
    }
    assert "its spoke would have" in found[0].says
