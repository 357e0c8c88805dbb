"""Rim and tyre figures of the catalog and of the demo against published ones.

Sources and marks stand at each table. The demo's own figures are invented; where they depart from a
published table, a test says so.
"""

from __future__ import annotations

import pytest
from pydantic import TypeAdapter, ValidationError

from buildsheet.catalog.parts import Rim, RimSection, UseClass
from buildsheet.units import psi
from tests.catalog.demo_texts import demo_edition

EDITION = demo_edition()

BEAD_SEATS_MM = (622, 584, 571, 559, 540, 406, 349, 630, 635, 590, 597, 507)
"""In use today: the first seven read on general pages, the others from memory."""

ETRTO_2006 = {
    13: (18, 25),
    15: (23, 32),
    17: (25, 50),
    19: (28, 62),
    21: (35, 62),
    23: (37, 62),
    25: (44, 62),
    27: (47, 62),
    29: (54, 62),
}
"""Inner width -> narrowest and widest tyre, mm: ETRTO as of 2006 in a newsgroup's list (second-hand,
columns rebuilt from the count of marks; for 23 other lists begin at 40)."""

STRAIGHT_SIDE_BAR, STRAIGHT_SIDE_PSI = 5.0, 72.5
"""Highest pressure on straight-side rims: ETRTO through the trade press and a tyre maker (second-hand)."""

# Ford 2018, table of acoustic rim properties (read): R mm, mass g, EI1, GJ in N m2, mu = GJ/EI2
FORD_RIMS = {
    "deep double wall A": (305, 480, 310, 85.7, 0.405),
    "deep double wall B": (304, 459, 274, 103.6, 0.449),
    "double wall 20 in": (217, 380, 103, 26.4, 0.175),
    "double wall 700C": (304, 538, 111, 26.3, 0.120),
    "single wall 27 in": (307, 594, 131, 16.9, 0.108),
    "single wall 26 in": (271, 459, 114, 14.6, 0.114),
    "single wall 700C": (302, 551, 125, 19.2, 0.123),
}


def rim_with(**values: object) -> Rim:
    return Rim.model_validate({**EDITION.rims["OR33D"].model_dump(), **values})


@pytest.mark.parametrize("bead_seat_mm", BEAD_SEATS_MM)
def test_every_bead_seat_in_use_can_be_put_into_a_catalog(bead_seat_mm: int) -> None:
    assert rim_with(bead_seat_mm=bead_seat_mm).bead_seat_mm == bead_seat_mm


@pytest.mark.parametrize("name", FORD_RIMS)
def test_the_windows_for_a_rim_section_admit_every_rim_that_was_measured(name: str) -> None:
    radius_mm, mass_g, in_plane_nm2, torsion_nm2, mu = FORD_RIMS[name]
    section = RimSection(
        radius_mm=radius_mm,
        axial_stiffness_n=69e9 * 104e-6,  # E and area of the 700C rim in the same source
        radial_bending_nm2=in_plane_nm2,
        lateral_bending_nm2=torsion_nm2 / mu,
        torsion_nm2=torsion_nm2,
    )
    assert rim_with(section=section, mass_g=float(mass_g)).section == section


@pytest.mark.parametrize("rim", EDITION.rims.values(), ids=lambda rim: rim.code)
def test_the_widest_tyre_of_a_demo_rim_is_one_that_etrto_2006_permits(rim: Rim) -> None:
    narrowest_mm, widest_mm = ETRTO_2006[int(rim.inner_width_mm)]
    assert rim.tyre_max_mm is not None
    assert narrowest_mm <= rim.tyre_max_mm <= widest_mm
    # the same list: stay below about twice the inner width
    assert rim.tyre_max_mm <= 2.0 * rim.inner_width_mm


@pytest.mark.parametrize("rim", EDITION.rims.values(), ids=lambda rim: rim.code)
def test_the_narrowest_tyre_of_a_demo_rim_departs_from_etrto_2006_by_at_most_9_mm(rim: Rim) -> None:
    # Today's makers release narrower tyres on wider rims; 9 mm is what the invented rims do.
    assert rim.tyre_min_mm is not None
    departs_mm = ETRTO_2006[int(rim.inner_width_mm)][0] - rim.tyre_min_mm
    assert 0.0 < departs_mm <= 9.0
    assert rim.tyre_min_mm > rim.inner_width_mm


def test_straight_side_rims_are_capped_at_5_bar_which_is_72_5_psi() -> None:
    assert EDITION.house.tyre.hookless_cap_bar == STRAIGHT_SIDE_BAR
    assert psi(STRAIGHT_SIDE_BAR) == pytest.approx(STRAIGHT_SIDE_PSI, abs=0.05)
    for rim in EDITION.rims.values():
        if rim.bead == "hookless":
            assert rim.pressure_limits is not None
            assert all(row.limit_bar <= STRAIGHT_SIDE_BAR for row in rim.pressure_limits)


def test_straight_side_rims_want_5_mm_more_tyre_than_rim() -> None:
    # cycling press 2023 on the revised guidance (second-hand): 28 on 25 is out, 30 on 25 is in
    over_mm = EDITION.house.tyre.hookless_tyre_over_rim_mm
    assert 28.0 < 25.0 + over_mm <= 30.0
    for rim in EDITION.rims.values():
        if rim.bead == "hookless":
            assert rim.tyre_min_mm is not None
            assert rim.tyre_min_mm >= rim.inner_width_mm + over_mm


def test_use_classes_are_the_six_of_en_17406() -> None:
    # EN 17406:2020, preview and summaries (read): classes 1 to 6
    classes = TypeAdapter(UseClass)
    assert [classes.validate_python(each) for each in range(1, 7)] == [1, 2, 3, 4, 5, 6]
    for outside in (0, 7):
        with pytest.raises(ValidationError, match=r"(less|greater) than or equal"):
            classes.validate_python(outside)


def test_no_demo_part_is_released_for_class_6_whose_wording_was_not_read() -> None:
    released = {
        *(each for part in EDITION.rims.values() for each in part.use_classes or ()),
        *(each for part in EDITION.hubs.values() for each in part.use_classes or ()),
        *(each for part in EDITION.spokes.values() for each in part.use_classes or ()),
        *(each for part in EDITION.nipples.values() for each in part.use_classes or ()),
    }
    assert released == {1, 2, 3, 4, 5}
