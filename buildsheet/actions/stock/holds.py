"""Parts set aside: the whole pick list of every wheel of an order, or nothing.

Each wheel has its own hold, because wheels are kitted one by one; all of an order's holds are taken in
one section. A hold ends by being picked, given back, or running out. Whatever has run out is swept
before anything is judged, so nobody waits for a clockwork.
"""

from __future__ import annotations

import json
from collections.abc import Collection, Mapping
from datetime import datetime, timedelta

from buildsheet.actions.plan_record import compact
from buildsheet.actions.workshop import Workshop, stamp
from buildsheet.catalog.edition import Edition
from buildsheet.findings import Value
from buildsheet.orders.reservation.need import Need, pieces
from buildsheet.orders.reservation.shortage import Shelves, still_to_come
from buildsheet.plan.plan import Plan
from buildsheet.storage import events, stock
from buildsheet.storage.database import Section
from buildsheet.storage.stock import Movement, NewHold, StoredHold

HOUSE = "the house"
"""Who does what nobody does by hand."""


def lacks(section: Section, needs: Mapping[str, Need]) -> bool:
    """Whether an article is not free in the number that is needed."""
    wanted = {item: need.pieces for item, need in needs.items()}
    return lacking(wanted, free(section, needs) or {})


def free(section: Section, items: Collection[str]) -> dict[str, int] | None:
    """What is free of these articles; None in a workshop that keeps no stock."""
    found = stock.free(section, items)
    return found if found or stock.kept(section) else None


def lacking(wanted: Mapping[str, int], there: Mapping[str, int]) -> bool:
    """Whether an article is not there in so many pieces."""
    return any(there.get(item, 0) < pieces for item, pieces in wanted.items())


def shelves(section: Section) -> Shelves:
    """What is free of every article, and what is still to come: a way out may take any of them."""
    levels = {level.item: level for level in stock.every_level(section)}
    announced = stock.announced(section)
    return Shelves(
        {item: level.free for item, level in levels.items()},
        {item: still_to_come(announced[item], levels[item].expected) for item in announced},
    )


def told(parts: Mapping[str, str], serials: Mapping[str, str], until: str) -> str:
    """The holds of an order as its answer tells them, one for each wheel, as JSON text: ``parts`` is
    position -> `parts_text`."""
    wheels = [
        f'{{"position":"{position}","serial":"{serials[position]}","expires_at":"{until}","parts":{text}}}'
        for position, text in parts.items()
    ]
    return f"[{','.join(wheels)}]"


def parts_text(picked: Mapping[str, int]) -> str:
    """What one wheel takes from the shelves (item -> pieces) as an answer tells it, as JSON text."""
    return compact(_parts(picked))


def _parts(picked: Mapping[str, int]) -> list[Value]:
    return [{"part": item, "count": count} for item, count in picked.items()]


def hold(
    section: Section,
    plans: Mapping[str, Plan],
    serials: Mapping[str, str],
    *,
    order_id: str,
    at: str,
    until: str | None,
) -> None:
    """Set aside what the plans of one order pick, wheel by wheel. Whoever calls has asked whether it
    `lacks` anything in this section."""
    new = [
        NewHold(order_id, serials[position], until, pieces(plan.pick))
        for position, plan in plans.items()
    ]
    stock.set_aside(section, new, at=at, by=HOUSE)


def standing(section: Section, order_id: str, positions: Mapping[str, str]) -> list[Value]:
    """The holds of an order that count now, as an answer tells them; ``positions`` by serial."""
    found: list[Value] = []
    for each in stock.holds_of(section, order_id):
        if each.state != "held":
            continue
        found.append(
            {
                "position": positions.get(each.serial, ""),
                "serial": each.serial,
                "expires_at": each.expires_at,
                "parts": _parts(stock.lines(section, each.hold)),
            }
        )
    return found


def expiry(moment: datetime, edition: Edition) -> str:
    """When a hold that is taken now runs out."""
    return stamp(moment + timedelta(hours=edition.house.stock.hold_hours))


def confirm(section: Section, order_id: str) -> int:
    """Let the holds of an order last as long as it takes, because it is released; how many there are."""
    kept = [each for each in stock.holds_of(section, order_id) if each.state == "held"]
    for each in kept:
        stock.set_expiry(section, each.hold, None)
    return len(kept)


def give_back(
    section: Section, *, at: str, by: str, reason: str, order_id: str, serial: str | None = None
) -> int:
    """Free what is held for an order, or for one wheel of it; how many holds ended."""
    kept = [
        each
        for each in stock.holds_of(section, order_id)
        if each.state == "held" and serial in (None, each.serial)
    ]
    for each in kept:
        _end(section, each, "released", at=at, by=by, reason=reason)
    return len(kept)


def pick(section: Section, serial: str, picked: Mapping[str, int], *, at: str, by: str) -> None:
    """What went into a wheel's kit leaves the shelf, held or not: hands come before books.

    Nothing is recorded in a workshop that keeps no stock.
    """
    if not stock.kept(section):
        return
    held = stock.hold_in_force(section, serial)
    was_held = stock.lines(section, held.hold) if held else {}
    items = sorted({*picked, *was_held})
    number = held.hold if held else None
    movements = [
        Movement(
            "picked",
            item,
            shelf_change=-picked.get(item, 0),
            held_change=-was_held.get(item, 0),
            hold=number,
        )
        for item in items
    ]
    stock.append(section, movements, at=at, by=by, reason=serial)
    if held:
        stock.end_hold(section, held.hold, "picked", at)


def sweep(section: Section, moment: datetime) -> int:
    """End every hold that has run out; how many. Needs a write section."""
    at = stamp(moment)
    over = stock.due(section, at)
    for each in over:
        _end(section, each, "expired", at=at, by=HOUSE, reason="the hold has run out")
        facts = json.dumps({"expires_at": each.expires_at})
        events.append(
            section,
            at=at,
            kind="stock.expired",
            order_id=each.order_id,
            serial=each.serial,
            facts=facts,
        )
    return len(over)


def sweep_first(workshop: Workshop) -> None:
    """`sweep` in a section of its own, where there is anything to sweep: for those who only read."""
    moment = workshop.clock()
    with workshop.database.reading() as section:
        waiting = stock.is_due(section, stamp(moment))
    if waiting:
        with workshop.database.writing() as section:
            sweep(section, moment)


def _end(section: Section, held: StoredHold, state: str, *, at: str, by: str, reason: str) -> None:
    movements = [
        Movement(state, item, held_change=-count, hold=held.hold)
        for item, count in stock.lines(section, held.hold).items()
    ]
    stock.append(section, movements, at=at, by=by, reason=reason)
    stock.end_hold(section, held.hold, state, at)
