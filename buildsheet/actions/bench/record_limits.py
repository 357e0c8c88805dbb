"""What the rider of a wheel must keep to: the lowest maker's limit of everything in it counts."""

from __future__ import annotations

from functools import reduce

from buildsheet.actions.bench.view import BenchView
from buildsheet.bench.record import NOT_RECORDED
from buildsheet.catalog.house import TyreHouse
from buildsheet.catalog.parts import Rim
from buildsheet.findings import Value
from buildsheet.orders.checks.tyre import limit_bar
from buildsheet.wheel.spec import SIDES


def limits_of(view: BenchView) -> dict[str, Value]:
    """Mass, use, pressure by tyre width and tyre range; what no maker said stands as not recorded."""
    rim = view.stand.rim
    lowest_kg, classes = _system_kg(view), _classes(view)
    house = view.edition.house.tyre
    narrowest_mm = _narrowest_mm(rim, house)
    return {
        "system_mass_kg": NOT_RECORDED if lowest_kg is None else lowest_kg,
        "use_classes": NOT_RECORDED if classes is None else [*sorted(classes)],
        "pressure": _pressure(rim, house),
        "tyre_min_mm": NOT_RECORDED if narrowest_mm is None else narrowest_mm,
        "tyre_max_mm": NOT_RECORDED if rim.tyre_max_mm is None else rim.tyre_max_mm,
        "bead_seat_mm": rim.bead_seat_mm,
        "bead": rim.bead,
        "brake": rim.brake,
    }


def _system_kg(view: BenchView) -> float | None:
    """Rider, bicycle and luggage together, by the part that bears least; None where none says."""
    rim, plan, edition = view.stand.rim, view.plan, view.edition
    row = next((each for each in rim.system_limits or () if each.holes == plan.holes), None)
    front = view.wheel.stored.position == "front"
    limit_kg = None if row is None else (row.front_kg if front else row.rear_kg)
    # A part without its limit lets no order in, so those that are there are all.
    limits_kg = (
        limit_kg,
        edition.hubs[plan.hub].system_limit_kg,
        edition.nipples[plan.nipple].system_limit_kg,
        *(edition.spokes[plan.spokes[side].type].system_limit_kg for side in SIDES),
    )
    return min((each for each in limits_kg if each is not None), default=None)


def _classes(view: BenchView) -> frozenset[int] | None:
    """The classes of use that every part is released for; None where no part says."""
    plan, edition = view.plan, view.edition
    released = (
        view.stand.rim.use_classes,
        edition.hubs[plan.hub].use_classes,
        edition.nipples[plan.nipple].use_classes,
        *(edition.spokes[plan.spokes[side].type].use_classes for side in SIDES),
    )
    said = [frozenset(each) for each in released if each is not None]
    return reduce(frozenset.__and__, said) if said else None


def _pressure(rim: Rim, house: TyreHouse) -> list[Value]:
    """The highest pressure by tyre width, as orders are judged; less with a tube where hooks lack."""
    return [
        {
            "from_tyre_mm": tyre_mm,
            "limit_bar": _limit_bar(rim, tyre_mm, house, tube=False),
            "with_tube_bar": _limit_bar(rim, tyre_mm, house, tube=True),
        }
        for tyre_mm in sorted(each.tyre_mm for each in rim.pressure_limits or ())
    ]


def _limit_bar(rim: Rim, tyre_mm: float, house: TyreHouse, *, tube: bool) -> float | None:
    return limit_bar(
        rim,
        tyre_mm,
        tube=tube,
        cap_bar=house.hookless_cap_bar,
        tube_cap_bar=house.tube_on_hookless_bar,
    )


def _narrowest_mm(rim: Rim, house: TyreHouse) -> float | None:
    """The narrowest tyre: the maker's figure, and on a rim without hooks never less than the house's."""
    if rim.tyre_min_mm is None or rim.bead != "hookless":
        return rim.tyre_min_mm
    return max(rim.tyre_min_mm, rim.inner_width_mm + house.hookless_tyre_over_rim_mm)
