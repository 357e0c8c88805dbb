"""What a move does on the shelves: parts back, parts held anew, rims that are drilled already.

What goes back from a kit is received again with its reason. A rim that was drilled for one wheel goes
back under its program (``OR45D/24/P7``): no order takes it by itself, and whoever looks finds it.
A workshop that keeps no stock has nothing to move.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import datetime
from typing import Final

from buildsheet.actions.moves.sheets import NewSheet
from buildsheet.actions.plan_record import read_back
from buildsheet.actions.stock import holds
from buildsheet.actions.workshop import stamp
from buildsheet.catalog.edition import Edition
from buildsheet.orders.reservation.need import needs, pieces
from buildsheet.orders.reservation.shortage import Shelves
from buildsheet.plan.plan import Pick, Plan
from buildsheet.storage import bench, moves, stock, wheels
from buildsheet.storage.database import Section
from buildsheet.storage.stock import Movement
from buildsheet.storage.wheels import StoredWheel

DECALS_ON: Final = frozenset({"finished", "packed"})
"""States in which the old decals are scrapped and not put back."""


class Short(Exception):
    """Parts are not free: everything in the section is taken back. ``plans`` are what was wanted."""

    def __init__(self, shelves: Shelves, plans: Mapping[str, Plan]) -> None:
        super().__init__("parts are not free")
        self.shelves = shelves
        self.plans = plans


def put_away(section: Section, order_wheels: Iterable[StoredWheel], at: str, by: str) -> None:
    """Everything of a cancelled order that is not part of a wheel yet is free again."""
    if not stock.kept(section):
        return
    for wheel in order_wheels:
        reason = f"{wheel.serial} is cancelled"
        _give_back(section, wheel, at, by, reason)
        if wheel.state in ("kitted", "drilled"):
            plan = plan_in_force(section, wheel)
            parts = _out(section, wheel)
            if wheel.state == "drilled":
                parts = _as_drilled(parts, plan)
            _receive(section, parts, at, by, reason)


def confirm(section: Section, order_id: str, moment: datetime) -> None:
    """Hold for as long as it takes what a released order needs; anew where a hold has run out.

    Raises Short.
    """
    if not stock.kept(section):
        return
    holds.sweep(section, moment)
    holds.confirm(section, order_id)
    unheld = [
        wheel
        for wheel in wheels.of_order(section, order_id)
        if wheel.state == "planned" and stock.hold_in_force(section, wheel.serial) is None
    ]
    plans = {wheel.position: plan_in_force(section, wheel) for wheel in unheld}
    serials = {wheel.position: wheel.serial for wheel in unheld}
    _hold(section, plans, serials, order_id=order_id, at=stamp(moment), until=None)


def hold_changed(
    section: Section,
    made: Iterable[NewSheet],
    *,
    order_id: str,
    moment: datetime,
    by: str,
    released: bool,
    edition: Edition,
) -> None:
    """Put back what the changed wheels do not take any more, and hold what they take. Raises Short."""
    if not stock.kept(section):
        return
    holds.sweep(section, moment)
    at = stamp(moment)
    anew: dict[str, NewSheet] = {}
    for each in made:
        wheel, reason = each.view.stored, f"{each.view.stored.serial} is changed"
        if each.kind == "structural" or (each.kind == "cosmetic" and wheel.state == "planned"):
            anew[wheel.position] = each
            _give_back(section, wheel, at, by, reason)
            _receive(section, _left_over(section, each), at, by, reason)
    plans = {position: each.plan for position, each in anew.items()}
    serials = {position: each.view.stored.serial for position, each in anew.items()}
    until = None if released else holds.expiry(moment, edition)
    _hold(section, plans, serials, order_id=order_id, at=at, until=until)
    for each in made:
        if each.kind == "cosmetic" and each.view.stored.state != "planned":
            _swap_decals(section, each, at, by)


def plan_in_force(section: Section, wheel: StoredWheel) -> Plan:
    """The plan that the wheel's sheet prints. Raises LookupError where it is not there."""
    kept = wheels.plan(section, wheel.sheet.plan_digest)
    if kept is None:
        raise LookupError(f"the plan of {wheel.serial} is not there")
    return read_back(kept)


