"""The wheel in plain strings: sides, parts, checks, limits."""

from __future__ import annotations

from buildsheet.catalog.edition import KINDS, Edition
from buildsheet.catalog.parts import Part
from buildsheet.plan.plan import Pick, Plan, Side
from buildsheet.sheet.content.rounding import (
    NONE,
    hundredths,
    kilograms_force,
    kilograms_force_down,
    newtons,
    newtons_down,
    newtons_up,
    percent,
    tenths,
    whole,
)
from buildsheet.sheet.content.says import Named, PickSays, SideSays, StopSays
from buildsheet.units import kgf

KIND_WORDS = {
    "rims": "Rim",
    "hubs": "Hub",
    "spokes": "Spokes",
    "nipples": "Nipples",
    "washers": "Washers",
    "drivers": "Driver body",
    "end_caps": "End caps",
    "decals": "Decal set",
}


def side_says(plan: Plan, edition: Edition, side: Side) -> SideSays:
    """One side's count, length, target and band; the band never reaches above STOP."""
    spokes, mean_n = plan.spokes[side], _mean_n(plan, side)
    low_n = mean_n * (1.0 - plan.tension.band_percent / 100.0)
    high_n = min(mean_n * (1.0 + plan.tension.band_percent / 100.0), plan.tension.stop_n)
    kind = edition.spokes.get(spokes.type)
    return SideSays(
        side=side,
        word=side.upper(),
        feature=spokes.feature,
        count=str(spokes.count),
        length=NONE if spokes.stock_mm is None else str(spokes.stock_mm),
        computed=tenths(spokes.target_mm),
        type=spokes.type,
        type_name=kind.name if kind else "",
        tension_n=newtons(mean_n),
        tension_kgf=kilograms_force(mean_n),
        band_n=f"{newtons_up(low_n)} to {newtons_down(high_n)}",
        band_kgf=f"{round(kgf(low_n))} to {kilograms_force_down(high_n)}",
        pitch=whole(plan.pitch_hz[side]),
        from_centre=tenths(spokes.from_centre_mm),
    )


def _mean_n(plan: Plan, side: Side) -> float:
    return plan.tension.left_n if side == "left" else plan.tension.right_n


def stop_says(plan: Plan) -> StopSays:
    """STOP, never rounded up."""
    return StopSays(
        newtons=newtons_down(plan.tension.stop_n),
        kgf=kilograms_force_down(plan.tension.stop_n),
        set_by=plan.tension.set_by,
    )


def pick_says(plan: Plan, edition: Edition) -> tuple[PickSays, ...]:
    """Everything to fetch but the spokes, which stand with their sides."""
    lines = [_pick(each, edition) for each in plan.pick]
    return tuple(line for line in lines if line.kind != "Spokes")


def _pick(pick: Pick, edition: Edition) -> PickSays:
    code, _, more = pick.part.partition("/")
    kind, part = _found(code, edition)
    said = f"{code} {more}h" if kind in ("Rim", "Hub") else " ".join(filter(None, (code, more)))
    return PickSays(
        kind=kind,
        count=str(pick.count),
        code=said,
        name=part.name if part else pick.name,
        spare=f"+ {pick.spare} spare" if pick.spare else "",
    )


def _found(code: str, edition: Edition) -> tuple[str, Part | None]:
    for kind in KINDS:
        part = getattr(edition, kind).get(code)
        if part is not None:
            return KIND_WORDS.get(kind, ""), part
    return "", None


def spare_spokes(plan: Plan) -> tuple[str, ...]:
    """Spare spokes for the rider's bag, by type and length."""
    codes = {plan.spokes.left.type, plan.spokes.right.type}
    return tuple(
        f"{pick.spare} × {pick.part.replace('/', ' ')} mm"
        for pick in plan.pick
        if pick.spare and pick.part.split("/")[0] in codes
    )


def check_says(plan: Plan, edition: Edition) -> tuple[Named, ...]:
    """What to look at before the first spoke."""
    house, rim = edition.house.sheet, edition.rims.get(plan.rim)
    tolerance = f" ± {whole(rim.mass_tolerance_g)}" if rim else ""
    return (
        Named(
            "Rim ERD, 4 readings", f"{tenths(plan.erd_mm)} ± {tenths(house.erd_tolerance_mm)} mm"
        ),
        Named("Rim weighs", f"{whole(plan.rim_mass_g)}{tolerance} g"),
        Named("First spoke of each bag", f"± {tenths(house.first_spoke_mm)} mm"),
        Named("Counted", f"L {plan.spokes.left.count}   R {plan.spokes.right.count}"),
        Named("Hub, caps on", "free, no play"),
    )


def limit_says(plan: Plan, edition: Edition) -> tuple[Named, ...]:
    """The tolerances, each with the way it is read."""
    house, tension = edition.house, edition.house.tension
    sheet = house.sheet
    slack = "LEFT" if plan.tension.tight_side == "right" else "RIGHT"
    tight = plan.tension.tight_side.upper()
    return (
        Named("Lateral", f"{hundredths(sheet.lateral_mm)} mm", "full reading"),
        Named(
            "Radial",
            f"{hundredths(sheet.radial_mm)} mm",
            f"full reading; {hundredths(sheet.radial_joint_mm)} at joint or valve",
        ),
        Named(
            "Dish",
            f"{hundredths(sheet.dish_offset_mm)} mm",
            f"rim offset; gauge gap {hundredths(2.0 * sheet.dish_offset_mm)}",
        ),
        Named(
            "Spread",
            f"± {percent(plan.tension.band_percent)} %",
            f"of the side's mean; goal {percent(tension.goal_percent)} %",
        ),
        Named(
            "Ratio",
            f"{hundredths(plan.tension.ratio)} ± {hundredths(tension.ratio_tolerance)}",
            f"{slack} ÷ {tight}, means",
        ),
        Named(
            "Weight",
            f"{whole(plan.mass_g)} g",
            f"finished wheel ± {percent(house.sheet.wheel_mass_percent)} %",
        ),
    )
