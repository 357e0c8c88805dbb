"""From the parts of a wheel to its whole plan.

`compute` answers what checks need (geometry, stock lengths, tension, drilling, mass) and is cheap;
`structure_figures` answers what the wheel carries and costs more; `build` joins both into the plan.
All three remember their answers: the same wheel of the same edition is computed once.
"""

from __future__ import annotations

import json
from dataclasses import dataclass, replace
from functools import lru_cache
from hashlib import sha256

from buildsheet.catalog.edition import Edition
from buildsheet.catalog.house import LacingHouse, LengthHouse, TensionHouse
from buildsheet.catalog.parts import DrillingProgram
from buildsheet.errors import CannotCompute
from buildsheet.plan.assembly import Assembly, feature, wheel_spec
from buildsheet.plan.lengths import StockChoice, choose
from buildsheet.plan.picking import mass_g, pick_list
from buildsheet.plan.plan import DrillingPlan, Pick, Plan, SpokePlan, StructurePlan, TensionPlan
from buildsheet.plan.programs import drilling_plan, serving
from buildsheet.plan.tension import limits, target_n, tension_plan
from buildsheet.wheel import mechanics
from buildsheet.wheel.pitch import SpokePitch, spoke_pitch
from buildsheet.wheel.spec import SIDES, Mechanics, Side, Sides, WheelSpec

REMEMBERED_WHEELS = 4096


@dataclass(frozen=True, slots=True)
class Computed:
    """What the checks judge: one wheel's geometry, lengths, tension, drilling and mass."""

    assembly: Assembly
    spec: WheelSpec
    mechanics: Mechanics
    stock: Sides[StockChoice]
    tension: TensionPlan
    drilling: DrillingPlan
    mass_g: float


def compute(assembly: Assembly, edition: Edition) -> Computed:
    """Geometry, stock lengths, tension, drilling and mass of one wheel.

    Raises CannotLace where no pattern joins hub and rim, CannotCompute where a figure lies outside
    the formulas, UnknownLimit (a CannotCompute) where a part does not say its spoke limit.
    """
    house = edition.house
    programs = serving(assembly, edition.programs.values())
    return _compute(assembly, house.lacing, house.length, house.tension, programs)


@lru_cache(maxsize=REMEMBERED_WHEELS)
def _compute(
    assembly: Assembly,
    lacing: LacingHouse,
    length: LengthHouse,
    tension: TensionHouse,
    programs: tuple[DrillingProgram, ...],
) -> Computed:
    lowest = limits(assembly)[0]
    spec = wheel_spec(assembly, lacing.radial_heads, target_n(lowest, tension))
    solved, drilling = _solved(spec, assembly.drilling, programs)
    targets_mm = Sides(left=solved.sides.left.target_mm, right=solved.sides.right.target_mm)
    stock = choose(targets_mm, assembly.spokes, assembly.nipple, length)
    return Computed(
        assembly=assembly,
        spec=spec,
        mechanics=solved,
        stock=stock,
        tension=tension_plan(solved, lowest, tension),
        drilling=drilling,
        mass_g=mass_g(assembly, stock),
    )


@lru_cache(maxsize=REMEMBERED_WHEELS)
def _solved(
    spec: WheelSpec, drilling: str, programs: tuple[DrillingProgram, ...]
) -> tuple[Mechanics, DrillingPlan]:
    """The bare wheel and its drilling: the same for wheels whose nipples end at one height."""
    solved = mechanics.solve(spec)
    return solved, drilling_plan(drilling, solved, programs)


def structure_figures(computed: Computed) -> StructurePlan | None:
    """Stiffness, buckling tension and slack loads; None where the rim's section is unknown.

    Raises BucklesFirst (a CannotCompute) where the planned tension is more than the rim stands.
    """
    # scipy is slow to import: only a call that needs the structure pays for it.
    from buildsheet.wheel import structure

    figures = structure.figures(computed.spec)
    if figures is None:
        return None
    return StructurePlan(
        radial_stiffness_n_per_mm=figures.radial_stiffness_n_per_mm,
        lateral_stiffness_n_per_mm=figures.lateral_stiffness_n_per_mm,
        torsional_stiffness_n_per_mm=figures.torsional_stiffness_n_per_mm,
        buckling_tension_n=figures.buckling_tension_n,
        buckling_mode=figures.buckling_mode,
        slack_load_n=figures.slack_load_n,
        slack_side_load_n=figures.slack_side_load_n,
    )


def build(
    assembly: Assembly,
    edition: Edition,
    *,
    decals: tuple[str, ...] = (),
    with_structure: bool = True,
) -> Plan:
    """The whole plan of one wheel. ``decals`` are the decal set codes that go on it.

    A wheel that buckles under its own planned tension has a plan without structure; a check blocks
    it. Raises as `compute` does.
    """
    # The fingerprint speaks of the edition, so here its digest is part of what a plan is made of.
    made_of = (assembly, edition.digest, decals, with_structure)
    known = _built.get(made_of)
    if known is None:
        known = _build(assembly, edition, decals=decals, with_structure=with_structure)
        if len(_built) >= REMEMBERED_WHEELS:
            _built.clear()
        _built[made_of] = known
    return known


