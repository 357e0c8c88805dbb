"""The wheel as bare dimensions, and the frozen results that the mechanics hand back.

Axes, sides, hole numbers and signs are those of `buildsheet.wheel`. Lengths in mm, forces in N,
bending and torsion stiffness in N m2, moduli in GPa: the unit stands in every name.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Generic, Literal, TypeVar

Side = Literal["left", "right"]
Run = Literal["trailing", "leading", "radial"]
Head = Literal["in", "out", "none"]
Interlace = Literal["over", "under", "none"]
Drive = Literal["left", "right"]

SIDES: Final[tuple[Side, Side]] = ("left", "right")

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Sides(Generic[T]):
    """One value for each side of the wheel.

    >>> Sides(left=1, right=2)["right"]
    2
    """

    left: T
    right: T

    def __getitem__(self, side: Side) -> T:
        return self.left if side == "left" else self.right


@dataclass(frozen=True, slots=True)
class RimSpec:
    """A rim as mechanics sees it.

    ``erd_mm`` is the diameter of the circle on which the spokes end (attach). ``section_radius_mm``
    is where bending acts. ``pair_shift_deg``: every hole of the pairs (1, 2), (3, 4) ... is moved
    toward its partner by this angle; 0 is even spacing. Structural figures may be absent (None):
    then no structure is computed. ``axial_stiffness_n`` is EA.
    """

    holes: int
    erd_mm: float
    bed_offset_mm: float = 0.0
    pair_shift_deg: float = 0.0
    section_radius_mm: float | None = None
    axial_stiffness_n: float | None = None
    radial_bending_nm2: float | None = None
    lateral_bending_nm2: float | None = None
    torsion_nm2: float | None = None
    spoke_limit_n: float | None = None


@dataclass(frozen=True, slots=True)
class FlangeSide:
    """A drilled flange for J-bend spokes: hole circle diameter, distance from the hub centre, hole."""

    circle_mm: float
    from_centre_mm: float
    hole_mm: float


@dataclass(frozen=True, slots=True)
class StraightPullSide:
    """Straight-pull seats: each spoke's line passes the axis at ``line_from_axis_mm``; its head seats
    ``seat_ahead_mm`` toward the rim from the point of that line nearest the axis."""

    line_from_axis_mm: float
    seat_ahead_mm: float
    from_centre_mm: float


HubSide = FlangeSide | StraightPullSide


@dataclass(frozen=True, slots=True)
class HubSpec:
    """Both sides of a hub. ``flange_turn``: by how much of its own pitch the left flange's holes are
    turned against the right flange's (0.5 = half a pitch, the usual; 0 = aligned). Where the counts
    differ, the pitch is that of the flange with more holes."""

    left: HubSide
    right: HubSide
    flange_turn: float = 0.5

    def __getitem__(self, side: Side) -> HubSide:
        return self.left if side == "left" else self.right


@dataclass(frozen=True, slots=True)
class SpokeSection:
    """A stretch of one cross-section: its area, and its share of the spoke's length (shares add to 1)."""

    area_mm2: float
    share: float = 1.0


@dataclass(frozen=True, slots=True)
class SpokeSideSpec:
    """The spokes of one side. ``crossings`` is None where a straight-pull hub dictates the pattern.

    ``width_mm`` is the widest middle dimension (blade or wire), ``head_mm`` the head's diameter:
    used for clearance only.
    """

    count: int
    crossings: int | None
    sections: tuple[SpokeSection, ...]
    modulus_gpa: float
    density_kg_m3: float = 7900.0
    width_mm: float = 2.0
    head_mm: float = 4.0


@dataclass(frozen=True, slots=True)
class WheelSpec:
    """One whole wheel. ``tight_side_n`` is the mean tension of the side that carries more; None or 0
    computes the wheel without tension. ``radial_heads``: which flange face the heads of radial
    spokes lie on."""

    rim: RimSpec
    hub: HubSpec
    spokes: Sides[SpokeSideSpec]
    tight_side_n: float | None = None
    radial_heads: Head = "out"


@dataclass(frozen=True, slots=True)
class LacedSpoke:
    """One spoke's place. ``hole`` from 1 (first clockwise from the valve, seen from the right);
    ``hub_hole`` from 1 on its own flange; angles in radians clockwise from the valve."""

    hole: int
    side: Side
    hub_hole: int
    run: Run
    head: Head
    interlace: Interlace
    rim_angle_rad: float
    hub_angle_rad: float


@dataclass(frozen=True, slots=True)
class Lacing:
    """The whole map, by rim hole; ``hub_turn_rad`` is the angle the hub took so that the spokes'
    torque vanishes; ``valve_gap`` is the self-test's word for the gap that the valve lies in."""

    spokes: tuple[LacedSpoke, ...]
    hub_turn_rad: float
    valve_gap: Literal["opening", "parallel", "crossing"]


@dataclass(frozen=True, slots=True)
class HoleAngle:
    """How one spoke leaves the rim: ``lateral_deg`` from the wheel plane (positive toward the right),
    ``in_plane_deg`` from the radius (positive toward clockwise), both seen from the rim hole."""

    hole: int
    side: Side
    lateral_deg: float
    in_plane_deg: float


@dataclass(frozen=True, slots=True)
class SideMechanics:
    """One side of a wheel, computed.

    ``exact_mm`` geometry only; ``stretch_mm`` what the planned tension adds to the spoke;
    ``rim_shrink_mm`` how far the rim's hole moves toward the hub under all spokes' tension, along the
    spoke; ``target_mm`` = exact - stretch - rim shrink, the length to make. ``angle_deg`` is the
    bracing angle between spoke and wheel plane; ``wrap_deg`` the angle between the radii of hub hole
    and rim hole (limit below the tangent); ``head_clearance_mm`` is from the spoke's line to the
    centre of the neighbouring hub hole (None: radial or straight-pull).

    Paired rim holes or a turned hub can make one side's trailing and leading spokes differ: then
    ``exact_mm`` and ``angle_deg`` are their mean, ``shortest_mm`` and ``longest_mm`` the two exact
    lengths, ``wrap_deg`` and ``head_clearance_mm`` the worse of both. ``pitch_hz`` is the ideal string.
    """

    from_centre_mm: float
    exact_mm: float
    stretch_mm: float
    rim_shrink_mm: float
    target_mm: float
    angle_deg: float
    wrap_deg: float
    head_clearance_mm: float | None
    tension_n: float
    pitch_hz: float
    shortest_mm: float | None = None
    longest_mm: float | None = None


@dataclass(frozen=True, slots=True)
class Mechanics:
    """Everything but the structure, for one wheel. ``ratio`` is slack over tight."""

    spec: WheelSpec
    lacing: Lacing
    sides: Sides[SideMechanics]
    tight_side: Side
    ratio: float
    drilling: tuple[HoleAngle, ...]
