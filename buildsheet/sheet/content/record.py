"""The record side in words: what was computed, and the empty place for what was measured."""

from __future__ import annotations

from buildsheet.catalog.edition import Edition
from buildsheet.plan.plan import Plan
from buildsheet.sheet.content.rounding import hundredths, percent, tenths, whole
from buildsheet.sheet.content.says import Named, PickSays, RecordSays
from buildsheet.sheet.content.wheel import spare_spokes
from buildsheet.sheet.content.words import BOXES
from buildsheet.sheet.request import SheetRequest
from buildsheet.wheel.spec import Side, Sides


def record_says(request: SheetRequest, pick: tuple[PickSays, ...]) -> RecordSays:
    """The record side."""
    plan = request.plan
    return RecordSays(
        sides=Sides(left=_holes(plan, "left"), right=_holes(plan, "right")),
        measured=_measured(plan, request.edition),
        serials=(
            "Rim serial",
            "Hub serial",
            "Spokes LEFT batch",
            "Spokes RIGHT batch",
            "Nipples batch",
            "Gauge",
            "Gauge table",
            "Builder",
        ),
        boxes=BOXES,
        finish=_finish(request, pick),
    )


def _holes(plan: Plan, side: Side) -> tuple[str, ...]:
    return tuple(str(spoke.hole) for spoke in plan.lacing if spoke.side == side)


def _measured(plan: Plan, edition: Edition) -> tuple[Named, ...]:
    sheet = edition.house.sheet
    share = sheet.wheel_mass_percent
    return (
        Named("Lateral", f"≤ {hundredths(sheet.lateral_mm)} mm", "full reading"),
        Named("Radial", f"≤ {hundredths(sheet.radial_mm)} mm", "full reading"),
        Named(
            "Radial at joint, valve", f"≤ {hundredths(sheet.radial_joint_mm)} mm", "full reading"
        ),
        Named("Rim mass", f"{whole(plan.rim_mass_g)} g", ""),
        Named("Wheel mass", f"{whole(plan.mass_g)} g", f"± {percent(share)} %"),
        Named("Ratio", hundredths(plan.tension.ratio), "slack ÷ tight"),
        Named("ERD", f"{tenths(plan.erd_mm)} mm", f"± {tenths(sheet.erd_tolerance_mm)}"),
        Named("Dish", f"≤ {hundredths(sheet.dish_offset_mm)} mm", "rim offset"),
    )


def _finish(request: SheetRequest, pick: tuple[PickSays, ...]) -> tuple[str, ...]:
    plan, decals = request.plan, request.decals
    lines: list[str] = []
    if decals:
        codes = f": LEFT {decals.left}, RIGHT {decals.right}" if decals.left else ""
        lines.append(f"Decals {decals.colour}{codes}")
    spares = [*spare_spokes(plan)]
    spares.extend(line.spare for line in pick if line.spare)
    if spares:
        lines.append("Spares in the bag: " + ", ".join(spares))
    lines.append(f"Label: {request.serial}")
    return tuple(lines)
