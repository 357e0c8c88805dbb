"""Labels, units and help of the fields, in the words of the bench."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

UNITS: Final[tuple[tuple[str, str], ...]] = (
    ("_kg_m3", "kg/m³"),
    ("_nm2", "N m²"),
    ("_mm2", "mm²"),
    ("_percent", "%"),
    ("_share", "share, 0 to 1"),
    ("_gpa", "GPa"),
    ("_deg", "°"),
    ("_bar", "bar"),
    ("_kg", "kg"),
    ("_mm", "mm"),
    ("_n", "N"),
    ("_g", "g"),
)
"""Suffix of a key and the unit it stands for, the longer first."""

LABELS: Final[Mapping[str, str]] = MappingProxyType(
    {
        "code": "Code",
        "name": "Name",
        "bead": "Tyre edge",
        "bead_seat_mm": "Bead seat diameter",
        "depth_mm": "Depth",
        "inner_width_mm": "Inner width",
        "outer_width_mm": "Outer width",
        "seat_diameter_mm": "Seat diameter",
        "seat_measured_mm": "Seat diameter, measured twice",
        "from_centre_measured_mm": "From the middle, measured twice",
        "bed_mm": "Spoke bed thickness",
        "bed_offset_mm": "Spoke bed off centre",
        "holes": "Hole counts",
        "seat_shape": "Shape of the nipple seat",
        "drillings": "Nipple holes it can be drilled with",
        "external_hole_mm": "Hole for an external nipple",
        "hidden_hole_mm": "Hole for a hidden nipple",
        "tyre_bed_hole_mm": "Hole in the tyre bed",
        "valve_hole_mm": "Valve hole",
        "needs_washer": "Needs a washer",
        "spoke_limit_n": "Highest spoke tension",
        "radial_spoke_limit_n": "Highest tension of a radial spoke",
        "max_spoke_section_mm2": "Largest spoke cross-section",
        "use_classes": "Released use classes",
        "mass_g": "Mass",
        "mass_tolerance_g": "Mass may differ by",
        "system_limits": "Permitted system mass by hole count",
        "pressure_limits": "Highest pressure by tyre width",
        "front_kg": "Front",
        "rear_kg": "Rear",
        "tyre_mm": "From tyre width",
        "limit_bar": "Highest pressure",
        "tyre_min_mm": "Narrowest tyre",
        "tyre_max_mm": "Widest tyre",
        "track_mm": "Height of the brake track",
        "decal_size": "Decal size",
        "radius_mm": "Radius where bending acts",
        "axial_stiffness_n": "Stiffness along the hoop",
        "radial_bending_nm2": "Bending stiffness, radial",
        "lateral_bending_nm2": "Bending stiffness, sideways",
        "torsion_nm2": "Torsion stiffness",
        "over_locknut_mm": "Over-locknut distance",
        "axles": "Axles that fit",
        "circle_mm": "Hole circle",
        "from_centre_mm": "From the hub's middle",
        "thickness_mm": "Thickness",
        "line_from_axis_mm": "Spoke line from the axis",
        "seat_ahead_mm": "Seat ahead of the nearest point",
        "hole_mm": "Spoke hole",
        "slot_mm": "Slot for a blade",
        "crossings": "Released crossings",
        "radial_holes": "Hole counts released for radial lacing",
        "drivers": "Driver bodies that fit",
        "system_limit_kg": "Highest system mass",
        "e_drive": "Released for an electric drive",
        "rotor_max_mm": "Largest rotor",
        "end_mm": "End diameter",
        "blade_mm": "Blade width",
        "section_mm2": "Cross-section of the middle",
        "end_share": "Share of the length that is end",
        "head_mm": "Head diameter",
        "modulus_gpa": "Modulus of elasticity",
        "density_kg_m3": "Density",
        "mass_at_264_g": "Mass at 264 mm",
        "flange_min_mm": "Thinnest flange",
        "flange_max_mm": "Thickest flange",
        "shortest_mm": "Shortest stocked length",
        "longest_mm": "Longest stocked length",
        "step_mm": "Step between lengths",
        "body_mm": "Body diameter",
        "head_height_mm": "Seat to bottom of the slot",
        "head_top_mm": "Thread may pass the slot by",
        "head_shape": "Shape of the head",
        "bed_max_mm": "Thickest bed it reaches through",
        "key_mm": "Key width",
        "excluded_rims": "Rims it must not go into",
        "seat_shapes": "Seats it fits",
        "smallest_sprocket": "Smallest sprocket",
        "hubs": "Hubs they fit",
        "certified_reflector": "Certified reflector",
        "left_lateral_deg": "Left hole axes lean sideways",
        "right_lateral_deg": "Right hole axes lean sideways",
        "in_plane_deg": "Hole axes lean along the rim",
    }
)
"""Last word of a key -> what stands beside its field; others are read off the key."""

HELP: Final[Mapping[str, str]] = MappingProxyType(
    {
        "code": "It never changes again: orders and stock go by it.",
        "state": "Draft is never offered. No new orders: what lies on the shelf may still be built "
        "for orders held. Service only: spares. Ended: nothing any more.",
        "rims.seat_diameter_mm": "Where the nipples sit, from seat to seat; not an effective "
        "diameter. For a 622 rim about 634 less twice the depth plus twice the bed.",
        "seat_measured_mm": "At least two measurements, by two people or two tools, separated "
        "by spaces: one alone cannot show its own slip.",
        "from_centre_measured_mm": "At least two measurements, by two people or two tools, "
        "separated by spaces.",
        "rims.bed_offset_mm": "0 for a symmetric rim. Which way it is turned follows from the wheel.",
        "spoke_limit_n": "The maker's figure in newtons (1 kgf is 9.8 N). Empty is unknown, and "
        "what is unknown stops every wheel that needs it.",
        "use_classes": "Numbers of the use classes the maker releases, such as 1 2.",
        "rims.holes": "Such as 20 24 28.",
        "hubs.holes": "Such as 20 24 28.",
        "rims.system_limits": "Rider, bicycle and luggage. An empty cell: not offered there.",
        "rims.pressure_limits": "From this tyre width on, up to the next row.",
        "axles": "Such as 12x142: diameter x over-locknut distance.",
        "hubs.drivers": "Codes of the driver bodies; empty on a front hub.",
        "hubs.crossings": "Such as 2 3. Radial is said by the hole counts below.",
        "hubs.left_flange.circle_mm": "Diameter of the circle through the middles of the holes.",
        "hubs.right_flange.circle_mm": "Diameter of the circle through the middles of the holes.",
        "hubs.left_flange.from_centre_mm": "From the middle between the locknuts to the middle "
        "of the flange.",
        "hubs.right_flange.from_centre_mm": "From the middle between the locknuts to the middle "
        "of the flange.",
        "spokes.blade_mm": "0 for a round spoke.",
        "spokes.thickness_mm": "The middle's smaller dimension; the wire of a round spoke.",
        "spokes.end_share": "Both ends together; 0 treats the whole length as the middle.",
        "nipples.head_height_mm": "The wanted end of the spoke.",
        "nipples.colours": "Small letters, separated by commas.",
        "decals.colour": "The code of the colour, in capitals.",
    }
)
"""``kind.key`` or key -> a sentence below the field."""

HEADINGS: Final[Mapping[str, str]] = MappingProxyType(
    {
        "left_flange": "Left flange",
        "right_flange": "Right flange",
        "left_seats": "Left straight-pull seats",
        "right_seats": "Right straight-pull seats",
        "section": "The section as a structure",
        "evidence": "Evidence for the limits",
    }
)
"""A table within a part -> its heading."""

INTROS: Final[Mapping[str, str]] = MappingProxyType(
    {
        "left_flange": "For J-bend spokes. Left as the rider sees it. Leave empty on a straight-pull hub.",
        "right_flange": "For J-bend spokes. Leave empty on a straight-pull hub.",
        "left_seats": "Leave empty on a hub for J-bend spokes.",
        "right_seats": "Leave empty on a hub for J-bend spokes.",
        "section": "Needed for stiffness and side loads. Without it they are said to be unanswered.",
        "evidence": "What each limit rests on: a test report with its number, a maker's sheet with "
        "its date. A limit that nobody proved is not published.",
    }
)

KIND_WORDS: Final[Mapping[str, tuple[str, str]]] = MappingProxyType(
    {
        "rims": ("rim", "Rims"),
        "hubs": ("hub", "Hubs"),
        "spokes": ("spoke type", "Spoke types"),
        "nipples": ("nipple", "Nipples"),
        "washers": ("washer", "Washers"),
        "drivers": ("driver body", "Driver bodies"),
        "end_caps": ("pair of end caps", "End caps"),
        "decals": ("decal", "Decals"),
        "programs": ("drilling program", "Drilling programs"),
    }
)
"""Kind -> one of them, all of them."""

STATE_WORDS: Final[Mapping[str, str]] = MappingProxyType(
    {
        "draft": "draft",
        "active": "active",
        "no-new-orders": "no new orders",
        "service-only": "service only",
        "ended": "ended",
    }
)


def unit_of(key: str) -> str:
    """The unit that a key's name ends in, as it is printed; '' for none.

    >>> unit_of("left_flange.circle_mm"), unit_of("density_kg_m3"), unit_of("name")
    ('mm', 'kg/m³', '')
    """
    return next((unit for suffix, unit in UNITS if key.endswith(suffix)), "")


def label_of(key: str) -> str:
    """What stands beside the field of this key.

    >>> label_of("left_flange.circle_mm"), label_of("rotor_mount"), label_of("length_mm")
    ('Hole circle', 'Rotor mount', 'Length')
    """
    last = key.rsplit(".", 1)[-1]
    if last in LABELS:
        return LABELS[last]
    plain = next((last.removesuffix(suffix) for suffix, _ in UNITS if last.endswith(suffix)), last)
    return plain.replace("_", " ").capitalize()


def help_of(kind: str, key: str) -> str:
    """The sentence below the field; '' for none."""
    last = key.rsplit(".", 1)[-1]
    return HELP.get(f"{kind}.{key}") or HELP.get(key) or HELP.get(last, "")