_built: dict[tuple[Assembly, str, tuple[str, ...], bool], Plan] = {}


def _build(
    assembly: Assembly, edition: Edition, *, decals: tuple[str, ...], with_structure: bool
) -> Plan:
    computed = compute(assembly, edition)
    solved = computed.mechanics
    end_caps = _end_caps(assembly, edition)
    plan = Plan(
        position=assembly.position,
        edition=edition.number,
        fingerprint="",
        rim=assembly.rim.code,
        hub=assembly.hub.code,
        holes=assembly.holes,
        nipple=assembly.nipple.code,
        nipple_colour=assembly.nipple_colour,
        washer=assembly.washer.code if assembly.washer else None,
        driver=assembly.driver.code if assembly.driver else None,
        end_caps=end_caps,
        erd_mm=assembly.erd_mm,
        bed_offset_mm=assembly.bed_offset_mm,
        orientation=orientation(assembly),
        mass_g=computed.mass_g,
        rim_mass_g=assembly.rim.mass_g,
        spokes=Sides(left=_spokes(computed, "left"), right=_spokes(computed, "right")),
        tension=computed.tension,
        pitch=Sides(left=_pitch(computed, "left"), right=_pitch(computed, "right")),
        lacing=solved.lacing.spokes,
        valve_gap=solved.lacing.valve_gap,
        drilling=computed.drilling,
        structure=_structure_or_none(computed) if with_structure else None,
        pick=pick_list(assembly, computed.stock, end_caps, decals, edition.house.pair),
    )
    return replace(plan, fingerprint=_fingerprint(plan, edition))


def picked(
    assembly: Assembly, edition: Edition, *, decals: tuple[str, ...] = ()
) -> tuple[Pick, ...]:
    """Only what the wheel takes from the shelves, as `build` would list it. Raises as `compute` does."""
    stock = compute(assembly, edition).stock
    return pick_list(assembly, stock, _end_caps(assembly, edition), decals, edition.house.pair)


def _structure_or_none(computed: Computed) -> StructurePlan | None:
    try:
        return structure_figures(computed)
    except CannotCompute:
        return None


def orientation(assembly: Assembly) -> str:
    """Which way round an asymmetric rim goes, in the words of the sheet; '' where it is symmetric."""
    if not assembly.rim.bed_offset_mm:
        return ""
    toward: Side = "left" if assembly.bed_offset_mm < 0 else "right"
    seen = feature(assembly.position, assembly.rim.brake, toward)
    return f"spoke bed toward the {toward.upper()} ({seen})"


def _spokes(computed: Computed, side: Side) -> SpokePlan:
    assembly, solved, stock = (
        computed.assembly,
        computed.mechanics.sides[side],
        computed.stock[side],
    )
    return SpokePlan(
        feature=feature(assembly.position, assembly.rim.brake, side),
        type=assembly.spokes[side].code,
        count=computed.spec.spokes[side].count,
        crossings=computed.spec.spokes[side].crossings,
        exact_mm=solved.exact_mm,
        stretch_mm=solved.stretch_mm,
        rim_shrink_mm=solved.rim_shrink_mm,
        target_mm=solved.target_mm,
        stock_mm=stock.stock_mm,
        error_mm=stock.error_mm,
        window_mm=stock.window_mm,
        angle_deg=solved.angle_deg,
        head_clearance_mm=solved.head_clearance_mm,
        from_centre_mm=solved.from_centre_mm,
    )


def _pitch(computed: Computed, side: Side) -> SpokePitch:
    solved = computed.mechanics.sides[side]
    return spoke_pitch(computed.spec.spokes[side], solved.exact_mm, solved.tension_n)


def _end_caps(assembly: Assembly, edition: Edition) -> str | None:
    for caps in edition.end_caps.values():
        suits = caps.axle == assembly.axle and assembly.hub.code in caps.hubs
        if suits and caps.state == "active":
            return caps.code
    return None


def _fingerprint(plan: Plan, edition: Edition) -> str:
    """A digest over what was asked and what was answered, so that a changed sheet is detected.

    Lengths and forces enter at the precision a workshop can act on: a last binary digit that differs
    between two processors is not another wheel.
    """
    said = {
        "edition": edition.digest,
        "wheel": [plan.position, plan.rim, plan.hub, plan.holes, plan.nipple, plan.nipple_colour],
        "small": [plan.washer, plan.driver, plan.end_caps, [each.part for each in plan.pick]],
        "lengths": [[plan.spokes[side].type, plan.spokes[side].stock_mm] for side in SIDES],
        "targets": [round(plan.spokes[side].target_mm, 2) for side in SIDES],
        "tension": [round(plan.tension.left_n, 1), round(plan.tension.right_n, 1)],
        "stop": plan.tension.stop_n,
        "lacing": [[each.hole, each.hub_hole, each.head] for each in plan.lacing],
    }
    text = json.dumps(said, sort_keys=True, separators=(",", ":"))
    return "sha256:" + sha256(text.encode()).hexdigest()
