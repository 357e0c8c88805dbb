"""The demo workshop's parts have the dimensions that were laid down for them.

Invented data: makers, parts and figures are a made-up example. The tables are typed a second time
here, column by column, so that a slip in a catalog file does not pass unseen.
"""

from __future__ import annotations

import pytest

from buildsheet.catalog.parts import Hub, JBendFlange, Rim, StraightPullSeats
from tests.catalog.demo_texts import demo_edition

EDITION = demo_edition()

# code, brake, bead, depth, inner, outer, seat, bed, offset, holes, limit N, mass g, +- g, highest class
RIMS = (
    ("OR33D", "disc", "hooked", 33, 21, 27.0, 573.6, 2.8, 0.0, (20, 24, 28), 1250, 395, 15, 2),
    ("OR45D", "disc", "hooked", 45, 23, 29.5, 549.6, 2.8, 0.0, (20, 24, 28), 1250, 445, 15, 2),
    ("OR45A", "disc", "hookless", 45, 23, 30.0, 550.0, 3.0, 2.5, (24, 28), 1250, 450, 15, 2),
    ("OR58D", "disc", "hooked", 58, 21, 28.0, 524.4, 3.2, 0.0, (20, 24), 1300, 505, 20, 1),
    ("OR38R", "rim", "hooked", 38, 19, 25.0, 563.6, 2.8, 0.0, (20, 24, 28), 1200, 460, 15, 1),
    ("OR30G", "disc", "hookless", 30, 25, 31.0, 579.2, 2.6, 3.0, (24, 28, 32), 1200, 415, 15, 3),
)

# rim -> holes -> (rear, front) kg
SYSTEM_KG = {
    "OR33D": {20: (None, 90), 24: (100, 105), 28: (115, 120)},
    "OR45D": {20: (None, 95), 24: (105, 110), 28: (120, 120)},
    "OR45A": {24: (110, 115), 28: (125, 125)},
    "OR58D": {20: (None, 95), 24: (110, 110)},
    "OR38R": {20: (None, 90), 24: (100, 105), 28: (110, 115)},
    "OR30G": {24: (105, 110), 28: (120, 125), 32: (135, 135)},
}

# rim -> tyre mm -> bar; the first tyre is the narrowest allowed
PRESSURE_BAR = {
    "OR33D": {28: 6.0, 32: 5.0, 40: 3.8},
    "OR45D": {28: 5.8, 32: 5.0},
    "OR45A": {28: 5.0, 30: 4.8, 35: 4.2},
    "OR58D": {28: 6.0, 32: 5.0},
    "OR38R": {25: 7.0, 28: 6.2},
    "OR30G": {35: 4.0, 40: 3.5, 45: 3.0, 50: 2.5},
}

# code, position, brake, rotor, axles, over locknuts, hole, holes, radial, mass g, drivers
HUBS = (
    ("KF1", "front", "rim", "none", ("9x100",), 100, 2.5, (20, 24, 28), (20, 24), 82, ""),
    ("KF2", "front", "disc", "splined", ("12x100",), 100, 2.6, (24, 28), (), 128, ""),
    ("KF3", "front", "disc", "six-bolt", ("12x100", "15x100"), 100, 2.6, (28, 32), (), 146, ""),
    ("KF4", "front", "disc", "splined", ("12x100",), 100, None, (20, 24), (), 118, ""),
    ("KF5", "front", "disc", "six-bolt", ("15x110",), 110, 2.6, (28, 32), (), 158, ""),
    ("KR1", "rear", "rim", "none", ("10x130",), 130, 2.5, (24, 28), (), 232, "AB"),
    ("KR2", "rear", "disc", "splined", ("12x142",), 142, 2.6, (24, 28), (), 252, "ABC"),
    ("KR3", "rear", "disc", "six-bolt", ("12x142",), 142, 2.6, (28, 32), (), 276, "ABC"),
    ("KR4", "rear", "disc", "splined", ("12x142",), 142, None, (24,), (), 238, "ABC"),
    ("KR5", "rear", "disc", "six-bolt", ("12x148",), 148, 2.6, (28, 32), (), 288, "BC"),
)

