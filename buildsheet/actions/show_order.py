"""Orders as they stand now."""

from __future__ import annotations

import json
from dataclasses import dataclass

from buildsheet.actions.answers import whole_answer
from buildsheet.actions.serials import as_typed
from buildsheet.actions.stock import holds
from buildsheet.actions.workshop import Workshop
from buildsheet.findings import Value
from buildsheet.storage import moves, orders, wheels
from buildsheet.storage.moves import StoredMove
from buildsheet.storage.orders import StoredOrder
from buildsheet.storage.wheels import StoredWheel

PAGE = 100


@dataclass(frozen=True, slots=True)
class OrderView:
    """One order: as stored, the answer it got (parsed), its wheels and holds as they stand, and what was
    done to it, oldest first."""

    stored: StoredOrder
    answer: dict[str, Value]
    wheels: tuple[StoredWheel, ...]
    holds: list[Value]
    moves: tuple[StoredMove, ...] = ()

    def as_json(self, *, names: bool = True) -> dict[str, Value]:
        """What was answered, with state and holds of now, every move and the document that was posted.

        Without ``names`` a move does not say who made it or why: another house's system needs neither.
        """
        document: Value = json.loads(self.stored.document)
        now: dict[str, Value] = {
            "state": self.stored.state,
            "holds": self.holds,
            "moves": [move_line(each, names=names) for each in self.moves],
        }
        return {**self.answer, **now, "document": document}


def show_order(workshop: Workshop, order_id: str) -> OrderView | None:
    """The order with this number of the workshop, or None."""
    holds.sweep_first(workshop)
    with workshop.database.reading() as section:
        stored = orders.by_id(section, as_typed(order_id))
        if stored is None:
            return None
        answer = json.loads(whole_answer(section, stored).text)
        its = wheels.of_order(section, stored.id)
        positions = {wheel.serial: wheel.position for wheel in its}
        return OrderView(
            stored,
            answer,
            its,
            holds.standing(section, stored.id, positions),
            moves.of_order(section, stored.id),
        )


def list_orders(
    workshop: Workshop, before: str | None = None, source: str | None = None
) -> tuple[StoredOrder, ...]:
    """The newest orders first; ``before`` an order's number for the page after it, ``source`` for the
    orders of one sender."""
    with workshop.database.reading() as section:
        return orders.latest(section, PAGE, before, source)


def find_number(workshop: Workshop, number: str) -> tuple[StoredOrder, ...]:
    """Every order that a sender called by this number."""
    with workshop.database.reading() as section:
        return orders.numbered(section, number)


def move_line(move: StoredMove, *, names: bool) -> dict[str, Value]:
    """One move of an order: what, when, from which state to which; by whom and why with ``names``."""
    return {
        "move": move.move,
        "at": move.done_at,
        "revision": move.revision,
        "state_before": move.before,
        "state": move.after,
        "by": move.done_by if names else None,
        "approved_by": move.approved_by if names else None,
        "reason": move.reason if names else None,
    }


def order_line(stored: StoredOrder) -> dict[str, Value]:
    """One line of the list of orders."""
    return {
        "id": stored.id,
        "source": stored.source,
        "number": stored.number,
        "revision": stored.revision,
        "state": stored.state,
        "edition": stored.edition,
        "taken_at": stored.taken_at,
    }
