"""Spoke end points as arrays."""

from __future__ import annotations

from math import pi

import numpy as np
import pytest

from buildsheet.wheel.lacing import lace
from buildsheet.wheel.mechanics import solve
from buildsheet.wheel.spec import (
    FlangeSide,
    HubSpec,
    RimSpec,
    Sides,
    SpokeSection,
    SpokeSideSpec,
    WheelSpec,
)
from buildsheet.wheel.vectors import SpokeVectors, spoke_vectors

SPOKES = SpokeSideSpec(14, 3, (SpokeSection(2.0),), 195.0)
WHEEL = WheelSpec(
    RimSpec(28, 580.0, bed_offset_mm=2.0),
    HubSpec(FlangeSide(45.0, 35.0, 2.6), FlangeSide(52.0, 18.0, 2.6)),
    Sides(SPOKES, SPOKES),
    1000.0,
)


@pytest.fixture(scope="module")
def vectors() -> SpokeVectors:
    return spoke_vectors(WHEEL, lace(WHEEL))


def test_rim_points_lie_on_the_offset_bed_at_half_the_effective_diameter(
    vectors: SpokeVectors,
) -> None:
    assert vectors.rim_mm[:, 0] == pytest.approx(2.0)
    assert np.hypot(vectors.rim_mm[:, 1], vectors.rim_mm[:, 2]) == pytest.approx(290.0)


def test_the_first_hole_stands_half_a_pitch_forward_of_the_valve_at_the_top(
    vectors: SpokeVectors,
) -> None:
    half = pi / 28.0
    assert vectors.rim_mm[0] == pytest.approx([2.0, 290.0 * np.cos(half), 290.0 * np.sin(half)])


def test_hub_points_lie_on_their_own_flange(vectors: SpokeVectors) -> None:
    right = vectors.right
    assert right.tolist() == [True, False] * 14
    assert vectors.hub_mm[right, 0] == pytest.approx(18.0)
    assert vectors.hub_mm[~right, 0] == pytest.approx(-35.0)
    radius = np.hypot(vectors.hub_mm[:, 1], vectors.hub_mm[:, 2])
    assert radius[right] == pytest.approx(26.0)
    assert radius[~right] == pytest.approx(22.5)


def test_lengths_are_half_a_hole_longer_than_the_spokes(vectors: SpokeVectors) -> None:
    sides = solve(WHEEL).sides
    assert vectors.length_mm[vectors.right] == pytest.approx(sides.right.exact_mm + 1.3)
    assert vectors.length_mm[~vectors.right] == pytest.approx(sides.left.exact_mm + 1.3)


def test_units_point_from_rim_to_hub(vectors: SpokeVectors) -> None:
    ends = vectors.rim_mm + vectors.unit * vectors.length_mm[:, None]
    assert ends == pytest.approx(vectors.hub_mm)
    assert (vectors.unit**2).sum(axis=1) == pytest.approx(1.0)


def test_local_components_turn_with_the_hole(vectors: SpokeVectors) -> None:
    # all trailing spokes of one side are one spoke, turned
    assert vectors.local[0] == pytest.approx(vectors.local[4])
    assert vectors.local[0, 0] > 0.0 > vectors.local[1, 0]
    assert vectors.local[0, 2] > 0.0 > vectors.local[2, 2]
    assert (vectors.local[:, 1] > 0.9).all()


def test_the_arrays_cannot_be_written_to(vectors: SpokeVectors) -> None:
    with pytest.raises(ValueError, match="read-only"):
        vectors.unit[0, 0] = 1.0
