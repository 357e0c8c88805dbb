"""Everything computed for one wheel of one order: the frozen answer of `buildsheet.plan`.

Member names follow the plan document of the interfaces; `buildsheet.plan.document` writes it, with
additions. Numbers keep full precision: rounding belongs to paper and pages.
"""

from __future__ import annotations

from dataclasses import dataclass

from buildsheet.wheel.pitch import SpokePitch
from buildsheet.wheel.spec import Head, HoleAngle, Interlace, LacedSpoke, Run, Side, Sides

__all__ = ["Head", "Interlace", "Run", "Side"]


@dataclass(frozen=True, slots=True)
class SpokePlan:
    """The spokes of one side. ``error_mm`` is stock minus target; the window is around the target.

    ``stock_mm`` is None where no stocked length lies in the window (a block says so).
    """

    feature: str
    type: str
    count: int
    crossings: int | None
    exact_mm: float
    stretch_mm: float
    rim_shrink_mm: float
    target_mm: float
    stock_mm: int | None
    error_mm: float | None
    window_mm: tuple[float, float]
    angle_deg: float
    head_clearance_mm: float | None
    from_centre_mm: float


@dataclass(frozen=True, slots=True)
class TensionPlan:
    """Mean tension per side to finish at, without tyre, and the value no spoke may ever read above."""

    left_n: float
    right_n: float
    stop_n: float
    band_percent: float
    ratio: float
    set_by: str
    tight_side: Side


@dataclass(frozen=True, slots=True)
class DrillingPlan:
    """The rim's drilling program for this wheel and how far the worst spoke lies off its hole's axis.

    ``program`` is None where the catalog has none; then ``largest_misalignment_deg`` is None too.
    """

    program: str | None
    drilling: str
    holes: tuple[HoleAngle, ...]
    largest_misalignment_deg: float | None
    worst_hole: int | None


@dataclass(frozen=True, slots=True)
class StructurePlan:
    """What the wheel carries as a structure (see `buildsheet.wheel.structure`)."""

    radial_stiffness_n_per_mm: float
    lateral_stiffness_n_per_mm: float
    torsional_stiffness_n_per_mm: float
    buckling_tension_n: float
    buckling_mode: int
    slack_load_n: float
    slack_side_load_n: float


@dataclass(frozen=True, slots=True)
class Pick:
    """One line of the pick list. ``spare`` is how many more go in the bag for the rider."""

    part: str
    name: str
    count: int
    spare: int = 0


@dataclass(frozen=True, slots=True)
class Plan:
    """One wheel, computed. ``valve_gap`` is the lacing self-test's word; ``orientation`` is the cue
    for an asymmetric rim ('' for a symmetric one): toward which side the spoke bed lies."""

    position: str
    edition: int
    fingerprint: str
    rim: str
    hub: str
    holes: int
    nipple: str
    nipple_colour: str
    washer: str | None
    driver: str | None
    end_caps: str | None
    erd_mm: float
    bed_offset_mm: float
    orientation: str
    mass_g: float
    rim_mass_g: float
    spokes: Sides[SpokePlan]
    tension: TensionPlan
    pitch: Sides[SpokePitch]
    lacing: tuple[LacedSpoke, ...]
    valve_gap: str
    drilling: DrillingPlan
    structure: StructurePlan | None
    pick: tuple[Pick, ...]
