"""What the wheel weighs and what to take from the shelves."""

from __future__ import annotations

from buildsheet.catalog.house import PairHouse
from buildsheet.plan.assembly import Assembly, side_counts
from buildsheet.plan.lengths import StockChoice
from buildsheet.plan.plan import Pick
from buildsheet.wheel.spec import SIDES, Sides

REFERENCE_LENGTH_MM = 264.0
"""Spoke masses in the catalog are given for this length and scaled in proportion."""


def mass_g(assembly: Assembly, stock: Sides[StockChoice]) -> float:
    """Mass of the finished wheel: rim, hub, spokes at their length, nipples, washers.

    A hub's mass includes its driver body and end caps. A side without a stock length counts its
    target length.
    """
    counts = side_counts(assembly)
    spokes_g = sum(
        counts[side]
        * assembly.spokes[side].mass_at_264_g
        * (stock[side].stock_mm or stock[side].target_mm)
        / REFERENCE_LENGTH_MM
        for side in SIDES
    )
    washer_g = assembly.washer.mass_g if assembly.washer else 0.0
    small_g = assembly.holes * (assembly.nipple.mass_g + washer_g)
    return assembly.rim.mass_g + assembly.hub.mass_g + spokes_g + small_g


def pick_list(
    assembly: Assembly,
    stock: Sides[StockChoice],
    end_caps: str | None,
    decals: tuple[str, ...],
    house: PairHouse,
) -> tuple[Pick, ...]:
    """Every part with its count, in the order of the shelves: rim, hub, ends, spokes, nipples, decals.

    Spares for the rider: some of each spoke length, some nipples. A side without a stock length has
    no line (the order is blocked by then).
    """
    holes = assembly.holes
    picks = [
        Pick(f"{assembly.rim.code}/{holes}", assembly.rim.name, 1),
        Pick(f"{assembly.hub.code}/{holes}", assembly.hub.name, 1),
    ]
    if assembly.driver:
        picks.append(Pick(assembly.driver.code, assembly.driver.name, 1))
    if end_caps:
        picks.append(Pick(end_caps, "end caps", 1))
    picks.extend(_spoke_picks(assembly, stock, house))
    nipple = f"{assembly.nipple.code}/{assembly.nipple_colour}"
    picks.append(Pick(nipple, assembly.nipple.name, holes, house.spare_nipples))
    if assembly.washer:
        picks.append(Pick(assembly.washer.code, assembly.washer.name, holes))
    picks.extend(Pick(decal, "decal set", 1) for decal in decals)
    return tuple(picks)


def _spoke_picks(assembly: Assembly, stock: Sides[StockChoice], house: PairHouse) -> list[Pick]:
    counts = side_counts(assembly)
    lines: dict[str, Pick] = {}
    for side in SIDES:
        spoke, length_mm = assembly.spokes[side], stock[side].stock_mm
        if length_mm is None:
            continue
        part = f"{spoke.code}/{length_mm}"
        before = lines[part].count if part in lines else 0
        lines[part] = Pick(part, spoke.name, before + counts[side], house.spares_per_length)
    return list(lines.values())
