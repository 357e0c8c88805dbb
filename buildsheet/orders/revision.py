"""What a new revision of an order changes on each wheel: nothing of it, its finish, or the wheel itself.

Both revisions are planned under one edition, so that whatever differs was asked for by the change.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace
from typing import Final, Literal

from buildsheet.orders.document import Order
from buildsheet.plan.plan import Plan

Kind = Literal["paper", "cosmetic", "structural"]

_HARDER: Final[tuple[Kind, ...]] = ("paper", "cosmetic", "structural")
"""From nothing of the wheel to another wheel."""


@dataclass(frozen=True, slots=True)
class WheelChange:
    """What changes on one wheel. ``same_rim``: the rim in hand is the article that is wanted now;
    ``same_drilling``: a rim that is drilled already is drilled as it is wanted now."""

    position: str
    kind: Kind
    same_rim: bool = True
    same_drilling: bool = True


@dataclass(frozen=True, slots=True)
class Revised:
    """What changes on every wheel, by position."""

    wheels: Mapping[str, WheelChange]

    @property
    def kind(self) -> Kind:
        """The hardest change of any wheel."""
        return max((each.kind for each in self.wheels.values()), key=_HARDER.index, default="paper")


def what_changes(
    old: Order,
    new: Order,
    before: Mapping[str, Plan],
    after: Mapping[str, Plan],
    decals: Collection[str],
) -> Revised:
    """The change of every wheel of the old revision; ``decals`` are the codes of decal sets.

    A wheel that has no plan any more is another wheel, with nothing of the old one in it.
    """
    return Revised(
        {
            position: _of_wheel(old, new, plan, after[position], decals)
            if position in after
            else WheelChange(position, "structural", same_rim=False, same_drilling=False)
            for position, plan in before.items()
        }
    )


def _of_wheel(
    old: Order, new: Order, before: Plan, after: Plan, decals: Collection[str]
) -> WheelChange:
    position = before.position
    same_rim = (before.rim, before.holes) == (after.rim, after.holes)
    if _without(before, decals) != _without(after, decals):
        drilled = (before.drilling.program, before.drilling.drilling)
        # A rim without a program was drilled for nobody knows what: it fits no other wheel.
        same_drilling = (
            same_rim
            and before.drilling.program is not None
            and drilled == (after.drilling.program, after.drilling.drilling)
        )
        return WheelChange(position, "structural", same_rim, same_drilling)
    finish = _finish(old, position) != _finish(new, position)
    cosmetic = finish or _decals(before, decals) != _decals(after, decals)
    return WheelChange(position, "cosmetic" if cosmetic else "paper")


def _without(plan: Plan, decals: Collection[str]) -> Plan:
    """The plan without its decals: what is left is the wheel."""
    pick = tuple(each for each in plan.pick if each.part not in decals)
    return replace(plan, fingerprint="", pick=pick)


def _decals(plan: Plan, decals: Collection[str]) -> tuple[str, ...]:
    return tuple(each.part for each in plan.pick if each.part in decals)


def _finish(order: Order, position: str) -> tuple[str, str | None]:
    """Colour and size of the decals as they are asked for at this wheel."""
    finish = order.finish
    own = finish.rear_decal_colour if position == "rear" else None
    return own or finish.decal_colour, finish.decal_size
