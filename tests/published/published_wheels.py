"""Wheels that publications describe, as bare dimensions."""

from __future__ import annotations

from math import pi

from buildsheet.wheel.spec import (
    FlangeSide,
    HubSpec,
    RimSpec,
    Sides,
    SpokeSection,
    SpokeSideSpec,
    WheelSpec,
)


def wheel(
    *,
    radius_mm: float,
    ei1_nm2: float,
    ei2_nm2: float,
    gj_nm2: float,
    ea_n: float,
    hub_circle_mm: float,
    flanges_mm: tuple[float, float],
    count: int,
    spoke_area_mm2: float,
    modulus_gpa: float,
    crossings: int = 0,
    tight_side_n: float | None = None,
    attach_mm: float | None = None,
    bed_offset_mm: float = 0.0,
) -> WheelSpec:
    """A wheel with as many spokes left as right; ``flanges_mm`` from the middle to left and right."""
    left, right = (FlangeSide(hub_circle_mm, each, 0.0) for each in flanges_mm)
    side = SpokeSideSpec(count // 2, crossings, (SpokeSection(spoke_area_mm2),), modulus_gpa)
    rim = RimSpec(
        holes=count,
        erd_mm=2.0 * (attach_mm or radius_mm),
        bed_offset_mm=bed_offset_mm,
        section_radius_mm=radius_mm,
        axial_stiffness_n=ea_n,
        radial_bending_nm2=ei1_nm2,
        lateral_bending_nm2=ei2_nm2,
        torsion_nm2=gj_nm2,
    )
    return WheelSpec(rim, HubSpec(left, right), Sides(side, side), tight_side_n)


def research_wheel(tight_side_n: float | None = None) -> WheelSpec:
    """The standard research wheel [Ford 2018, appendix; read]: 36 radial spokes of 1.7788 mm effective
    diameter, hub circle 58 mm, effective flange spacing 53 mm (elbows in)."""
    return wheel(
        radius_mm=304.0,
        ei1_nm2=111.0,
        ei2_nm2=219.0,
        gj_nm2=26.3,
        ea_n=69e3 * 104.0,
        hub_circle_mm=58.0,
        flanges_mm=(26.5, 26.5),
        count=36,
        spoke_area_mm2=2.4852,
        modulus_gpa=210.0,
        tight_side_n=tight_side_n,
    )


def library_wheel(name: str, tight_side_n: float | None = None) -> WheelSpec:
    """A wheel of the example library [Ford 2018, appendix; inputs read]: aluminium 69/26 GPa, rim area
    100 mm2, radial spokes; the spokes' 200 GPa is our assumption, the source does not say."""
    radius, ei1, ei2, gj, hub, width, count, diameter = {
        "vintage road": (315.0, 150.0, 150.0, 15.0, 50.0, 50.0, 36, 1.8),
        "modern road": (300.0, 200.0, 200.0, 80.0, 50.0, 50.0, 24, 1.8),
        "tandem": (300.0, 200.0, 200.0, 80.0, 50.0, 70.0, 40, 2.0),
    }[name]
    return wheel(
        radius_mm=radius,
        ei1_nm2=ei1,
        ei2_nm2=ei2,
        gj_nm2=gj,
        ea_n=6.9e6,
        hub_circle_mm=hub,
        flanges_mm=(width / 2.0, width / 2.0),
        count=count,
        spoke_area_mm2=pi / 4.0 * diameter**2,
        modulus_gpa=200.0,
        tight_side_n=tight_side_n,
    )


def dished_wheel(tight_side_n: float | None = None) -> WheelSpec:
    """A dished, twice crossed rear wheel of 28 spokes [own reference case, inputs stated with it]."""
    return wheel(
        radius_mm=300.0,
        ei1_nm2=274.0,
        ei2_nm2=231.0,
        gj_nm2=103.6,
        ea_n=69e3 * 89.0,
        hub_circle_mm=45.0,
        flanges_mm=(35.0, 18.0),
        count=28,
        spoke_area_mm2=pi / 4.0 * 1.8**2,
        modulus_gpa=193.0,
        crossings=2,
        tight_side_n=tight_side_n,
    )
