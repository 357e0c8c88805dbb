"""Asking for moves, and looking at what they left."""

from __future__ import annotations

import json
from typing import Any

from buildsheet.actions.moves.answers import Moved
from buildsheet.actions.moves.cancel import cancel_order
from buildsheet.actions.moves.change import change_order
from buildsheet.actions.moves.move import Move, move_order
from buildsheet.actions.show_order import show_order
from buildsheet.actions.take_order import take_order
from buildsheet.actions.workshop import Workshop
from buildsheet.storage import wheels
from tests.workshops import EXAMPLES, Document, answer_of, example, raw

WHY = "The customer rang and asked for it."


def take(workshop: Workshop, document: Document) -> Document:
    """The answer to an order that is taken now."""
    return answer_of(take_order(workshop, raw(document)))


def changed_example(name: str) -> Document:
    """Revision 2 of an example order."""
    document: Document = json.loads((EXAMPLES / "changes" / f"{name}-2.json").read_text())
    return document


def ask(workshop: Workshop, order_id: str, move: Move, **more: Any) -> Moved:
    key = more.pop("key", None)
    return move_order(workshop, order_id, move, raw({"by": "A. Maker", "reason": WHY, **more}), key)


def cancel(workshop: Workshop, order_id: str, **more: Any) -> Moved:
    key = more.pop("key", None)
    return cancel_order(workshop, order_id, raw({"by": "A. Maker", "reason": WHY, **more}), key)


def change(workshop: Workshop, order_id: str, order: Document, **more: Any) -> Moved:
    key = more.pop("key", None)
    document = {"by": "A. Maker", "reason": WHY, "old_revision": 1, "order": order, **more}
    return change_order(workshop, order_id, raw(document), key)


def said(moved: Moved) -> Document:
    document: Document = json.loads(moved.answer)
    return document


def codes(moved: Moved) -> list[str]:
    return [each.code for each in moved.findings]


def state_of(workshop: Workshop, order_id: str) -> str:
    view = show_order(workshop, order_id)
    assert view is not None
    return view.stored.state


def standing(workshop: Workshop, order_id: str) -> dict[str, tuple[str, str]]:
    """Position -> state of the wheel, issue of its sheet."""
    with workshop.database.reading() as section:
        return {
            each.position: (each.state, each.sheet.issue)
            for each in wheels.of_order(section, order_id)
        }


def serial_of(workshop: Workshop, order_id: str, position: str) -> str:
    with workshop.database.reading() as section:
        found = {each.position: each.serial for each in wheels.of_order(section, order_id)}
    return found[position]


def put(workshop: Workshop, order_id: str, state: str, position: str = "front") -> str:
    """Put a wheel of the order into a state, as if its stations had been passed; its serial."""
    serial = serial_of(workshop, order_id, position)
    with workshop.database.writing() as section:
        wheels.move(section, serial, state)
    return serial


__all__ = ["ask", "cancel", "change", "changed_example", "codes", "example", "said", "take"]
