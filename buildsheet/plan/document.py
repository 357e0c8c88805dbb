"""The plan as the JSON document of the interfaces, member by member, with full precision."""

from __future__ import annotations

from dataclasses import asdict
from typing import cast

from buildsheet.findings import Value
from buildsheet.plan.plan import Pick, Plan, SpokePlan
from buildsheet.wheel.spec import SIDES


def plan_document(plan: Plan) -> dict[str, Value]:
    """Every member that interfaces name, then our additions."""
    tension = asdict(plan.tension)
    structure = asdict(plan.structure) if plan.structure else None
    return {
        "position": plan.position,
        "edition": plan.edition,
        "fingerprint": plan.fingerprint,
        "rim": plan.rim,
        "hub": plan.hub,
        "holes": plan.holes,
        "nipple": plan.nipple,
        "nipple_colour": plan.nipple_colour,
        "washer": plan.washer,
        "driver": plan.driver,
        "end_caps": plan.end_caps,
        "erd_mm": plan.erd_mm,
        "bed_offset_mm": plan.bed_offset_mm,
        "orientation": plan.orientation,
        "mass_g": plan.mass_g,
        "spokes": {
            "left": _spokes(plan.spokes.left),
            "right": _spokes(plan.spokes.right),
        },
        "tension": cast("dict[str, Value]", tension),
        "pitch": _pitch(plan),
        "valve_gap": plan.valve_gap,
        "lacing": [
            {
                "hole": spoke.hole,
                "side": spoke.side,
                "hub_hole": spoke.hub_hole,
                "run": spoke.run,
                "head": spoke.head,
                "interlace": spoke.interlace,
            }
            for spoke in plan.lacing
        ],
        "drilling_program": plan.drilling.program,
        "largest_misalignment_deg": plan.drilling.largest_misalignment_deg,
        "drilling": [
            {
                "hole": angle.hole,
                "side": angle.side,
                "lateral_deg": angle.lateral_deg,
                "in_plane_deg": angle.in_plane_deg,
            }
            for angle in plan.drilling.holes
        ],
        "structure": cast("dict[str, Value] | None", structure),
        "pick": [_pick(each) for each in plan.pick],
    }


def _pitch(plan: Plan) -> dict[str, Value]:
    """Both sides' pitch: the ideal string, and the same spoke stiff with its ends clamped. A crossed
    spoke rings between the two, so the figures compare spokes and never measure one."""
    document: dict[str, Value] = {
        "left_hz": plan.pitch.left.ideal_hz,
        "right_hz": plan.pitch.right.ideal_hz,
    }
    for side in SIDES:
        pitch = plan.pitch[side]
        document[f"{side}_note"] = f"{pitch.note.name} {pitch.note.cents:+.0f} cents"
        document[f"{side}_clamped_hz"] = pitch.clamped_hz
    document["assumes"] = "full length swings; ideal string, or stiff with both ends clamped"
    document["use"] = "relative cross-check within one side only"
    return document


def _spokes(spokes: SpokePlan) -> dict[str, Value]:
    document = cast("dict[str, Value]", asdict(spokes))
    document["window_mm"] = list(spokes.window_mm)
    return document


def _pick(pick: Pick) -> dict[str, Value]:
    line: dict[str, Value] = {"part": pick.part, "name": pick.name, "count": pick.count}
    if pick.spare:
        line["spare"] = pick.spare
    return line
