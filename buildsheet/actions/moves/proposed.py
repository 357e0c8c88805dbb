"""A changed order as it would be: read, compared with what stands, judged; nothing is kept.

What changes is found under the edition that the order is held to. A change of paper or finish stays
under it; another wheel, or another use, is held to the edition that is running now.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from buildsheet.actions.differences import differences
from buildsheet.actions.editions import edition_numbered, running_edition
from buildsheet.actions.intake.earlier import body_digest
from buildsheet.actions.moves.answers import within
from buildsheet.actions.moves.codes import moved
from buildsheet.actions.moves.documents import ChangeDocument
from buildsheet.actions.plan_record import compact
from buildsheet.actions.workshop import Workshop
from buildsheet.catalog.edition import Edition
from buildsheet.findings import Finding
from buildsheet.orders.check import Checked, check
from buildsheet.orders.document import Order
from buildsheet.orders.reading import read
from buildsheet.orders.revision import Revised, what_changes
from buildsheet.storage.orders import StoredOrder

ORDER = "/order"
"""Where the changed order stands in the request."""


@dataclass(frozen=True, slots=True)
class Proposed:
    """``text`` is the order as it is kept; ``places`` are where it says something else than before."""

    order: Order
    text: str
    places: tuple[str, ...]
    revised: Revised
    edition: Edition
    checked: Checked


@dataclass(frozen=True, slots=True)
class Refusal:
    """Why the changed order is none: in ``conflict`` with the record, or not buildable."""

    conflict: bool
    findings: tuple[Finding, ...]


def wanted(document: ChangeDocument) -> tuple[Order | None, str, tuple[Finding, ...]]:
    """The changed order, its text, and the faults of its form as places of the request."""
    text = compact(document.order)
    reading = read(text.encode())
    return reading.order, text, within(reading.findings, ORDER)


def propose(
    workshop: Workshop, stored: StoredOrder, document: ChangeDocument, order: Order, text: str
) -> Proposed | Refusal:
    """The change judged, or what is wrong with it. Raises NoEdition where no catalog is loaded."""
    old = Order.model_validate_json(stored.document)
    in_the_way = _not_this_order(stored, document, old, order)
    if in_the_way:
        return Refusal(True, in_the_way)
    own = edition_numbered(workshop, stored.edition)
    before = check(stored.document.encode(), own).plans
    checked = check(text.encode(), own)
    revised = what_changes(old, order, before, checked.plans, own.decals.keys())
    edition = own
    if revised.kind == "structural" or old.use != order.use:
        edition = running_edition(workshop)
        if edition.number != own.number:
            checked = check(text.encode(), edition)
    if not checked.buildable:
        return Refusal(False, within(checked.findings, ORDER))
    places = differences(_said(old), _said(order))
    return Proposed(order, text, places, revised, edition, checked)


def _not_this_order(
    stored: StoredOrder, document: ChangeDocument, old: Order, order: Order
) -> tuple[Finding, ...]:
    """Why this is no change of this order, as it stands now."""
    found = []
    if document.old_revision != stored.revision:
        found.append(
            moved(
                "move.old-revision",
                "/old_revision",
                f"The change replaces revision {document.old_revision}; revision {stored.revision} "
                "counts. Look what it says, and change that.",
                have={"old_revision": document.old_revision},
                need={"old_revision": stored.revision},
            )
        )
    elif order.revision <= stored.revision:
        found.append(
            moved(
                "move.next-revision",
                f"{ORDER}/revision",
                f"Revision {order.revision} is no higher than revision {stored.revision}, which counts. "
                f"Give your change revision {stored.revision + 1}.",
                have={"revision": order.revision},
                need={"least": stored.revision + 1},
            )
        )
    for name in ("source", "number", "kind"):
        given, standing = getattr(order, name), getattr(old, name)
        if given != standing:
            says = f"Member {name} says {given}, this order's {standing}: that is another order."
            if name == "kind":
                says += " Cancel this one and order anew."
            found.append(
                moved(
                    "move.other-order",
                    f"{ORDER}/{name}",
                    says,
                    have={name: given},
                    need={name: standing},
                )
            )
    same = order.model_copy(update={"revision": old.revision})
    if not found and body_digest(same) == body_digest(old):
        says = f"The order says nothing else than revision {stored.revision} says already."
        found.append(moved("move.nothing-changes", ORDER, says))
    return tuple(found)


def _said(order: Order) -> Mapping[str, Any]:
    said: dict[str, Any] = json.loads(order.model_dump_json(by_alias=True, exclude_none=True))
    said.pop("revision")
    return said
