"""The structure of a wheel given as bare dimensions: laced, balanced and solved in one call."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

import numpy as np

from buildsheet.errors import CannotCompute
from buildsheet.wheel.lacing import lace
from buildsheet.wheel.length import axial_stiffness_n
from buildsheet.wheel.spec import Lacing, RimSpec, Sides, WheelSpec
from buildsheet.wheel.structure.answer import (
    StructureAnswer,
    StructureFigures,
    solve_layout,
)
from buildsheet.wheel.structure.arc import RimSection
from buildsheet.wheel.structure.layout import Layout
from buildsheet.wheel.tension import balance
from buildsheet.wheel.vectors import spoke_vectors

_NMM2_PER_NM2 = 1e6


@lru_cache(maxsize=512)
def solve(spec: WheelSpec) -> StructureAnswer:
    """The whole structural answer for one wheel; the same wheel again costs a look-up.

    Raises CannotLace, CannotCompute (rim without structural figures, wheel that does not stand) and
    BucklesFirst (planned tension above the buckling tension).
    """
    return solve_layout(planned_layout(spec))


def planned_layout(spec: WheelSpec) -> Layout:
    """The wheel laced and at its planned tension, as plain arrays. Raises CannotLace, CannotCompute."""
    lacing = lace(spec)
    return layout_of(spec, lacing, balance(spec, lacing.hub_turn_rad).tension_n)


def figures(spec: WheelSpec) -> StructureFigures | None:
    """The figures that a plan carries; None where the rim's structural figures are not all known.

    Raises as `solve`.
    """
    if not has_section(spec.rim):
        return None
    return solve(spec).figures


def has_section(rim: RimSpec) -> bool:
    """Whether every structural figure of the rim is known."""
    return None not in (
        rim.section_radius_mm,
        rim.axial_stiffness_n,
        rim.radial_bending_nm2,
        rim.lateral_bending_nm2,
        rim.torsion_nm2,
    )


def layout_of(spec: WheelSpec, lacing: Lacing, tensions_n: Sides[float]) -> Layout:
    """A laced wheel with these mean tensions as plain arrays.

    Both sides at 0 gives a wheel without prestress; its buckling tension is then that of sides in
    balance. Raises CannotCompute where a structural figure of the rim is missing.
    """
    section = section_of(spec.rim)
    vectors = spoke_vectors(spec, lacing)
    share = tensions_n
    if share.left <= 0.0 and share.right <= 0.0:
        share = _in_balance(spec, lacing)
    planned = np.where(vectors.right, tensions_n.right, tensions_n.left)
    pattern = np.where(vectors.right, share.right, share.left)
    stiffness = np.where(
        vectors.right, axial_stiffness_n(spec.spokes.right), axial_stiffness_n(spec.spokes.left)
    )
    return Layout(
        section=section,
        arm_mm=section.radius_mm - spec.rim.erd_mm / 2.0,
        side_arm_mm=spec.rim.bed_offset_mm,
        rim_angle_rad=vectors.rim_angle_rad,
        direction=vectors.local * np.array([1.0, -1.0, 1.0]),
        length_mm=vectors.length_mm,
        axial_n=stiffness,
        pattern=pattern / pattern.mean(),
        mean_tension_n=float(planned.mean()),
    )


def section_of(rim: RimSpec) -> RimSection:
    """The rim's section in N and mm. Raises CannotCompute where a figure is missing or not positive."""
    named = {
        "section_radius_mm": rim.section_radius_mm,
        "axial_stiffness_n": rim.axial_stiffness_n,
        "radial_bending_nm2": rim.radial_bending_nm2,
        "lateral_bending_nm2": rim.lateral_bending_nm2,
        "torsion_nm2": rim.torsion_nm2,
    }
    known = {name: value for name, value in named.items() if value is not None and value > 0.0}
    if len(known) < len(named):
        missing = ", ".join(name for name in named if name not in known)
        raise CannotCompute(f"the structure needs positive figures of the rim: {missing} missing")
    return RimSection(
        radius_mm=known["section_radius_mm"],
        axial_n=known["axial_stiffness_n"],
        radial_bending_nmm2=known["radial_bending_nm2"] * _NMM2_PER_NM2,
        lateral_bending_nmm2=known["lateral_bending_nm2"] * _NMM2_PER_NM2,
        torsion_nmm2=known["torsion_nm2"] * _NMM2_PER_NM2,
    )


def _in_balance(spec: WheelSpec, lacing: Lacing) -> Sides[float]:
    return balance(replace(spec, tight_side_n=1.0), lacing.hub_turn_rad).tension_n
