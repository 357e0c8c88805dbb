"""The demo workshop's wheels. Invented data: parts and figures of a workshop that does not exist.

The figures are an own calculation printed with rounded digits. Tolerances are the agreed ones: exact
lengths 0.02 mm, stretch and ratio 0.01, tensions 2 N, clearance 0.1 mm. The workshop prints the smaller
clearance of both sides.
"""

from __future__ import annotations

from dataclasses import dataclass

import pytest

from buildsheet.wheel.mechanics import solve
from buildsheet.wheel.spec import (
    FlangeSide,
    HubSpec,
    Mechanics,
    RimSpec,
    Sides,
    SpokeSection,
    SpokeSideSpec,
    StraightPullSide,
    WheelSpec,
)

MODULUS_GPA = 195.0
BLADE_MM2 = 1.70
ROUND_MM2 = 2.54

KF1 = HubSpec(FlangeSide(36.0, 35.5, 2.5), FlangeSide(36.0, 35.5, 2.5))
KF2 = HubSpec(FlangeSide(45.0, 22.5, 2.6), FlangeSide(42.0, 34.0, 2.6))
KF3 = HubSpec(FlangeSide(58.0, 22.0, 2.6), FlangeSide(45.0, 34.5, 2.6))
KF4 = HubSpec(StraightPullSide(20.0, 9.0, 21.5), StraightPullSide(18.5, 8.5, 35.5))
KR1 = HubSpec(FlangeSide(42.0, 37.0, 2.5), FlangeSide(52.0, 17.5, 2.5))
KR2 = HubSpec(FlangeSide(48.0, 33.5, 2.6), FlangeSide(52.0, 18.5, 2.6))
KR3 = HubSpec(FlangeSide(58.0, 33.0, 2.6), FlangeSide(52.0, 18.0, 2.6))
KR4 = HubSpec(StraightPullSide(22.5, 9.5, 34.5), StraightPullSide(24.0, 10.0, 18.0))


@dataclass(frozen=True)
class Vector:
    """One printed row; pairs are left, right. A disc front has its bed toward the right, a rear left."""

    name: str
    hub: HubSpec
    holes: int
    crossings: int | None
    area_mm2: float
    erd_mm: float
    bed_offset_mm: float
    tight_n: float
    from_centre_mm: tuple[float, float]
    exact_mm: tuple[float, float]
    stretch_mm: tuple[float, float]
    target_mm: tuple[float, float]
    tension_n: tuple[float, float]
    ratio: float
    clearance_mm: float | None


VECTORS = (
    Vector("V01", KF2, 24, 2, BLADE_MM2, 576.8, 0.0, 0.92 * 1250, (22.5, 34.0), (277.44, 279.26),
           (0.96, 0.65), (276.48, 278.62), (1150, 766), 0.67, 7.2),
    Vector("V03", KF4, 24, None, BLADE_MM2, 552.8, 0.0, 0.92 * 1250, (21.5, 35.5), (267.54, 269.63),
           (0.93, 0.57), (266.61, 269.06), (1150, 702), 0.61, None),
    Vector("V05", KF2, 24, 2, BLADE_MM2, 553.2, 2.5, 0.92 * 1250, (25.0, 31.5), (265.94, 267.27),
           (0.92, 0.74), (265.01, 266.53), (1150, 917), 0.80, 7.1),
    Vector("V08", KR4, 24, None, BLADE_MM2, 527.6, 0.0, 0.92 * 1300, (34.5, 18.0), (255.68, 253.35),
           (0.49, 0.91), (255.19, 252.43), (630, 1196), 0.53, None),
    Vector("V09", KF1, 20, 0, BLADE_MM2, 566.8, 0.0, 0.92 * 1200, (35.5, 35.5), (266.51, 266.51),
           (0.89, 0.89), (265.63, 265.63), (1104, 1104), 1.00, None),
    Vector("V11", KF3, 28, 3, ROUND_MM2, 582.4, 3.0, 0.92 * 1200, (25.0, 31.5), (285.94, 287.46),
           (0.64, 0.51), (285.30, 286.95), (1104, 881), 0.80, 3.6),
    Vector("V12", KR3, 32, 3, ROUND_MM2, 582.4, -3.0, 0.92 * 1200, (30.0, 21.0), (281.68, 281.75),
           (0.44, 0.63), (281.24, 281.13), (773, 1104), 0.70, 4.9),
    Vector("V14", KR1, 28, 3, ROUND_MM2, 566.8, 0.0, 0.92 * 1200, (37.0, 17.5), (280.67, 278.07),
           (0.30, 0.62), (280.37, 277.45), (527, 1104), 0.48, 3.4),
)  # fmt: skip


