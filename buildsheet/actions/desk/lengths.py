"""Which spoke lengths to stock: the plan of an edition beside the shelves, in words other systems read."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from buildsheet.actions.desk.impact_document import drilling_document
from buildsheet.catalog.edition import Edition
from buildsheet.catalog.stock import StockLine
from buildsheet.findings import Value
from buildsheet.sheet.charts import LengthChart, LengthColumn, length_chart_svg
from buildsheet.space.builds import builds_of
from buildsheet.space.drilling import DrillingNeed, drilling_needs
from buildsheet.space.lengths.plan import LengthPlan, TypePlan, length_plan
from buildsheet.space.lengths.shelves import (
    RimAdds,
    Shelf,
    rim_adds,
    share_served,
    shelf,
    windows_by_type,
)
from buildsheet.space.lengths.wanted import free_grids, grids, wanted_in
from buildsheet.space.lengths.windows import WheelWant
from buildsheet.space.remembered import remembered

ORDER_POINT: Final = (
    "wheels in stock x (most pieces that one wheel takes of the length, left and right together "
    "+ spares per length)"
)
WEIGHING: Final = (
    "every buildable wheel counts once: the catalog says nothing about what sells; weigh by orders"
)


@dataclass(frozen=True, slots=True)
class Lengths:
    """The plan of one edition with its shelves and what each rim adds. ``shares`` is, by spoke type, the
    part of all sides (0 to 1) that finds a length on the shelf; None where no shelf is known."""

    edition: Edition
    plan: LengthPlan
    shelves: Mapping[str, Shelf]
    shares: Mapping[str, float] | None
    rims: tuple[RimAdds, ...]
    wheels_in_stock: int
    wants: tuple[WheelWant, ...]

    def chart(self, spoke: str) -> str:
        """The picture of one spoke type. Raises KeyError for a type that no wheel takes."""
        plan, stocked = self.plan.types[spoke], self.shelves[spoke].stocked_mm
        needed: Counter[int] = Counter()
        for want in self.wants:
            for side in want.sides:
                if side.spoke == spoke:
                    needed[round(side.target_mm)] += want.builds
        taken = {each.length_mm: each.sides for each in plan.lengths}
        every = {*needed, *taken, *stocked}
        columns = tuple(
            LengthColumn(each, needed[each], taken.get(each, 0), each in taken, each in stocked)
            for each in range(min(every), max(every) + 1)
        )
        errors = tuple((each.from_mm, each.sides) for each in plan.errors)
        share = None if self.shares is None else self.shares[spoke]
        return length_chart_svg(LengthChart(spoke, plan.sides, columns, errors, share))

    def as_json(self) -> dict[str, Value]:
        """The document of ``GET /catalog/lengths`` and ``catalog lengths --json``."""
        return {
            "edition": self.edition.number,
            "builds": self.plan.builds,
            "unserved_builds": self.plan.unserved,
            "look_alike_builds": self.plan.look_alike,
            "proved": self.plan.proved,
            "order_point": ORDER_POINT,
            "weighing": WEIGHING,
            "types": {spoke: self._type(each) for spoke, each in self.plan.types.items()},
            "rims": [_rim(each) for each in self.rims],
        }

    def _type(self, plan: TypePlan) -> dict[str, Value]:
        seen = self.shelves[plan.spoke]
        lengths: list[Value] = [
            {
                "length_mm": each.length_mm,
                "sides": each.sides,
                "builds": each.builds,
                "alone": each.alone,
                "order_point": self.wheels_in_stock * each.order_point,
                "stocked": each.length_mm in seen.stocked_mm,
            }
            for each in plan.lengths
        ]
        errors: list[Value] = [
            {"from_mm": each.from_mm, "sides": each.sides} for each in plan.errors
        ]
        return {
            "sides": plan.sides,
            "targets": plan.targets,
            "range_mm": list(plan.range_mm),
            "fewest": len(plan.lengths),
            "lengths": lengths,
            "errors": errors,
            "stocked": len(seen.stocked_mm),
            "share_served": None if self.shares is None else self.shares[plan.spoke],
            "missing_mm": list(seen.missing_mm),
            "spare_mm": list(seen.spare_mm),
            "dead_mm": list(seen.dead_mm),
        }


def plan_lengths(
    edition: Edition,
    stock: Sequence[StockLine] | None = None,
    *,
    free: bool = False,
    wheels_in_stock: int = 1,
    progress: Callable[[int, int], None] | None = None,
) -> Lengths:
    """The fewest lengths for every wheel that the edition can build.

    ``stock``: what lies on the shelves; None takes every length that a type is listed with. ``free``
    plans on a grid of 1 mm whatever a type's own step is.
    """
    builds_of(edition, progress=progress)
    wants = wanted_in(edition)
    grid = free_grids(edition) if free else grids(edition)
    plan = _free_plan(edition) if free else _plan(edition)
    windows = windows_by_type(wants, grid)
    stocked = {spoke: _stocked(edition, spoke, stock) for spoke in plan.types}
    planned = {spoke: each.lengths_mm for spoke, each in plan.types.items()}
    return Lengths(
        edition,
        plan,
        {spoke: shelf(spoke, planned[spoke], stocked[spoke], windows[spoke]) for spoke in planned},
        None if stock is None else share_served(wants, grid, stocked),
        tuple(rim_adds(rim, wants, grid, planned) for rim in sorted({each.rim for each in wants})),
        wheels_in_stock,
        wants,
    )


@remembered
def _plan(edition: Edition) -> LengthPlan:
    return _planned(edition, grids(edition))


@remembered
def _free_plan(edition: Edition) -> LengthPlan:
    return _planned(edition, free_grids(edition))


def _planned(edition: Edition, grid: Mapping[str, range]) -> LengthPlan:
    house = edition.house
    return length_plan(wanted_in(edition), grid, house.length, spares=house.pair.spares_per_length)


@remembered
def _all_programs(edition: Edition) -> tuple[DrillingNeed, ...]:
    return drilling_needs(edition, fewest=True)


def plan_programs(edition: Edition, within_deg: float | None = None) -> dict[str, Any]:
    """The drilling programs that every wheel of the edition needs, beside those that there are."""
    needs = (
        _all_programs(edition)
        if within_deg is None
        else drilling_needs(edition, within_deg, fewest=True)
    )
    return {
        "edition": edition.number,
        "within_deg": edition.house.lacing.hole_axis_deg if within_deg is None else within_deg,
        "fewest": sum(each.fewest or 0 for each in needs),
        "made": sum(each.state == "active" for each in edition.programs.values()),
        "proved": all(each.proved for each in needs),
        "drilling": [drilling_document(each) for each in needs],
    }


def _stocked(edition: Edition, spoke: str, stock: Sequence[StockLine] | None) -> tuple[int, ...]:
    if stock is None:
        return tuple(edition.spokes[spoke].lengths_mm)
    return tuple(int(each.variant) for each in stock if each.part == spoke and each.quantity > 0)


def _rim(adds: RimAdds) -> dict[str, Value]:
    return {
        "rim": adds.rim,
        "builds": adds.builds,
        "more": dict(adds.more),
        "only_mm": {spoke: list(each) for spoke, each in adds.only_mm.items()},
    }
