"""One wheel as parts: what an order position names, looked up in an edition, not yet computed."""

from __future__ import annotations

from dataclasses import dataclass

from buildsheet.catalog.parts import Driver, Hub, Nipple, Position, Rim, Spoke, Washer
from buildsheet.wheel.length import axial_stiffness_n
from buildsheet.wheel.spec import (
    FlangeSide,
    Head,
    HubSide,
    HubSpec,
    RimSpec,
    Side,
    Sides,
    SpokeSection,
    SpokeSideSpec,
    StraightPullSide,
    WheelSpec,
)


@dataclass(frozen=True)
class Assembly:
    """The parts of one wheel and how they are to be laced.

    ``crossings`` is None where the hub dictates its own pattern (straight-pull).
    """

    position: Position
    rim: Rim
    holes: int
    hub: Hub
    spokes: Sides[Spoke]
    crossings: Sides[int] | None
    nipple: Nipple
    nipple_colour: str
    washer: Washer | None = None
    driver: Driver | None = None
    axle: str | None = None

    @property
    def erd_mm(self) -> float:
        """Effective rim diameter: seat + 2 x (nipple head + washer), where the spokes end."""
        washer_mm = self.washer.thickness_mm if self.washer else 0.0
        return self.rim.seat_diameter_mm + 2.0 * (self.nipple.head_height_mm + washer_mm)

    @property
    def steep_side(self) -> Side:
        """The side whose flange sits nearer the middle: gears on a rear wheel, rotor on a disc front.

        The spoke bed of an asymmetric rim is turned away from it.
        """
        if self.position == "rear":
            return "right"
        return "left" if self.rim.brake == "disc" else "right"

    @property
    def bed_offset_mm(self) -> float:
        """Where the spoke bed lies, positive toward the right: away from the steep side."""
        toward_right = self.steep_side == "left"
        return self.rim.bed_offset_mm if toward_right else -self.rim.bed_offset_mm

    @property
    def straight_pull(self) -> bool:
        """True where the hub seats straight-pull spokes."""
        return self.hub.left_seats is not None

    @property
    def radial(self) -> bool:
        """True where no side's spokes cross."""
        return self.crossings is not None and not (self.crossings.left or self.crossings.right)

    @property
    def any_radial(self) -> bool:
        """True where the spokes of at least one flange do not cross."""
        return self.crossings is not None and 0 in (self.crossings.left, self.crossings.right)

    @property
    def drilling(self) -> str:
        """How the rim is drilled for this wheel: by the kind of nipple."""
        return self.nipple.kind


def feature(position: str, brake: str, side: Side) -> str:
    """What a person sees on that side of the wheel, in the words of the sheet.

    >>> feature("rear", "disc", "left"), feature("front", "disc", "right")
    ('disc side', 'plain side')
    """
    if position == "rear" and side == "right":
        return "gear side"
    if brake == "disc" and side == "left":
        return "disc side"
    return "plain side"


def wheel_spec(
    assembly: Assembly, radial_heads: Head, tight_side_n: float | None = None
) -> WheelSpec:
    """The bare wheel that the mechanics compute.

    Two-to-one drillings follow the rim. Raises ValueError for a hub that describes neither flange
    nor seats on a side; the catalog's reading lets no such hub in.
    """
    rim = assembly.rim
    section = rim.section
    counts = side_counts(assembly)
    return WheelSpec(
        rim=RimSpec(
            holes=assembly.holes,
            erd_mm=assembly.erd_mm,
            bed_offset_mm=assembly.bed_offset_mm,
            section_radius_mm=section.radius_mm if section else None,
            axial_stiffness_n=section.axial_stiffness_n if section else None,
            radial_bending_nm2=section.radial_bending_nm2 if section else None,
            lateral_bending_nm2=section.lateral_bending_nm2 if section else None,
            torsion_nm2=section.torsion_nm2 if section else None,
            spoke_limit_n=rim.spoke_limit_n,
        ),
        hub=HubSpec(left=_hub_side(assembly.hub, "left"), right=_hub_side(assembly.hub, "right")),
        spokes=Sides(
            left=_spoke_side(assembly, "left", counts.left),
            right=_spoke_side(assembly, "right", counts.right),
        ),
        tight_side_n=tight_side_n,
        radial_heads=radial_heads,
    )


def side_counts(assembly: Assembly) -> Sides[int]:
    """How many spokes each side takes: half each, or two to one toward the steep side."""
    holes = assembly.holes
    if assembly.rim.split == "1:1":
        return Sides(left=holes // 2, right=holes - holes // 2)
    many, few = holes - holes // 3, holes // 3
    return Sides(left=many, right=few) if assembly.steep_side == "left" else Sides(few, many)


def _hub_side(hub: Hub, side: Side) -> HubSide:
    seats = hub.left_seats if side == "left" else hub.right_seats
    if seats is not None:
        return StraightPullSide(
            line_from_axis_mm=seats.line_from_axis_mm,
            seat_ahead_mm=seats.seat_ahead_mm,
            from_centre_mm=seats.from_centre_mm,
        )
    flange = hub.left_flange if side == "left" else hub.right_flange
    if flange is None:
        raise ValueError(f"hub {hub.code} has neither flange nor seats on its {side} side")
    return FlangeSide(
        circle_mm=flange.circle_mm,
        from_centre_mm=flange.from_centre_mm,
        hole_mm=hub.hole_mm or 0.0,
    )


def _spoke_side(assembly: Assembly, side: Side, count: int) -> SpokeSideSpec:
    spoke = assembly.spokes[side]
    return SpokeSideSpec(
        count=count,
        crossings=assembly.crossings[side] if assembly.crossings else None,
        sections=spoke_sections(spoke),
        modulus_gpa=spoke.modulus_gpa,
        density_kg_m3=spoke.density_kg_m3,
        width_mm=spoke.blade_mm or spoke.thickness_mm,
        head_mm=spoke.head_mm,
    )


def spoke_sections(spoke: Spoke) -> tuple[SpokeSection, ...]:
    """The spoke's cross-sections with their shares of its length; ends are round wire."""
    middle = SpokeSection(area_mm2=spoke.section_mm2, share=1.0 - spoke.end_share)
    if not spoke.end_share:
        return (middle,)
    end_area_mm2 = 3.141592653589793 * spoke.end_mm**2 / 4.0
    return (middle, SpokeSection(area_mm2=end_area_mm2, share=spoke.end_share))


def spoke_axial_n(spoke: Spoke) -> float:
    """EA in N of a uniform spoke that stretches as much as this one."""
    return axial_stiffness_n(
        SpokeSideSpec(
            count=1, crossings=0, sections=spoke_sections(spoke), modulus_gpa=spoke.modulus_gpa
        )
    )
