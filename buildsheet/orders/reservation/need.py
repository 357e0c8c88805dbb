"""How many pieces of every part article an order takes, spares included."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from buildsheet.plan.plan import Pick, Plan


@dataclass(frozen=True, slots=True)
class Need:
    """One article, named as pick lists name it. ``spare`` goes in the bag for the rider; ``at`` are the
    places of the order that ask for it, as JSON Pointers."""

    item: str
    build: int
    spare: int
    at: tuple[str, ...]

    @property
    def pieces(self) -> int:
        """What has to be on the shelf."""
        return self.build + self.spare


def pieces(picks: Iterable[Pick]) -> dict[str, int]:
    """Item -> pieces of one pick list, spares included.

    >>> pieces([Pick("SJB9/277", "spoke", 12, 2)])
    {'SJB9/277': 14}
    """
    taken: dict[str, int] = {}
    for pick in picks:
        taken[pick.part] = taken.get(pick.part, 0) + pick.count + pick.spare
    return taken


def needs(plans: Mapping[str, Plan]) -> dict[str, Need]:
    """Item -> what all wheels of the order take of it together."""
    found: dict[str, Need] = {}
    for position in sorted(plans):
        plan = plans[position]
        for pick in plan.pick:
            before = found.get(pick.part, Need(pick.part, 0, 0, ()))
            place = _place(plan, pick.part)
            found[pick.part] = Need(
                pick.part,
                before.build + pick.count,
                before.spare + pick.spare,
                before.at if place in before.at else (*before.at, place),
            )
    return found


def _place(plan: Plan, item: str) -> str:
    """Where the order says that it wants this article."""
    at = f"/{plan.position}"
    code = item.partition("/")[0]
    members = {
        plan.rim: "rim",
        plan.hub: "hub",
        plan.driver: "driver",
        plan.washer: "washer",
    }
    if code in members:
        return f"{at}/{members[code]}"
    if code == plan.nipple:
        return f"{at}/nipple_colour"
    if code == plan.end_caps:
        return f"/use{at}_axle"
    for side in ("left", "right"):
        if f"{plan.spokes[side].type}/{plan.spokes[side].stock_mm}" == item:
            return f"{at}/spoke"
    return "/finish/decal_colour"
