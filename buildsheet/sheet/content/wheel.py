"""The wheel in plain strings: sides, parts, checks, limits."""

from __future__ import annotations

from typing import Final

from buildsheet.catalog.edition import KINDS, Edition
from buildsheet.catalog.parts import Decal
from buildsheet.plan.plan import Pick, Plan, Side
from buildsheet.sheet.content.rounding import (
    NONE,
    TIMES,
    TO,
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
from buildsheet.sheet.request import Decals

KIND_WORDS: Final = {"rims": "rim", "hubs": "hub", "drivers": "driver", "end_caps": "caps"}


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
        computed=f"{tenths(spokes.target_mm)} mm",
        type=spokes.type,
        type_name=kind.name if kind else "",
        tension_n=newtons(mean_n),
        tension_kgf=kilograms_force(mean_n),
        band_n=f"{newtons_up(low_n)}{TO}{newtons_down(high_n)} N",
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


def pick_says(plan: Plan, edition: Edition, decals: Decals | None) -> tuple[PickSays, ...]:
    """Everything to fetch but the spokes, which stand with their sides; both decal sets in one line:
    the record side names them."""
    lines = [_pick(each, edition) for each in plan.pick]
    found = [line for line in lines if line is not None]
    if decals:
        size = next((each.size for each in _decal_sets(decals, edition)), "")
        found.append(PickSays(" ".join(filter(None, ("decals", decals.colour, size)))))
    return tuple(found)


def _decal_sets(decals: Decals, edition: Edition) -> list[Decal]:
    return [edition.decals[code] for code in (decals.left, decals.right) if code in edition.decals]


def _pick(pick: Pick, edition: Edition) -> PickSays | None:
    code, _, more = pick.part.partition("/")
    kind = _kind(code, edition)
    if kind in ("spokes", "decals"):
        return None
    if kind in ("nipples", "washers"):
        return PickSays(
            f"{pick.count} {TIMES} {code} {more}".strip(), _spare(pick, f"{code} {more}")
        )
    said = f"{code} {more}h" if kind in ("rims", "hubs") else code
    return PickSays(f"{KIND_WORDS.get(kind, '')} {said}".strip())


def _spare(pick: Pick, what: str) -> str:
    return f"{pick.spare} {TIMES} {what}".strip() if pick.spare else ""


def _kind(code: str, edition: Edition) -> str:
    for kind in KINDS:
        if code in getattr(edition, kind):
            return kind
    return ""


def spare_spokes(plan: Plan) -> tuple[str, ...]:
    """Spare spokes for the rider's bag, by type and length."""
    codes = {plan.spokes.left.type, plan.spokes.right.type}
    return tuple(
        f"{pick.spare} {TIMES} {pick.part.replace('/', ' ')} mm"
        for pick in plan.pick
        if pick.spare and pick.part.split("/")[0] in codes
    )


def check_says(plan: Plan, edition: Edition) -> tuple[Named, ...]:
    """What to look at before the first spoke."""
    house, rim = edition.house.sheet, edition.rims.get(plan.rim)
    nipple = edition.nipples.get(plan.nipple)
    tolerance = f" ± {whole(rim.mass_tolerance_g)}" if rim else ""
    hidden = nipple is not None and nipple.kind == "hidden"
    key = f"{nipple.key_mm:g} " if nipple is not None and nipple.key_mm is not None else ""
    return (
        Named("ERD", f"{tenths(plan.erd_mm)} ± {tenths(house.erd_tolerance_mm)}"),
        Named("rim", f"{whole(plan.rim_mass_g)}{tolerance} g"),
        Named("hub: no play", ""),
        Named("bags", f"L {plan.spokes.left.count}  R {plan.spokes.right.count}"),
        Named("1st spoke", f"± {tenths(house.first_spoke_mm)}"),
        *((Named("key", f"{key}at tyre"),) if hidden else ()),
    )


def limit_says(plan: Plan, edition: Edition) -> tuple[Named, ...]:
    """The tolerances, each with the way it is read."""
    sheet, tension = edition.house.sheet, edition.house.tension
    slack = "LEFT" if plan.tension.tight_side == "right" else "RIGHT"
    return (
        Named("lateral", f"{hundredths(sheet.lateral_mm)} mm", "full reading"),
        Named("radial", f"{hundredths(sheet.radial_mm)} mm", "full reading"),
        Named("at joint", f"{hundredths(sheet.radial_joint_mm)} mm", "radial, full reading"),
        Named(
            "dish",
            f"{hundredths(sheet.dish_offset_mm)} mm",
            f"offset; gap {hundredths(2.0 * sheet.dish_offset_mm)}",
        ),
        Named(
            "spread",
            f"± {percent(plan.tension.band_percent)} %",
            f"of mean, goal ± {percent(tension.goal_percent)}",
        ),
        Named(
            "ratio",
            f"{hundredths(plan.tension.ratio)} ± {hundredths(tension.ratio_tolerance)}",
            f"{slack} ÷ {plan.tension.tight_side.upper()}",
        ),
    )