# code -> left (circle) or (line, seat), right, left and right from the middle
HUB_SIDES: dict[str, tuple[tuple[float, ...], tuple[float, ...], float, float]] = {
    "KF1": ((36,), (36,), 35.5, 35.5),
    "KF2": ((45,), (42,), 22.5, 34.0),
    "KF3": ((58,), (45,), 22.0, 34.5),
    "KF4": ((20.0, 9.0), (18.5, 8.5), 21.5, 35.5),
    "KF5": ((58,), (52,), 27.0, 38.5),
    "KR1": ((42,), (52,), 37.0, 17.5),
    "KR2": ((48,), (52,), 33.5, 18.5),
    "KR3": ((58,), (52,), 33.0, 18.0),
    "KR4": ((22.5, 9.5), (24.0, 10.0), 34.5, 18.0),
    "KR5": ((58,), (54,), 35.5, 21.5),
}

# code, head, blade mm, thickness mm, section mm2, g at 264
SPOKES = (
    ("SJ18", "j-bend", 0.0, 1.8, 2.54, 5.8),
    ("SJ15", "j-bend", 0.0, 1.5, 1.77, 4.3),
    ("SJB9", "j-bend", 2.3, 0.9, 1.70, 4.2),
    ("SSB9", "straight-pull", 2.3, 0.9, 1.70, 4.3),
    ("SJB12", "j-bend", 3.2, 1.2, 3.05, 6.8),
)

# code, material, kind, length, body, head height, mass g
NIPPLES = (
    ("NB12", "brass", "external", 12, 4.0, 1.6, 0.98),
    ("NA12", "alloy", "external", 12, 4.0, 1.6, 0.34),
    ("NA14", "alloy", "external", 14, 4.0, 1.6, 0.41),
    ("NH16", "alloy", "hidden", 16, 3.0, 8.0, 0.62),
)

COLOURS = (
    *("FROST", "SIGNAL-WHITE", "GRAPHITE", "EMBER", "LAGOON", "MOSS"),
    *("PLUM", "LEMON", "BRICK", "COPPER-ROSE", "SAND", "NIGHT"),
)


def rim_row(rim: Rim) -> tuple[object, ...]:
    return (
        *(rim.code, rim.brake, rim.bead, rim.depth_mm, rim.inner_width_mm, rim.outer_width_mm),
        *(rim.seat_diameter_mm, rim.bed_mm, rim.bed_offset_mm, rim.holes, rim.spoke_limit_n),
        *(rim.mass_g, rim.mass_tolerance_g, max(rim.use_classes or (0,))),
    )


def hub_row(hub: Hub) -> tuple[object, ...]:
    return (
        *(hub.code, hub.position, hub.brake, hub.rotor_mount, hub.axles, hub.over_locknut_mm),
        *(hub.hole_mm, hub.holes, hub.radial_holes, hub.mass_g, "".join(hub.drivers)),
    )


def side_row(side: JBendFlange | StraightPullSeats | None) -> tuple[float, ...]:
    assert side is not None
    if isinstance(side, JBendFlange):
        return (side.circle_mm,)
    return side.line_from_axis_mm, side.seat_ahead_mm


def test_the_catalog_is_edition_16_of_the_demo_workshop() -> None:
    assert (EDITION.number, EDITION.house.workshop) == (16, "Oddmoor Wheelworks")


@pytest.mark.parametrize("row", RIMS, ids=lambda row: str(row[0]))
def test_a_rim_has_its_dimensions(row: tuple[object, ...]) -> None:
    assert rim_row(EDITION.rims[str(row[0])]) == row


def test_no_rim_is_left_out_or_added() -> None:
    assert set(EDITION.rims) == {row[0] for row in RIMS}


def test_every_rim_is_a_622_ball_seat_rim_with_8_mm_tyre_bed_and_6_5_mm_valve_holes() -> None:
    for rim in EDITION.rims.values():
        assert (rim.bead_seat_mm, rim.seat_shape, rim.tubeless) == (622, "ball", True)
        assert (rim.tyre_bed_hole_mm, rim.valve_hole_mm) == (8.0, 6.5)
        assert rim.use_classes == tuple(range(1, max(rim.use_classes or (0,)) + 1))


@pytest.mark.parametrize("code", SYSTEM_KG)
def test_a_rim_has_its_mass_limits_by_holes_and_position(code: str) -> None:
    rows = EDITION.rims[code].system_limits
    assert rows is not None
    assert {row.holes: (row.rear_kg, row.front_kg) for row in rows} == SYSTEM_KG[code]


@pytest.mark.parametrize("code", PRESSURE_BAR)
def test_a_rim_has_its_pressures_by_tyre_and_its_narrowest_tyre(code: str) -> None:
    rim = EDITION.rims[code]
    assert rim.pressure_limits is not None
    found = {row.tyre_mm: row.limit_bar for row in rim.pressure_limits}
    assert found == PRESSURE_BAR[code]
    assert rim.tyre_min_mm == min(found)


