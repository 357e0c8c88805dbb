"""The figures of a read wheel file, in the form that the interfaces fix, with additions."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any, cast

from buildsheet.errors import CannotCompute
from buildsheet.findings import Finding, Value, in_stable_order, pointer
from buildsheet.plan.wheel_file.codes import found
from buildsheet.plan.wheel_file.document import WheelFile
from buildsheet.plan.wheel_file.remarks import remarks
from buildsheet.wheel.mechanics import solve
from buildsheet.wheel.spec import SIDES, Mechanics, Side
from buildsheet.wheel.structure import BucklesFirst, StructureAnswer, has_section
from buildsheet.wheel.structure import solve as solve_structure

_FIGURES = (
    "radial_stiffness_n_per_mm",
    "lateral_stiffness_n_per_mm",
    "torsional_stiffness_n_per_mm",
    "buckling_tension_n",
    "buckling_mode",
    "slack_load_n",
    "slack_side_load_n",
)


def answer(file: WheelFile) -> dict[str, Value]:
    """Everything about the wheel of a file that `read` accepted; structural members are null where the
    structure cannot be computed, and a finding says why. Full precision: nothing is rounded."""
    mechanics = solve(file.spec())
    findings: list[Finding] = []
    structure = _structure(file, findings)
    document: dict[str, Value] = {
        "sides": {side: _side(mechanics, side) for side in SIDES},
        "ratio": mechanics.ratio,
        "tight_side": mechanics.tight_side,
    }
    figures = asdict(structure.figures) if structure else dict.fromkeys(_FIGURES)
    buckles = next((each for each in findings if each.code == "tension.buckling"), None)
    if buckles:
        figures["buckling_tension_n"] = buckles.have["buckling_tension_n"]
        figures["buckling_mode"] = buckles.have["buckling_mode"]
    document.update(figures)
    document["drilling"] = [_row(each) for each in mechanics.drilling]
    document["lacing"] = [_row(each) for each in mechanics.lacing.spokes]
    document["hub_turn_rad"] = mechanics.lacing.hub_turn_rad
    document["valve_gap"] = mechanics.lacing.valve_gap
    document["loads"] = _loads(file, structure, findings)
    if structure:
        document.update(_asked_for(file, structure))
    findings.extend(remarks(file, mechanics, structure))
    document["findings"] = [each.as_json() for each in in_stable_order(findings)]
    return document


def _structure(file: WheelFile, findings: list[Finding]) -> StructureAnswer | None:
    spec = file.spec()
    if not has_section(spec.rim):
        missing: list[Value] = [
            name
            for name in (
                "section_radius_mm",
                "axial_stiffness_n",
                "radial_bending_nm2",
                "lateral_bending_nm2",
                "torsion_nm2",
            )
            if getattr(spec.rim, name) is None
        ]
        says = f"No structure is computed: the rim lacks {', '.join(map(str, missing))}."
        findings.append(found("data.no-structure", "note", "/rim", says, need={"members": missing}))
        return None
    try:
        return solve_structure(spec)
    except BucklesFirst as refusal:
        says = f"{str(refusal)[:1].upper()}{str(refusal)[1:]}."
        have: dict[str, Value] = {
            "mean_tension_n": refusal.mean_tension_n,
            "buckling_tension_n": refusal.limit.tension_n,
            "buckling_mode": refusal.limit.mode,
        }
        at = "/tension/tight_side_n"
        findings.append(found("tension.buckling", "block", at, says, have=have))
    except CannotCompute as refusal:
        says = f"No structure is computed: {refusal}."
        findings.append(found("data.cannot-compute", "caution", "/rim", says))
    return None


def _side(mechanics: Mechanics, side: Side) -> dict[str, Value]:
    return cast("dict[str, Value]", asdict(mechanics.sides[side]))


def _row(place: Any) -> Value:
    return cast("Value", asdict(place))


def _loads(
    file: WheelFile, structure: StructureAnswer | None, findings: list[Finding]
) -> list[Value]:
    answered: list[Value] = []
    for place, load in enumerate(file.loads):
        at = pointer("loads", place)
        row: dict[str, Value] = {"name": load.name, "at_hole": load.at_hole}
        row["displacements"], row["spoke_changes_n"] = [], []
        answered.append(row)
        if structure is None:
            continue
        try:
            response = structure.under([load.as_load()])
        except CannotCompute as refusal:
            says = f"Load {load.name!r} cannot be answered: {refusal}."
            findings.append(found("data.cannot-compute", "caution", at, says))
            continue
        columns = zip(
            response.radial_mm.tolist(),
            response.lateral_mm.tolist(),
            response.tangential_mm.tolist(),
            strict=True,
        )
        row["displacements"] = [
            {"hole": hole, "radial_mm": radial, "lateral_mm": lateral, "tangential_mm": along}
            for hole, (radial, lateral, along) in enumerate(columns, start=1)
        ]
        row["spoke_changes_n"] = response.spoke_change_n.tolist()
        left = structure.tension_n + response.spoke_change_n
        if structure.layout.mean_tension_n and left.min() < 0.0:
            spoke = int(left.argmin()) + 1
            says = f"Load {load.name!r} takes the last tension from the spoke of hole {spoke}."
            findings.append(
                found("load.slack", "caution", at, says, have={"tension_n": float(left.min())})
            )
    return answered


def _asked_for(file: WheelFile, structure: StructureAnswer) -> dict[str, Value]:
    """Answers to what the file asks beyond loads."""
    more: dict[str, Value] = {}
    tyre = file.tyre
    if tyre and tyre.squeeze_n_per_mm is not None:
        left = structure.left_at_inflation_n(tyre.squeeze_n_per_mm)
        more["inflated_tension_n"] = left.tolist()
    elif tyre and tyre.hoop_n is not None:
        more["inflated_tension_n"] = structure.left_under_hoop_force_n(tyre.hoop_n).tolist()
    if file.nipple_turns:
        turned = structure.influence()
        more["nipple_turns"] = {
            "tension_n": turned.tension_n.tolist(),
            "lateral_mm": turned.lateral_mm.tolist(),
            "radial_mm": turned.radial_mm.tolist(),
        }
    return more
