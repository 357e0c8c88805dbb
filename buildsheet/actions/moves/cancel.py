"""An order is not built any further: every wheel goes where its state lets it go, and the file says so."""

from __future__ import annotations

import json

from buildsheet.actions.bench.view import as_state
from buildsheet.actions.moves.answers import (
    Moved,
    Told,
    before_by_key,
    digest_of,
    keep,
    not_from_here,
    overtaken,
)
from buildsheet.actions.moves.documents import MOVE, CancelDocument
from buildsheet.actions.moves.lost import lost, standing_in_the_way
from buildsheet.actions.moves.shelves import put_away
from buildsheet.actions.moves.waiting import order_state
from buildsheet.actions.serials import as_typed
from buildsheet.actions.workshop import Workshop, stamp
from buildsheet.documents.form import read
from buildsheet.findings import Finding
from buildsheet.states import order_after, wheel_after
from buildsheet.storage import events, orders, wheels
from buildsheet.storage.database import Section
from buildsheet.storage.orders import StoredOrder
from buildsheet.storage.wheels import StoredWheel


def cancel_order(
    workshop: Workshop,
    order_id: str,
    raw: bytes,
    key: str | None = None,
    *,
    signed_in: str | None = None,
) -> Moved:
    """The cancellation, from its document; refused where a wheel has left the house.
    ``signed_in`` is the name that counts instead of the typed one.

    Raises WorldError where the file cannot be written.
    """
    given = read(raw, CancelDocument, MOVE)
    if given.document is None:
        return Moved("refused", given.findings)
    document = given.document.signed(signed_in)
    if document.dry_run:
        with workshop.database.reading() as section:
            stored = orders.by_id(section, as_typed(order_id))
            if stored is None:
                return Moved("unknown")
            told = _told(section, stored, document)
            return Moved("dry-run", told.findings, told.text(done=False))
    digest = digest_of("cancel", document)
    with workshop.database.writing() as section:
        stored = orders.by_id(section, as_typed(order_id))
        if stored is None:
            return Moved("unknown")
        before = before_by_key(section, stored.id, key, digest)
        if before is not None:
            return before
        told = _told(section, stored, document)
        if told.findings:
            return Moved("conflict", told.findings, told.text(done=False))
        at = stamp(workshop.clock())
        orders.move(section, stored.id, told.state)
        event = events.append(
            section,
            at=at,
            kind="order.cancelled",
            order_id=stored.id,
            facts=json.dumps({"revision": stored.revision, "state": told.state}),
        )
        standing = wheels.of_order(section, stored.id)
        put_away(section, standing, at, document.by)
        for wheel in standing:
            _move_on(section, wheel, at)
        return keep(
            section,
            told,
            key=key,
            digest=digest,
            by=document.by,
            approved_by=document.approved_by,
            reason=document.reason,
            at=at,
            event=event,
        )


def _told(section: Section, stored: StoredOrder, document: CancelDocument) -> Told:
    """What the cancellation comes to, and what stands in its way."""
    losses = tuple(
        lost(each, "cancel")
        for each in wheels.of_order(section, stored.id)
        if each.state not in ("stock", "cancelled")
    )
    state = order_after(order_state(stored.state), "cancel")
    findings: tuple[Finding, ...] = () if state else (not_from_here(stored, "cancel"),)
    late = overtaken(stored, document)
    if late is not None:
        findings = (late,)
    elif state:
        findings = standing_in_the_way(losses, document.approved_by, document.reason)
    return Told("cancel", stored, state or stored.state, stored.revision, losses, findings=findings)


def _move_on(section: Section, wheel: StoredWheel, at: str) -> None:
    """The wheel as cancelled, or as a stock wheel under its serial."""
    state = as_state(wheel.state)
    after = wheel_after(state, "cancel") or wheel_after(state, "set-aside")
    if after is None:
        return
    wheels.move(section, wheel.serial, after)
    events.append(
        section,
        at=at,
        kind="wheel.cancelled" if after == "cancelled" else "wheel.set-aside",
        order_id=wheel.order_id,
        serial=wheel.serial,
        facts=json.dumps({"state_before": state, "state": after}),
    )
