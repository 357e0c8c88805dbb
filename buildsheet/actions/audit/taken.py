"""Orders: what was posted against its digest, what was answered against what is stored."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from typing import Any

from buildsheet.actions.audit.notes import Notes
from buildsheet.actions.intake.earlier import body_digest
from buildsheet.orders.reading import read
from buildsheet.storage import events, orders, proof, wheels
from buildsheet.storage.database import Section
from buildsheet.storage.orders import StoredOrder


def orders_again(section: Section, notes: Notes, plans: Mapping[str, str]) -> None:
    """Every revision ever taken; ``plans`` is digest -> fingerprint of the sound ones."""
    notes.saw("orders", 0)
    notes.saw("answers", 0)
    for order_id, revision in proof.revisions(section):
        stored = orders.by_id(section, order_id, revision)
        if stored is None:
            continue
        at = f"{order_id} revision {revision}"
        notes.saw("orders")
        for says in _document(stored):
            notes.fault("orders", at, says)
        notes.saw("answers")
        for says in _answer(section, stored, plans):
            notes.fault("answers", at, says)
    for source, key in proof.other_replies(section):
        notes.fault(
            "orders", f"key {key} of {source}", "stands for another document than its order"
        )


def _document(stored: StoredOrder) -> Iterator[str]:
    order = read(stored.document.encode()).order
    if order is None:
        yield "its document can no longer be read"
    elif body_digest(order) != stored.body_digest:
        yield f"its document comes to {body_digest(order)}, it is kept under {stored.body_digest}"
    elif order.key != (stored.source, stored.number, stored.revision):
        yield "its document has another source, number or revision"


def _answer(section: Section, stored: StoredOrder, plans: Mapping[str, str]) -> Iterator[str]:
    try:
        head: dict[str, Any] = json.loads(stored.answer)
        told = {str(each["position"]): each for each in head["wheels"]}
        event = int(head["event"])
    except (ValueError, KeyError, TypeError):
        yield "its answer can no longer be read"
        return
    for member in ("id", "source", "number", "revision", "edition", "taken_at"):
        if head.get(member) != getattr(stored, member):
            yield f"its answer says {member} {head.get(member)!r}, not {getattr(stored, member)!r}"
    named = [each for each in events.after(section, event - 1, 1) if each.sequence == event]
    if not named or named[0].order_id != stored.id:
        yield f"its answer names event {event}, which is not about it"
    serials = {each.position: each.serial for each in wheels.of_order(section, stored.id)}
    if {position: each.get("serial") for position, each in told.items()} != serials:
        yield "its answer names other wheels than it has"
    digests = wheels.plan_digests_of(section, stored.id, stored.revision)
    if set(digests) != set(told):
        yield "plans of its answer are not there"
    for position, digest in digests.items():
        stated = told.get(position, {}).get("fingerprint")
        if position in told and plans.get(digest, stated) != stated:
            yield f"its answer states another {position} wheel than the plan"
