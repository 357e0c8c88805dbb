"""The demo workshop's eight wheels.

Invented data: the workshop, its parts and the figures below are a made-up example, computed
beforehand by hand formulas that are independent of this program. They check the whole way from
catalog to plan, not nature.
"""

from __future__ import annotations

from dataclasses import dataclass

import pytest

from buildsheet.catalog.edition import Edition
from buildsheet.plan.assembly import Assembly
from buildsheet.plan.build import build
from buildsheet.plan.document import plan_document
from buildsheet.plan.plan import Plan
from buildsheet.wheel.spec import Sides


@dataclass(frozen=True)
class Vector:
    position: str
    rim: str
    hub: str
    holes: int
    crossings: int | None
    spoke: str
    nipple: str
    erd_mm: float
    from_centre_mm: tuple[float, float]
    exact_mm: tuple[float, float]
    stretch_mm: tuple[float, float]
    stock_mm: tuple[int, int]
    tension_n: tuple[float, float]
    ratio: float
    mass_g: float
    head_clearance_mm: float | None


VECTORS = {
    "shallow disc front": Vector(
        "front", "OR33D", "KF2", 24, 2, "SJB9", "NA12", 576.8, (22.5, 34.0), (277.44, 279.26),
        (0.96, 0.65), (277, 279), (1150, 766), 0.67, 638, 7.2,
    ),
    "straight-pull disc front": Vector(
        "front", "OR45D", "KF4", 24, None, "SSB9", "NA12", 552.8, (21.5, 35.5), (267.54, 269.63),
        (0.93, 0.57), (267, 269), (1150, 702), 0.61, 676, None,
    ),
    "asymmetric disc front": Vector(
        "front", "OR45A", "KF2", 24, 2, "SJB9", "NA12", 553.2, (25.0, 31.5), (265.94, 267.27),
        (0.92, 0.74), (265, 267), (1150, 917), 0.80, 689, 7.1,
    ),
    "deep straight-pull rear": Vector(
        "rear", "OR58D", "KR4", 24, None, "SSB9", "NA14", 527.6, (34.5, 18.0), (255.68, 253.35),
        (0.49, 0.91), (255, 253), (630, 1196), 0.53, 852, None,
    ),
    "radial rim-brake front": Vector(
        "front", "OR38R", "KF1", 20, 0, "SJB9", "NA12", 566.8, (35.5, 35.5), (266.51, 266.51),
        (0.89, 0.89), (266, 266), (1104, 1104), 1.00, 634, None,
    ),
    "gravel front": Vector(
        "front", "OR30G", "KF3", 28, 3, "SJ18", "NB12", 582.4, (25.0, 31.5), (285.94, 287.46),
        (0.64, 0.51), (285, 287), (1104, 881), 0.80, 765, 3.6,
    ),
    "gravel rear": Vector(
        "rear", "OR30G", "KR3", 32, 3, "SJ18", "NB12", 582.4, (30.0, 21.0), (281.68, 281.75),
        (0.44, 0.63), (281, 281), (773, 1104), 0.70, 921, 4.9,
    ),
    "rim-brake rear": Vector(
        "rear", "OR38R", "KR1", 28, 3, "SJ18", "NB12", 566.8, (37.0, 17.5), (280.67, 278.07),
        (0.30, 0.62), (281, 278), (527, 1104), 0.48, 892, 3.4,
    ),
}  # fmt: skip


def plan_of(vector: Vector, edition: Edition) -> Plan:
    spoke = edition.spokes[vector.spoke]
    crossings = None if vector.crossings is None else Sides(vector.crossings, vector.crossings)
    return build(
        Assembly(
            position="front" if vector.position == "front" else "rear",
            rim=edition.rims[vector.rim],
            holes=vector.holes,
            hub=edition.hubs[vector.hub],
            spokes=Sides(spoke, spoke),
            crossings=crossings,
            nipple=edition.nipples[vector.nipple],
            nipple_colour="black",
        ),
        edition,
    )


@pytest.fixture(params=list(VECTORS), ids=lambda name: name.replace(" ", "-"))
def case(request: pytest.FixtureRequest, demo_edition: Edition) -> tuple[Vector, Plan]:
    vector = VECTORS[request.param]
    return vector, plan_of(vector, demo_edition)


def test_lengths_agree_within_two_hundredths(case: tuple[Vector, Plan]) -> None:
    vector, plan = case
    assert plan.erd_mm == pytest.approx(vector.erd_mm, abs=0.001)
    exact = (plan.spokes.left.exact_mm, plan.spokes.right.exact_mm)
    assert exact == pytest.approx(vector.exact_mm, abs=0.02)
    offsets = (plan.spokes.left.from_centre_mm, plan.spokes.right.from_centre_mm)
    assert offsets == pytest.approx(vector.from_centre_mm, abs=0.001)


