"""An order has left the house when its last wheel has."""

from __future__ import annotations

import json

from buildsheet.actions.bench.view import as_state
from buildsheet.states import least_advanced, order_after
from buildsheet.storage import events, orders, wheels
from buildsheet.storage.database import Section


def follow_the_wheels(section: Section, order_id: str, at: str) -> bool:
    """Move a released order to shipped where every wheel that is still its own was shipped.

    An order that was never released stays where it is: nobody gave it to the bench.
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
    return True
