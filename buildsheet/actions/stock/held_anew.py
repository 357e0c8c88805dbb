"""What is held for a wheel follows its sheet: the old parts are free again, the new ones are held.

A sheet that is issued again for a rim that was measured cannot wait for the shelf: the rim is what it is.
So the wheel's hold moves whole, also where the shelf then falls below what is held, and that is said. A
delivery that comes in serves the wheel before it is free for anybody else.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from datetime import datetime

from buildsheet.actions.stock import holds
from buildsheet.actions.workshop import Workshop, stamp
from buildsheet.findings import Finding
from buildsheet.orders.reservation.codes import stocked
from buildsheet.orders.reservation.need import pieces
from buildsheet.orders.reservation.shortage import still_to_come
from buildsheet.plan.plan import Plan
from buildsheet.storage import stock
from buildsheet.storage.database import Section
from buildsheet.storage.stock import Level
from buildsheet.storage.wheels import StoredWheel


def hold_anew(
    section: Section, wheel: StoredWheel, plan: Plan, *, moment: datetime, by: str
) -> tuple[Finding, ...]:
    """Move the hold of a wheel to what ``plan`` picks, for as long as it was held before; one caution for
    every article of which the shelf has less than is held now.

    Nothing is done for a wheel that holds nothing (its hold ran out, its kit is picked, no stock is kept),
    or whose parts stay the same. An article that was never counted cannot be held, and is said too.
    """
    holds.sweep(section, moment)
    held = stock.hold_in_force(section, wheel.serial)
    wanted = pieces(plan.pick)
    if held is None or stock.lines(section, held.hold) == wanted:
        return ()
    at = stamp(moment)
    reason = f"{wheel.serial} gets another sheet"
    holds.give_back(
        section, at=at, by=by, reason=reason, order_id=wheel.order_id, serial=wheel.serial
    )
    # What was never counted has no level to be held against.
    known = stock.levels(section, wanted.keys())
    counted = replace(plan, pick=tuple(each for each in plan.pick if each.part in known))
    holds.hold(
        section,
        {wheel.position: counted},
        {wheel.position: wheel.serial},
        order_id=wheel.order_id,
        at=at,
        until=held.expires_at,
    )
    return tuple(_overdrawn(section, wanted, plan))


def kit_lacks(workshop: Workshop, wheel: StoredWheel, plan: Plan) -> tuple[Finding, ...]:
    """What the shelf has less of than is held, of the parts of this wheel; none where it holds nothing."""
    holds.sweep_first(workshop)
    with workshop.database.reading() as section:
        if stock.hold_in_force(section, wheel.serial) is None:
            return ()
        return tuple(_overdrawn(section, pieces(plan.pick), plan))


def _overdrawn(section: Section, wanted: Mapping[str, int], plan: Plan) -> Iterator[Finding]:
    levels = stock.levels(section, wanted.keys())
    announced = stock.announced(section)
    for item, count in wanted.items():
        level = levels.get(item, Level(item, 0, count, 0, ""))
        if level.free >= 0:
            continue
        coming = still_to_come(announced.get(item, ()), level.expected)
        when = ", ".join(f"{number} on {day}" for day, number in coming)
        there = (
            f"{level.shelf} on the shelf, {level.held} held for orders, this wheel's included"
            if item in levels
            else "it was never counted here, so nothing of it is held"
        )
        yield stocked(
            "stock.overdrawn",
            "caution",
            "",
            f"{item}: this sheet takes {count}; {there}. {-level.free} are missing. "
            + (f"Expected: {when}." if when else "No delivery is announced."),
            edition=plan.edition,
            have={"item": item, "shelf": level.shelf, "held": level.held if item in levels else 0},
            need={"pieces": count, "short": -level.free},
        )