def solved(vector: Vector) -> Mechanics:
    spokes = SpokeSideSpec(
        vector.holes // 2, vector.crossings, (SpokeSection(vector.area_mm2),), MODULUS_GPA
    )
    rim = RimSpec(vector.holes, vector.erd_mm, vector.bed_offset_mm)
    return solve(WheelSpec(rim, vector.hub, Sides(spokes, spokes), vector.tight_n))


every_vector = pytest.mark.parametrize("vector", VECTORS, ids=lambda vector: vector.name)


@every_vector
def test_exact_lengths(vector: Vector) -> None:
    sides = solved(vector).sides
    assert (sides.left.exact_mm, sides.right.exact_mm) == pytest.approx(vector.exact_mm, abs=0.02)
    assert (sides.left.from_centre_mm, sides.right.from_centre_mm) == vector.from_centre_mm


@every_vector
def test_stretch_and_length_to_make(vector: Vector) -> None:
    sides = solved(vector).sides
    stretch = (sides.left.stretch_mm, sides.right.stretch_mm)
    target = (sides.left.target_mm, sides.right.target_mm)
    assert stretch == pytest.approx(vector.stretch_mm, abs=0.01)
    assert target == pytest.approx(vector.target_mm, abs=0.02)


@every_vector
def test_tension_of_both_sides(vector: Vector) -> None:
    answer = solved(vector)
    tension = (answer.sides.left.tension_n, answer.sides.right.tension_n)
    assert tension == pytest.approx(vector.tension_n, abs=2.0)
    assert answer.ratio == pytest.approx(vector.ratio, abs=0.01)
    assert answer.sides[answer.tight_side].tension_n == pytest.approx(vector.tight_n)


@every_vector
def test_clearance_to_the_next_head(vector: Vector) -> None:
    sides = solved(vector).sides
    clear = [each.head_clearance_mm for each in (sides.left, sides.right)]
    if vector.clearance_mm is None:
        assert clear == [None, None]
        return
    assert min(mm for mm in clear if mm is not None) == pytest.approx(vector.clearance_mm, abs=0.1)


def test_an_asymmetric_rear_rim_mounted_the_wrong_way_round() -> None:
    # rim OR45A on hub KR2, 24 holes, twice crossed: the bed toward the gear side instead of away
    # from it gives 266.5 and 263.7 mm and a slack side at 0.45
    wrong = Vector("V06 flipped", KR2, 24, 2, BLADE_MM2, 553.2, 2.5, 1150.0, (36.0, 16.0),
                   (266.5, 263.7), (0.0, 0.0), (0.0, 0.0), (0.0, 0.0), 0.45, None)  # fmt: skip
    answer = solved(wrong)
    lengths = (answer.sides.left.exact_mm, answer.sides.right.exact_mm)
    assert lengths == pytest.approx(wrong.exact_mm, abs=0.05)
    assert answer.ratio == pytest.approx(wrong.ratio, abs=0.005)
    assert answer.tight_side == "right"


def test_the_same_rim_the_right_way_round_evens_the_sides() -> None:
    right_way = Vector("V06", KR2, 24, 2, BLADE_MM2, 553.2, -2.5, 1150.0, (31.0, 21.0),
                       (0.0, 0.0), (0.0, 0.0), (0.0, 0.0), (0.0, 0.0), 0.0, None)  # fmt: skip
    assert solved(right_way).ratio > 0.65
