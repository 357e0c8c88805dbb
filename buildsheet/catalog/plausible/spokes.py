"""Sense within a spoke and within a nipple."""

from __future__ import annotations

from collections.abc import Iterator
from math import pi

from buildsheet.catalog.parts import Nipple, Spoke
from buildsheet.catalog.plausible.doubt import (
    Doubt,
    implausible,
    out_of_order,
    too_low_a_mass,
    twice,
)

SECTION_TOLERANCE = 0.03
"""Round wire: area against thickness. The third digit of a printed area may be rounded."""

FLATTENED_OVAL = 0.95
"""A blade is never thinner than this share of an oval of its width and thickness [own choice]."""


MASS_OVER_MIDDLE = (0.95, 1.6)
"""Mass of a 264 mm spoke over that of 264 mm of its middle [own choice]: head and thicker ends add to
it, a butted spoke of 1.5 mm with ends of 2.0 mm some 15 percent."""

MM3_PER_M3 = 1e9
G_PER_KG = 1e3


def spoke_doubts(spoke: Spoke) -> Iterator[Doubt]:
    """Everything that a spoke's own dimensions speak against."""
    yield from twice(spoke, "use_classes")
    yield from out_of_order(spoke, "flange_min_mm", "flange_max_mm")
    yield from out_of_order(spoke, "shortest_mm", "longest_mm")
    yield from too_low_a_mass(spoke.system_limit_kg, ("system_limit_kg",))
    if spoke.blade_mm and spoke.blade_mm < spoke.thickness_mm:
        says = f"{spoke.blade_mm:g} wide and {spoke.thickness_mm:g} thick: width and thickness swapped?"
        yield implausible(
            "blade_mm", says, blade_mm=spoke.blade_mm, thickness_mm=spoke.thickness_mm
        )
        return
    oval_mm2 = pi / 4.0 * spoke.thickness_mm * (spoke.blade_mm or spoke.thickness_mm)
    low_mm2, high_mm2 = oval_mm2 * (1.0 - SECTION_TOLERANCE), oval_mm2 * (1.0 + SECTION_TOLERANCE)
    if spoke.blade_mm:
        low_mm2, high_mm2 = oval_mm2 * FLATTENED_OVAL, spoke.blade_mm * spoke.thickness_mm
    if not low_mm2 <= spoke.section_mm2 <= high_mm2:
        size = (
            f"{spoke.thickness_mm:g} x {spoke.blade_mm:g}"
            if spoke.blade_mm
            else f"{spoke.thickness_mm:g}"
        )
        yield Doubt(
            "data.implausible",
            ("section_mm2",),
            f"found {spoke.section_mm2:g}; a middle of {size} mm has {low_mm2:.2f} to {high_mm2:.2f}.",
            have={"section_mm2": spoke.section_mm2},
            need={"minimum": round(low_mm2, 3), "maximum": round(high_mm2, 3)},
            also=("thickness_mm", "blade_mm"),
        )
        return
    yield from _mass(spoke)


def _mass(spoke: Spoke) -> Iterator[Doubt]:
    middle_g = spoke.section_mm2 * 264.0 * spoke.density_kg_m3 * G_PER_KG / MM3_PER_M3
    low_g, high_g = (share * middle_g for share in MASS_OVER_MIDDLE)
    if not low_g <= spoke.mass_at_264_g <= high_g:
        yield Doubt(
            "data.implausible",
            ("mass_at_264_g",),
            f"found {spoke.mass_at_264_g:g}; 264 mm of a middle of {spoke.section_mm2:g} mm2 weigh "
            f"{middle_g:.1f} g, the whole spoke {low_g:.1f} to {high_g:.1f}.",
            have={"mass_at_264_g": spoke.mass_at_264_g},
            need={"minimum": round(low_g, 2), "maximum": round(high_g, 2)},
            also=("section_mm2", "density_kg_m3"),
        )


def nipple_doubts(nipple: Nipple) -> Iterator[Doubt]:
    """Everything that a nipple's own dimensions speak against."""
    yield from twice(nipple, "colours")
    yield from twice(nipple, "excluded_rims")
    yield from twice(nipple, "use_classes")
    yield from too_low_a_mass(nipple.system_limit_kg, ("system_limit_kg",))
    if nipple.head_height_mm >= nipple.length_mm:
        says = f"{nipple.head_height_mm:g} is not below length_mm {nipple.length_mm:g}."
        yield implausible("head_height_mm", says, head_height_mm=nipple.head_height_mm)
