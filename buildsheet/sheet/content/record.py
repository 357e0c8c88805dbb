"""The record side in words: what was computed, and the empty place for what was measured."""

from __future__ import annotations

from math import ceil, floor
from typing import Final

from buildsheet.catalog.edition import Edition
from buildsheet.plan.plan import Plan
from buildsheet.sheet.content.rounding import hundredths, tenths, whole
from buildsheet.sheet.content.says import PickSays, Reading, RecordSays
from buildsheet.sheet.content.wheel import spare_spokes
from buildsheet.sheet.content.words import BOXES, CUSTOMER, NOTE_TITLE, VERDICT_MEANS, VERDICTS
from buildsheet.sheet.request import SheetRequest
from buildsheet.wheel.spec import Side, Sides

PUMPED: Final = "tyre.pressure"
"""The one note of the checks that the stand needs: how hard a tyre may be seated on this rim."""


def record_says(request: SheetRequest, pick: tuple[PickSays, ...]) -> RecordSays:
    """The record side. Its verdict is NOT JUDGED until somebody ticks another one."""
    plan = request.plan
    return RecordSays(
        holes=Sides(left=_holes(plan, "left"), right=_holes(plan, "right")),
        readings=_readings(plan, request.edition),
        serials=(
            "rim serial",
            "hub serial",
            "builder",
            "gauge, table",
            "LEFT batch",
            "RIGHT batch",
            "nipple batch",
            "pass 1, 2 at",
        ),
        boxes=BOXES,
        finish=_finish(request, pick),
        verdict="NOT JUDGED",
        verdict_means=VERDICT_MEANS,
        verdicts=VERDICTS,
        asked=_asked(request),
        note_title=NOTE_TITLE,
        customer=CUSTOMER,
    )


def _holes(plan: Plan, side: Side) -> tuple[str, ...]:
    return tuple(str(spoke.hole) for spoke in plan.lacing if spoke.side == side)


def _readings(plan: Plan, edition: Edition) -> tuple[Reading, ...]:
    sheet, rim = edition.house.sheet, edition.rims.get(plan.rim)
    share = sheet.wheel_mass_percent / 100.0
    light_g, heavy_g = ceil(plan.mass_g * (1.0 - share)), floor(plan.mass_g * (1.0 + share))
    rim_tolerance = f" ± {whole(rim.mass_tolerance_g)}" if rim else ""
    left, right = plan.spokes.left.stock_mm, plan.spokes.right.stock_mm
    return (
        Reading(
            "ERD", f"{tenths(plan.erd_mm)} ± {tenths(sheet.erd_tolerance_mm)} mm", ("", "", "", "")
        ),
        Reading("rim mass", f"{whole(plan.rim_mass_g)}{rim_tolerance} g"),
        Reading(
            "first spoke",
            f"{whole(left)} / {whole(right)} ± {tenths(sheet.first_spoke_mm)} mm",
            ("L", "R"),
        ),
        Reading("lateral", f"to {hundredths(sheet.lateral_mm)} mm, full reading"),
        Reading(
            "radial",
            f"to {hundredths(sheet.radial_mm)} mm, full reading",
        ),
        Reading("at joint", f"to {hundredths(sheet.radial_joint_mm)} mm, full reading"),
        Reading(
            "dish",
            f"{hundredths(sheet.dish_offset_mm)} offset, {hundredths(2 * sheet.dish_offset_mm)} gap",
        ),
        Reading("read as", "", (), ("rim offset", "gauge gap", "to LEFT", "to RIGHT")),
        Reading(
            "ratio",
            f"{hundredths(plan.tension.ratio)} ± {hundredths(edition.house.tension.ratio_tolerance)}",
        ),
        Reading("wheel mass", f"{whole(plan.mass_g)} g ({light_g} to {heavy_g})"),
    )


def _asked(request: SheetRequest) -> str:
    signed = request.released
    words = {
        "approval": f"APPROVED by {signed.by}, {signed.on}" if signed else "APPROVAL NEEDED",
        "caution": "CAUTION",
    }
    return "\n".join(
        f"{words[each.severity]}: {each.says} {each.reason}"
        for severity in words
        for each in request.findings
        if each.severity == severity
    )


def _finish(request: SheetRequest, pick: tuple[PickSays, ...]) -> tuple[str, ...]:
    plan, decals = request.plan, request.decals
    lines: list[str] = []
    if decals:
        sets = ", ".join(
            f"{word} {code}"
            for word, code in (("LEFT", decals.left), ("RIGHT", decals.right))
            if code
        )
        lines.append(f"Decals {decals.colour}{': ' if sets else ''}{sets}")
    spares = [*spare_spokes(plan), *(line.spare for line in pick if line.spare)]
    if spares:
        lines.append("Spares in the bag: " + ", ".join(spares))
    lines += [each.says for each in request.findings if each.code == PUMPED]
    return tuple(lines)
