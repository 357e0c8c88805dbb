"""Which fields stand together, under which heading, for each part kind."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cache
from types import MappingProxyType
from typing import Final

from buildsheet.web.pages.catalog.form.field import Field, Group
from buildsheet.web.pages.catalog.form.fields import fields_of
from buildsheet.web.pages.catalog.form.words import HEADINGS, INTROS

LAYOUT: Final[Mapping[str, tuple[tuple[str, str], ...]]] = MappingProxyType(
    {
        "rims": (
            ("What it is", "name state brake bead tubeless bead_seat_mm"),
            (
                "Section",
                "depth_mm inner_width_mm outer_width_mm seat_diameter_mm seat_measured_mm bed_mm "
                "bed_offset_mm track_mm",
            ),
            (
                "Drilling",
                "holes split spacing seat_shape drillings external_hole_mm hidden_hole_mm "
                "tyre_bed_hole_mm valve_hole_mm needs_washer",
            ),
            (
                "Limits",
                "spoke_limit_n max_spoke_section_mm2 use_classes system_limits pressure_limits "
                "tyre_min_mm tyre_max_mm",
            ),
            ("Mass and finish", "mass_g mass_tolerance_g decal_size"),
        ),
        "hubs": (
            ("What it is", "name state position brake rotor_mount rotor_max_mm e_drive"),
            ("Ends", "over_locknut_mm axles drivers"),
            ("Drilling", "holes split spacing hole_mm slot_mm crossings radial_holes"),
            (
                "Limits and mass",
                "spoke_limit_n radial_spoke_limit_n use_classes system_limit_kg mass_g",
            ),
        ),
        "spokes": (
            ("What it is", "name state head thread"),
            (
                "Dimensions",
                "end_mm blade_mm thickness_mm section_mm2 end_share head_mm flange_min_mm "
                "flange_max_mm",
            ),
            ("Material and mass", "modulus_gpa density_kg_m3 mass_at_264_g"),
            ("Limits", "spoke_limit_n use_classes system_limit_kg"),
            ("Lengths", "shortest_mm longest_mm step_mm"),
        ),
        "nipples": (
            ("What it is", "name state material kind colours thread mass_g"),
            (
                "Dimensions",
                "length_mm body_mm head_height_mm head_top_mm head_shape key_mm bed_max_mm",
            ),
            ("Limits", "needs_washer use_classes system_limit_kg excluded_rims"),
        ),
        "programs": (
            ("What it is for", "name state rim holes position drilling"),
            ("Hole axes", "left_lateral_deg right_lateral_deg in_plane_deg"),
        ),
    }
)
"""Kind -> headings and keys in order. A kind that is not here has one group; a key that is in no
group comes last, so that none can be forgotten."""


@cache
def groups_of(kind: str) -> tuple[Group, ...]:
    """The groups of one kind; together they hold every field once."""
    return tuple(_groups(kind))


def _groups(kind: str) -> Iterator[Group]:
    left = {field.key: field for field in fields_of(kind)}
    for heading, keys in LAYOUT.get(kind, ()):
        fields = tuple(left.pop(key) for key in keys.split() if key in left)
        yield Group(heading, "", fields)
    own = tuple(field for field in left.values() if len(field.path) == 1)
    if own:
        yield Group("Further figures" if kind in LAYOUT else "What it is", "", own)
    tables: dict[str, list[Field]] = {}
    for field in left.values():
        if len(field.path) > 1:
            tables.setdefault(field.path[0], []).append(field)
    for table, fields_in in tables.items():
        heading = HEADINGS.get(table, table.replace("_", " ").capitalize())
        yield Group(heading, INTROS.get(table, ""), tuple(fields_in), optional=True)
