"""Target and stop value of spoke tension: the lowest maker's limit counts, less the house's share."""

from __future__ import annotations

from dataclasses import dataclass

from buildsheet.catalog.house import TensionHouse
from buildsheet.errors import CannotCompute
from buildsheet.plan.assembly import Assembly
from buildsheet.plan.plan import TensionPlan
from buildsheet.units import down_to_step
from buildsheet.wheel.spec import Mechanics


class UnknownLimit(CannotCompute):
    """A part does not say how much spoke tension it carries, so no tension can be planned."""

    def __init__(self, part: str, attribute: str) -> None:
        super().__init__(
            f"{part} does not say its {attribute}; no tension can be planned without it."
        )
        self.part = part
        self.attribute = attribute


@dataclass(frozen=True, slots=True)
class TensionLimit:
    """The limit that decides, and whose it is."""

    limit_n: float
    part: str
    kind: str


def limits(assembly: Assembly) -> tuple[TensionLimit, ...]:
    """Every maker's limit on one spoke of this wheel, the lowest first.

    A radial flange has a limit of its own where the hub's maker gives one; beside a crossed flange
    the lower of both counts. Raises `UnknownLimit` where a part is silent: silence is not permission.
    """
    hub = assembly.hub
    found = [
        _known(assembly.rim.spoke_limit_n, assembly.rim.code, "rim"),
        *(_known(each, hub.code, "hub") for each in _hub_limits_n(assembly)),
        _known(assembly.spokes.left.spoke_limit_n, assembly.spokes.left.code, "spoke"),
        _known(assembly.spokes.right.spoke_limit_n, assembly.spokes.right.code, "spoke"),
    ]
    return tuple(sorted(found, key=lambda each: each.limit_n))


def _hub_limits_n(assembly: Assembly) -> tuple[float | None, ...]:
    hub = assembly.hub
    if not assembly.any_radial or hub.radial_spoke_limit_n is None:
        return (hub.spoke_limit_n,)
    if assembly.radial:
        return (hub.radial_spoke_limit_n,)
    return hub.spoke_limit_n, hub.radial_spoke_limit_n


def _known(limit_n: float | None, part: str, kind: str) -> TensionLimit:
    if limit_n is None:
        raise UnknownLimit(part, "spoke_limit_n")
    return TensionLimit(limit_n=limit_n, part=part, kind=kind)


def target_n(lowest: TensionLimit, house: TensionHouse) -> float:
    """The mean tension of the tight side: a share of the lowest limit, so that no single spoke of a
    well built wheel comes near it."""
    return lowest.limit_n * house.limit_share


def stop_n(lowest: TensionLimit, house: TensionHouse) -> float:
    """The reading above which nobody turns a nipple: the limit less the gauge's error, rounded down
    so that paper and program say the same."""
    return down_to_step(lowest.limit_n * (1.0 - house.gauge_error), house.stop_step_n)


def tension_plan(mechanics: Mechanics, lowest: TensionLimit, house: TensionHouse) -> TensionPlan:
    """What the builder aims at, per side, and what set it."""
    return TensionPlan(
        left_n=mechanics.sides.left.tension_n,
        right_n=mechanics.sides.right.tension_n,
        stop_n=stop_n(lowest, house),
        band_percent=house.band_percent,
        ratio=mechanics.ratio,
        set_by=f"{lowest.kind} {lowest.part}: {lowest.limit_n:.0f} N x {house.limit_share:g}",
        tight_side=mechanics.tight_side,
    )
