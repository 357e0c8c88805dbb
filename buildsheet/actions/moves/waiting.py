"""Whether an order waits for a name, before and after a change, and who has put one to it."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from typing import Any, get_args

from buildsheet.errors import WorldError
from buildsheet.orders.check import Checked
from buildsheet.states import OrderState
from buildsheet.storage import moves
from buildsheet.storage.database import Section
from buildsheet.storage.orders import StoredOrder

ON_HOLD: OrderState = "on-hold"


def state_after(section: Section, stored: StoredOrder, checked: Checked) -> OrderState:
    """The order's state once it is changed to what was checked.

    What somebody approved stays approved, word for word; anything else that asks for a name puts the
    order on hold. A hold that a person set is ended by a person only.
    """
    now = order_state(stored.state)
    asked = _asked(each.as_json() for each in checked.findings)
    if now != ON_HOLD:
        fresh = asked - _asked(json.loads(stored.answer)["findings"])
        return ON_HOLD if fresh else now
    if held_by_hand(section, stored.id):
        return ON_HOLD
    return ON_HOLD if asked else "accepted"


def held_by_hand(section: Section, order_id: str) -> bool:
    """Whether a person put the order on hold, and nobody has approved since."""
    turns = [
        each.move for each in moves.of_order(section, order_id) if each.move in ("hold", "approve")
    ]
    return bool(turns) and turns[-1] == "hold"


def _asked(findings: Iterable[Mapping[str, Any]]) -> set[tuple[str, str, str]]:
    return {
        (str(each["code"]), str(each["at"]), str(each["says"]))
        for each in findings
        if each["severity"] == "approval"
    }


def order_state(word: str) -> OrderState:
    """The word as a state. Raises WorldError for one that no order can be in."""
    states: tuple[OrderState, ...] = get_args(OrderState)
    for state in states:
        if state == word:
            return state
    raise WorldError(f"an order stands in state {word!r}, which this program does not know")