def test_stretch_is_taken_off_and_the_stock_lengths_are_the_listed_pair(
    case: tuple[Vector, Plan],
) -> None:
    vector, plan = case
    stretch = (plan.spokes.left.stretch_mm, plan.spokes.right.stretch_mm)
    # printed to two decimals, from a spoke's length rounded likewise
    assert stretch == pytest.approx(vector.stretch_mm, abs=0.011)
    assert (plan.spokes.left.stock_mm, plan.spokes.right.stock_mm) == vector.stock_mm


def test_tensions_agree_within_two_newtons_and_the_ratio_to_its_printed_digits(
    case: tuple[Vector, Plan],
) -> None:
    vector, plan = case
    assert (plan.tension.left_n, plan.tension.right_n) == pytest.approx(vector.tension_n, abs=2.0)
    assert plan.tension.ratio == pytest.approx(vector.ratio, abs=0.0051)


def test_the_wheel_weighs_what_was_listed_within_two_percent(case: tuple[Vector, Plan]) -> None:
    vector, plan = case
    assert plan.mass_g == pytest.approx(vector.mass_g, rel=0.02)


def test_the_clearance_to_the_next_head_agrees_to_a_tenth(case: tuple[Vector, Plan]) -> None:
    vector, plan = case
    clearances = [plan.spokes.left.head_clearance_mm, plan.spokes.right.head_clearance_mm]
    if vector.head_clearance_mm is None:
        assert clearances == [None, None]
    else:
        smallest = min(each for each in clearances if each is not None)
        assert smallest == pytest.approx(vector.head_clearance_mm, abs=0.06)


def test_the_valve_lies_in_an_opening_gap_and_every_hole_is_laced_once(
    case: tuple[Vector, Plan],
) -> None:
    vector, plan = case
    assert [each.hole for each in plan.lacing] == list(range(1, vector.holes + 1))
    assert plan.valve_gap == ("parallel" if vector.crossings == 0 else "opening")


def test_a_program_drills_every_hole_within_three_degrees_of_its_spoke(
    case: tuple[Vector, Plan],
) -> None:
    _, plan = case
    assert plan.drilling.program is not None
    assert plan.drilling.largest_misalignment_deg is not None
    assert plan.drilling.largest_misalignment_deg <= 3.0


def test_the_stop_value_is_the_limit_less_the_gauge_error_rounded_down(
    demo_edition: Edition,
) -> None:
    plan = plan_of(VECTORS["shallow disc front"], demo_edition)
    assert plan.tension.stop_n == 1210.0
    assert plan.tension.set_by == "rim OR33D: 1250 N x 0.92"


def test_an_asymmetric_rim_is_turned_away_from_the_steep_side(demo_edition: Edition) -> None:
    front = plan_of(VECTORS["asymmetric disc front"], demo_edition)
    rear = plan_of(VECTORS["gravel rear"], demo_edition)
    assert front.orientation == "spoke bed toward the RIGHT (plain side)"
    assert rear.orientation == "spoke bed toward the LEFT (disc side)"
    assert plan_of(VECTORS["gravel front"], demo_edition).bed_offset_mm == 3.0


def test_the_same_wheel_has_the_same_fingerprint_and_another_wheel_another(
    demo_edition: Edition,
) -> None:
    plans = [plan_of(vector, demo_edition) for vector in VECTORS.values()]
    again = [plan_of(vector, demo_edition) for vector in VECTORS.values()]
    assert [plan.fingerprint for plan in plans] == [plan.fingerprint for plan in again]
    assert len({plan.fingerprint for plan in plans}) == len(VECTORS)


def test_the_pick_list_counts_every_spoke_and_nipple(case: tuple[Vector, Plan]) -> None:
    vector, plan = case
    spokes = [each for each in plan.pick if each.part.startswith(vector.spoke)]
    assert sum(each.count for each in spokes) == vector.holes
    assert all(each.spare == 2 for each in spokes)
    (nipples,) = [each for each in plan.pick if each.part.startswith(vector.nipple)]
    assert nipples.count == vector.holes


def test_the_pitch_says_what_it_assumes_and_that_it_only_compares(demo_edition: Edition) -> None:
    plan = plan_of(VECTORS["shallow disc front"], demo_edition)
    pitch = plan_document(plan)["pitch"]
    assert isinstance(pitch, dict)
    assert pitch["use"] == "relative cross-check within one side only"
    assert "ideal string" in str(pitch["assumes"])
    # stiff and clamped rings above the ideal string, by less than a fifth for thin spokes
    assert plan.pitch.left.ideal_hz < plan.pitch.left.clamped_hz < 1.2 * plan.pitch.left.ideal_hz
    assert pitch["left_hz"] == plan.pitch.left.ideal_hz