def test_only_the_rim_brake_rim_has_a_track_and_only_the_deepest_is_drilled_for_hidden_nipples() -> (
    None
):
    assert {code: rim.track_mm for code, rim in EDITION.rims.items() if rim.track_mm} == {
        "OR38R": 9.0
    }
    hidden = {code: rim.hidden_hole_mm for code, rim in EDITION.rims.items() if rim.hidden_hole_mm}
    assert hidden == {"OR58D": 3.2}


@pytest.mark.parametrize("row", HUBS, ids=lambda row: str(row[0]))
def test_a_hub_has_its_interfaces_and_its_sides(row: tuple[object, ...]) -> None:
    hub = EDITION.hubs[str(row[0])]
    assert hub_row(hub) == row
    left, right = hub.left_flange or hub.left_seats, hub.right_flange or hub.right_seats
    assert left is not None
    assert right is not None
    found = (side_row(left), side_row(right), left.from_centre_mm, right.from_centre_mm)
    assert found == HUB_SIDES[hub.code]


def test_every_hub_carries_1400_newton_a_spoke_and_one_carries_less_when_radial() -> None:
    assert set(EDITION.hubs) == {row[0] for row in HUBS}
    assert {hub.spoke_limit_n for hub in EDITION.hubs.values()} == {1400.0}
    radial = {code: hub.radial_spoke_limit_n for code, hub in EDITION.hubs.items()}
    assert {code: limit for code, limit in radial.items() if limit} == {"KF1": 1200.0}


@pytest.mark.parametrize("row", SPOKES, ids=lambda row: str(row[0]))
def test_a_spoke_has_its_middle_and_mass(row: tuple[object, ...]) -> None:
    spoke = EDITION.spokes[str(row[0])]
    middle = (spoke.blade_mm, spoke.thickness_mm, spoke.section_mm2, spoke.mass_at_264_g)
    assert (spoke.code, spoke.head, *middle) == row
    assert (spoke.thread, spoke.end_mm, spoke.modulus_gpa) == ("Fg 2.3", 2.0, 195.0)


@pytest.mark.parametrize("row", NIPPLES, ids=lambda row: str(row[0]))
def test_a_nipple_has_its_dimensions(row: tuple[object, ...]) -> None:
    nipple = EDITION.nipples[str(row[0])]
    sizes = (nipple.length_mm, nipple.body_mm, nipple.head_height_mm, nipple.mass_g)
    assert (nipple.code, nipple.material, nipple.kind, *sizes) == row


def test_the_short_alloy_nipple_is_for_beds_up_to_3_and_not_for_the_gravel_rim() -> None:
    assert EDITION.nipples["NA12"].bed_max_mm == 3.0
    assert EDITION.nipples["NA12"].excluded_rims == ("OR30G",)


def test_the_washer_is_half_a_millimetre() -> None:
    assert {code: each.thickness_mm for code, each in EDITION.washers.items()} == {"W05": 0.5}


def test_driver_bodies_carry_their_spline_from_their_smallest_sprocket_up() -> None:
    found = {each.spline: each.smallest_sprocket for each in EDITION.drivers.values()}
    assert found == {"A": 11, "B": 10, "C": 10}


def test_decals_come_in_12_colours_3_sizes_and_2_hands_but_sand_not_in_l() -> None:
    found = {(each.colour, each.size, each.hand) for each in EDITION.decals.values()}
    wanted = {(c, s, h) for c in COLOURS for s in "SML" for h in ("left", "right")}
    assert wanted - found == {("SAND", "L", "left"), ("SAND", "L", "right")}
    assert found <= wanted
    assert len(EDITION.decals) == 70
    assert not any(each.certified_reflector for each in EDITION.decals.values())


def test_every_rim_has_decals_of_its_size() -> None:
    sizes = [(code, rim.decal_size) for code, rim in EDITION.rims.items()]
    assert sizes == [*zip("OR30G OR33D OR38R OR45A OR45D OR58D".split(), "SSMMML", strict=True)]


def test_a_decal_is_found_by_colour_size_and_hand_and_none_where_none_is_made() -> None:
    found = EDITION.decal("LAGOON", "S", "left")
    assert found is not None
    assert found.code == "LAGOON-S-L"
    assert EDITION.decal("SAND", "L", "left") is None


def test_no_hub_takes_the_widest_blade_so_that_spoke_is_a_dead_part() -> None:
    blade_mm = EDITION.spokes["SJB12"].blade_mm
    assert all(blade_mm > max(hub.hole_mm or 0.0, hub.slot_mm) for hub in EDITION.hubs.values())