def _hold(
    section: Section,
    plans: Mapping[str, Plan],
    serials: Mapping[str, str],
    *,
    order_id: str,
    at: str,
    until: str | None,
) -> None:
    if not plans:
        return
    if holds.lacks(section, needs(plans)):
        raise Short(holds.shelves(section), plans)
    holds.hold(section, plans, serials, order_id=order_id, at=at, until=until)


def _give_back(section: Section, wheel: StoredWheel, at: str, by: str, reason: str) -> None:
    holds.give_back(
        section, at=at, by=by, reason=reason, order_id=wheel.order_id, serial=wheel.serial
    )


def _out(section: Section, wheel: StoredWheel) -> dict[str, int]:
    """What lies in the wheel's kit: the pick list of its sheet, where it was ever taken off the shelf.

    The list of the sheet and not of the hold: decals may have been swapped since, and a kit is picked
    also where its hold has run out.
    """
    return pieces(plan_in_force(section, wheel).pick) if _was_picked(section, wheel) else {}


def _was_picked(section: Section, wheel: StoredWheel) -> bool:
    mine = [each for each in stock.holds_of(section, wheel.order_id) if each.serial == wheel.serial]
    if mine and mine[-1].state == "picked":
        return True
    since = moves.stock_kept_since(section)
    kits = [
        each.done_at
        for each in bench.steps_of(section, wheel.serial)
        if each.station == "kit" and each.good
    ]
    return bool(kits) and since is not None and since <= kits[-1]


def _left_over(section: Section, made: NewSheet) -> dict[str, int]:
    """What of the kit of a changed wheel can be used again, as articles of the shelf."""
    wheel = made.view.stored
    parts, plan = _out(section, wheel), plan_in_force(section, wheel)
    if wheel.state == "drilled":
        return parts if made.change.same_drilling else _as_drilled(parts, plan)
    if wheel.state != "building":
        return parts
    # Laced: spokes were bent and nipples turned. Rim and hub are used again only in the same wheel.
    stay = {plan.hub, plan.driver, plan.end_caps} & {
        made.plan.hub,
        made.plan.driver,
        made.plan.end_caps,
    }
    if made.change.same_drilling:
        stay.add(plan.rim)
    return {item: count for item, count in parts.items() if item.partition("/")[0] in stay}


def _as_drilled(parts: Mapping[str, int], plan: Plan) -> dict[str, int]:
    """The parts with the rim under its program."""
    program = plan.drilling.program or "drilled"
    return {
        f"{item}/{program}" if item.partition("/")[0] == plan.rim else item: count
        for item, count in parts.items()
    }


def _receive(section: Section, parts: Mapping[str, int], at: str, by: str, reason: str) -> None:
    if parts:
        movements = [Movement("received", item, shelf_change=each) for item, each in parts.items()]
        stock.append(section, movements, at=at, by=by, reason=reason)


def _swap_decals(section: Section, made: NewSheet, at: str, by: str) -> None:
    """Other decals for a kit that is picked: the old ones back unless they are on, the new ones out."""
    wheel = made.view.stored
    before = _decals(plan_in_force(section, wheel), made.edition)
    after = _decals(made.plan, made.edition)
    if before == after:
        return
    reason = f"{wheel.serial} gets other decals"
    if wheel.state not in DECALS_ON:
        _receive(section, pieces(before), at, by, reason)
    wanted = pieces(after)
    levels = stock.levels(section, wanted.keys())
    if any(item not in levels or levels[item].free < count for item, count in wanted.items()):
        raise Short(holds.shelves(section), {wheel.position: made.plan})
    movements = [Movement("picked", item, shelf_change=-count) for item, count in wanted.items()]
    stock.append(section, movements, at=at, by=by, reason=reason)


def _decals(plan: Plan, edition: Edition) -> tuple[Pick, ...]:
    return tuple(each for each in plan.pick if each.part in edition.decals)
