"""What the shelves say of an order that is only checked: technically possible is not yet on the shelf.

Nothing is held and nothing stands in the way: a shortage is a caution that says when the parts suffice.
"""

from __future__ import annotations

from buildsheet.actions.stock import holds
from buildsheet.actions.workshop import Workshop
from buildsheet.findings import Finding
from buildsheet.orders.check import Checked
from buildsheet.orders.reservation.codes import stocked
from buildsheet.orders.reservation.need import needs
from buildsheet.orders.reservation.shortage import Shelves, short_now, still_to_come
from buildsheet.storage import orders, stock
from buildsheet.storage.database import Section
from buildsheet.storage.orders import StoredOrder

NOT_KEPT = (
    "No stock was ever counted in this workshop: nobody has looked whether the parts are there."
)


def shelf_findings(workshop: Workshop, checked: Checked) -> tuple[Finding, ...]:
    """One caution for each article that an order lacks; one note where this workshop keeps no stock.

    Silent for an order that cannot be built, and for one that was taken already: its parts are its own.
    What an earlier revision of it holds counts as free.
    """
    order = checked.order
    if order is None or not checked.buildable:
        return ()
    wanted = needs(checked.plans)
    holds.sweep_first(workshop)
    with workshop.database.reading() as section:
        if not stock.kept(section):
            return (stocked("stock.not-kept", "note", "", NOT_KEPT, edition=checked.edition),)
        known = orders.by_number(section, order.source, order.number)
        if known is not None and known.revision >= order.revision:
            return ()
        own = _held_for(section, known)
        levels = stock.levels(section, wanted.keys())
        announced = stock.announced(section)
    free = {item: level.free + own.get(item, 0) for item, level in levels.items()}
    coming = {
        item: still_to_come(announced[item], levels[item].expected)
        for item in wanted
        if item in announced and item in levels
    }
    return short_now(wanted, Shelves(free, coming), checked.edition)


def _held_for(section: Section, known: StoredOrder | None) -> dict[str, int]:
    """Item -> pieces that an earlier revision of the order holds."""
    found: dict[str, int] = {}
    for each in stock.holds_of(section, known.id) if known else ():
        if each.state == "held":
            for item, count in stock.lines(section, each.hold).items():
                found[item] = found.get(item, 0) + count
    return found
