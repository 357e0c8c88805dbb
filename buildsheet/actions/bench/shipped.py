"""An order has left the house when its last wheel has."""

from __future__ import annotations

import json

from buildsheet.actions.bench.view import as_state
from buildsheet.states import least_advanced, order_after
from buildsheet.storage import events, moves, orders, wheels
from buildsheet.storage.database import Section
from buildsheet.storage.moves import StoredMove


def follow_the_wheels(section: Section, order_id: str, at: str, by: str) -> bool:
    """Move a released order to shipped where every wheel that is still its own was shipped.

    Kept as a move of whoever sent off the last wheel. An order that was never released stays where it is:
    nobody gave it to the bench.
    """
    stored = orders.by_id(section, order_id)
    if stored is None or stored.state != "released":
        return False
    states = [as_state(each.state) for each in wheels.of_order(section, order_id)]
    after = order_after("released", "ship")
    if least_advanced(states) != "shipped" or after is None:
        return False
    orders.move(section, order_id, after)
    events.append(
        section,
        at=at,
        kind="order.shipped",
        order_id=order_id,
        facts=json.dumps({"revision": stored.revision, "state": after}),
    )
    moves.insert(
        section,
        StoredMove(
            order_id=order_id,
            revision=stored.revision,
            move="ship",
            key=None,
            body_digest="",
            before=stored.state,
            after=after,
            done_by=by,
            approved_by=None,
            reason="",
            done_at=at,
            answer="{}",
        ),
    )
    return True
