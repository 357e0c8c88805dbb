"""What the stand does to an order: the first wheel begun releases it, the last that leaves ships it."""

from __future__ import annotations

import json
from typing import Final

from buildsheet.actions.bench.view import as_state
from buildsheet.actions.stock import holds
from buildsheet.states import OrderMove, OrderState, least_advanced, order_after
from buildsheet.storage import events, moves, orders, wheels
from buildsheet.storage.database import Section
from buildsheet.storage.moves import StoredMove
from buildsheet.storage.orders import StoredOrder

BEGUN: Final = "begun at the stand"


def begun(section: Section, order_id: str, at: str, by: str) -> bool:
    """Release an accepted order of which a wheel is begun: it has been given to the bench, whether or not
    somebody said so before, and its parts are held for as long as it takes. Kept as a move of whoever
    began. Whoever calls has asked whether the order waits for an approval."""
    stored = orders.by_id(section, order_id)
    if stored is None or stored.state != "accepted":
        return False
    holds.confirm(section, order_id)
    _move(section, stored, "accepted", "release", "order.released", at=at, by=by, reason=BEGUN)
    return True


def follow_the_wheels(section: Section, order_id: str, at: str, by: str) -> bool:
    """Move a released order to shipped where every wheel that is still its own was shipped.

    Kept as a move of whoever sent off the last wheel.
    """
    stored = orders.by_id(section, order_id)
    if stored is None or stored.state != "released":
        return False
    states = [as_state(each.state) for each in wheels.of_order(section, order_id)]
    if least_advanced(states) != "shipped":
        return False
    _move(section, stored, "released", "ship", "order.shipped", at=at, by=by)
    return True


def _move(
    section: Section,
    stored: StoredOrder,
    before: OrderState,
    move: OrderMove,
    kind: str,
    *,
    at: str,
    by: str,
    reason: str = "",
) -> None:
    after = order_after(before, move)
    if after is None:
        raise LookupError(f"{stored.id} is {before}: no {move} from there")
    orders.move(section, stored.id, after)
    events.append(
        section,
        at=at,
        kind=kind,
        order_id=stored.id,
        facts=json.dumps({"revision": stored.revision, "state": after}),
    )
    moves.insert(
        section,
        StoredMove(
            order_id=stored.id,
            revision=stored.revision,
            move=move,
            key=None,
            body_digest="",
            before=before,
            after=after,
            done_by=by,
            approved_by=None,
            reason=reason,
            done_at=at,
            answer="{}",
        ),
    )
