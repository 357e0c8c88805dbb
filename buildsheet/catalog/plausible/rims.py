"""Sense within a rim."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from buildsheet.catalog.parts import Rim
from buildsheet.catalog.plausible.doubt import (
    Doubt,
    contradiction,
    implausible,
    needed,
    out_of_order,
    too_light,
    too_low_a_mass,
    twice,
)
from buildsheet.findings import Value

RIM_WALLS_MM = 12.0
"""Outer diameter less bead seat diameter: 634 for 622 [trade figure: outer about 634, no source]."""

SEAT_TOLERANCE_MM = 3.0
"""What depth, wall height and bed may differ from their round figures [own choice]. An effective rim
diameter typed for a seat (3.2 mm more with the shortest nipple) must not pass."""

LIGHTEST_RIM_G = 150.0
"""Less is a rim in kilograms [own choice]."""


def rim_doubts(rim: Rim) -> Iterator[Doubt]:
    """Everything that a rim's own dimensions and words speak against."""
    yield from _seat(rim)
    yield from _widths(rim)
    yield from _drillings(rim)
    yield from _system_limits(rim)
    yield from _pressures(rim)
    yield from _words(rim)
    yield from too_light(rim, "mass_g", LIGHTEST_RIM_G)


def expected_seat_mm(rim: Rim) -> float:
    """The seat diameter that bead seat, depth and bed call for: outer - 2 depth + 2 bed."""
    return rim.bead_seat_mm + RIM_WALLS_MM - 2.0 * rim.depth_mm + 2.0 * rim.bed_mm


def _seat(rim: Rim) -> Iterator[Doubt]:
    expected_mm = expected_seat_mm(rim)
    # A glued rim has no bead walls: its outer diameter does not follow from the nominal bead seat.
    if rim.bead == "tubular" or abs(rim.seat_diameter_mm - expected_mm) <= SEAT_TOLERANCE_MM:
        return
    yield Doubt(
        "data.implausible",
        ("seat_diameter_mm",),
        f"found {rim.seat_diameter_mm:g}; a {rim.bead_seat_mm} rim of depth {rim.depth_mm:g} with a bed of "
        f"{rim.bed_mm:g} has about {expected_mm:g}, within {SEAT_TOLERANCE_MM:g}. An effective rim "
        "diameter typed for the nipple seat?",
        have={"seat_diameter_mm": rim.seat_diameter_mm},
        need={"about_mm": round(expected_mm, 3), "within_mm": SEAT_TOLERANCE_MM},
        values=(round(expected_mm, 3),),
        also=("depth_mm", "bed_mm"),
    )


def _widths(rim: Rim) -> Iterator[Doubt]:
    if rim.inner_width_mm >= rim.outer_width_mm:
        says = f"{rim.inner_width_mm:g} is not below outer_width_mm {rim.outer_width_mm:g}."
        yield implausible("inner_width_mm", says, inner_width_mm=rim.inner_width_mm)
    if rim.bed_offset_mm > rim.outer_width_mm / 4.0:
        says = f"{rim.bed_offset_mm:g} puts the spoke bed outside the rim's middle half."
        yield implausible("bed_offset_mm", says, bed_offset_mm=rim.bed_offset_mm)
    section = rim.section
    seat_mm = rim.seat_diameter_mm / 2.0
    outer_mm = (rim.bead_seat_mm + RIM_WALLS_MM) / 2.0
    if section and seat_mm < outer_mm and not seat_mm - rim.bed_mm <= section.radius_mm <= outer_mm:
        says = f"radius_mm {section.radius_mm:g} lies outside the rim, {seat_mm:g} to {outer_mm:g}."
        yield Doubt(
            "data.implausible",
            ("section", "radius_mm"),
            says,
            have={"radius_mm": section.radius_mm},
            need={"minimum": seat_mm, "maximum": outer_mm},
        )


def _drillings(rim: Rim) -> Iterator[Doubt]:
    for drilling in rim.drillings:
        if getattr(rim, f"{drilling}_hole_mm") is None:
            says = f"needed, because drillings offers {drilling}."
            yield needed(f"{drilling}_hole_mm", says)
    for row, holes in enumerate(rim.holes):
        if holes % (2 if rim.split == "1:1" else 3):
            says = f"{holes} holes cannot be split {rim.split} between the sides."
            yield Doubt("data.contradiction", ("holes", row), says, have={"found": holes})


def _system_limits(rim: Rim) -> Iterator[Doubt]:
    seen: list[int] = []
    for row, limit in enumerate(rim.system_limits or ()):
        place = ("system_limits", row, "holes")
        have: dict[str, Value] = {"found": limit.holes}
        if limit.holes not in rim.holes:
            need: dict[str, Value] = {"enum": list(rim.holes)}
            says = f"the rim is drilled {', '.join(map(str, rim.holes))}, not {limit.holes}."
            yield Doubt("data.unknown-reference", place, says, have, need, values=tuple(rim.holes))
        if limit.holes in seen:
            yield Doubt("data.duplicate", place, f"{limit.holes} holes stand twice.", have)
        seen.append(limit.holes)
        for key in ("front_kg", "rear_kg"):
            yield from too_low_a_mass(getattr(limit, key), ("system_limits", row, key))


def _pressures(rim: Rim) -> Iterator[Doubt]:
    rows = rim.pressure_limits or ()
    for row, (before, after) in enumerate(pairwise(rows), start=1):
        if after.tyre_mm <= before.tyre_mm:
            says = f"{after.tyre_mm:g} does not follow {before.tyre_mm:g}: rows run from narrow to wide."
            place = ("pressure_limits", row, "tyre_mm")
            yield Doubt("data.contradiction", place, says, have={"found": after.tyre_mm})


def _words(rim: Rim) -> Iterator[Doubt]:
    yield from twice(rim, "holes")
    yield from twice(rim, "drillings")
    yield from twice(rim, "use_classes")
    yield from out_of_order(rim, "tyre_min_mm", "tyre_max_mm")
    if rim.bead == "hookless" and not rim.tubeless:
        yield contradiction("tubeless", "a hookless rim holds tubeless tyres only.", bead=rim.bead)
    if rim.bead == "tubular" and rim.tubeless:
        yield contradiction(
            "tubeless", "a rim for glued tyres takes no tubeless tyre.", bead=rim.bead
        )
    if rim.brake == "rim" and rim.track_mm is None:
        yield needed("track_mm", "needed, because the rim is braked on its track.")
    if rim.brake == "disc" and rim.track_mm is not None:
        yield contradiction(
            "track_mm", "a rim for disc brakes has no brake track.", brake=rim.brake
        )
