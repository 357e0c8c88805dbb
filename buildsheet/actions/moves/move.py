"""Hold, approve, release, close: the order is kept back, stood for by name, given to the bench, or done.

An approval stands for every finding that asked for a name, and ends a hold; its reason is printed on
the sheets.
"""

from __future__ import annotations

import json
from typing import Final, Literal

from buildsheet.actions.editions import edition_numbered
from buildsheet.actions.moves.answers import (
    Moved,
    Told,
    before_by_key,
    digest_of,
    keep,
    not_from_here,
    overtaken,
)
from buildsheet.actions.moves.documents import (
    MOVE,
    MOVE_WORDS,
    ApproveDocument,
    CloseDocument,
    HoldDocument,
    ReleaseDocument,
)
from buildsheet.actions.moves.shelves import Short, confirm
from buildsheet.actions.moves.waiting import order_state
from buildsheet.actions.serials import as_typed
from buildsheet.actions.workshop import Workshop, stamp
from buildsheet.documents.form import read
from buildsheet.findings import Finding
from buildsheet.orders.reservation.need import needs
from buildsheet.orders.reservation.shortage import shortage
from buildsheet.states import order_after
from buildsheet.storage import events, orders
from buildsheet.storage.orders import StoredOrder

Move = Literal["hold", "approve", "release", "close"]
Document = HoldDocument | ApproveDocument | ReleaseDocument | CloseDocument

_MODELS: Final[dict[Move, type[Document]]] = {
    "hold": HoldDocument,
    "approve": ApproveDocument,
    "release": ReleaseDocument,
    "close": CloseDocument,
}


def move_order(
    workshop: Workshop,
    order_id: str,
    move: Move,
    raw: bytes,
    key: str | None = None,
    *,
    signed_in: str | None = None,
) -> Moved:
    """The move, from its document; ``key`` is the Idempotency-Key, ``signed_in`` the name that counts
    instead of the typed one.

    Raises WorldError where the file cannot be written.
    """
    given = read(raw, _MODELS[move], MOVE)
    if given.document is None:
        return Moved("refused", given.findings)
    document = given.document.signed(signed_in)
    digest = digest_of(move, document)
    if document.dry_run:
        with workshop.database.reading() as section:
            stored = orders.by_id(section, as_typed(order_id))
        return _asked(stored, move, document)
    try:
        return _move(workshop, order_id, move, document, key, digest)
    except Short as short:
        return _short(workshop, order_id, short)


def _move(
    workshop: Workshop, order_id: str, move: Move, document: Document, key: str | None, digest: str
) -> Moved:
    """The move made; Short takes everything back."""
    with workshop.database.writing() as section:
        stored = orders.by_id(section, as_typed(order_id))
        if stored is None:
            return Moved("unknown")
        before = before_by_key(section, stored.id, key, digest)
        if before is not None:
            return before
        state = order_after(order_state(stored.state), move)
        in_the_way = _in_the_way(stored, move, document)
        if state is None or in_the_way:
            return Moved("conflict", in_the_way)
        orders.move(section, stored.id, state)
        moment = workshop.clock()
        at = stamp(moment)
        if move == "release":
            confirm(section, stored.id, moment)
        event = events.append(
            section,
            at=at,
            kind=f"order.{MOVE_WORDS[move]}",
            order_id=stored.id,
            facts=json.dumps({"revision": stored.revision, "state": state}),
        )
        return keep(
            section,
            Told(move, stored, state, stored.revision),
            key=key,
            digest=digest,
            by=document.by,
            approved_by=document.by if move == "approve" else None,
            reason=document.reason,
            at=at,
            event=event,
        )


def _short(workshop: Workshop, order_id: str, short: Short) -> Moved:
    """What is short for an order whose holds have run out."""
    with workshop.database.reading() as section:
        stored = orders.by_id(section, as_typed(order_id))
    if stored is None:
        return Moved("unknown")
    edition = edition_numbered(workshop, stored.edition)
    document = json.loads(stored.document)
    return Moved("conflict", shortage(needs(short.plans), short.shelves, document, edition))


def _in_the_way(stored: StoredOrder, move: Move, document: Document) -> tuple[Finding, ...]:
    """What keeps the order from being moved so."""
    late = overtaken(stored, document)
    if late is not None:
        return (late,)
    if order_after(order_state(stored.state), move) is None:
        return (not_from_here(stored, move),)
    return ()


def _asked(stored: StoredOrder | None, move: Move, document: Document) -> Moved:
    """What the move would come to."""
    if stored is None:
        return Moved("unknown")
    state = order_after(order_state(stored.state), move)
    findings = _in_the_way(stored, move, document)
    told = Told(move, stored, state or stored.state, stored.revision, findings=findings)
    return Moved("dry-run", findings, told.text(done=False))
