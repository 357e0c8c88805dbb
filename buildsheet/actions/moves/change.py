"""An order becomes another one of itself: a new revision, with new issues where a wheel changes.

Everything is worked out before the lock; under the lock only whether it still stands is asked. Of two
changes at once one wins, and the other is told which revision counts now.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass

from buildsheet.actions.answers import OrderHead, WheelHead, head_text
from buildsheet.actions.intake.earlier import body_digest
from buildsheet.actions.moves.answers import (
    Moved,
    Outcome,
    Told,
    before_by_key,
    digest_of,
    keep,
    not_from_here,
    within,
)
from buildsheet.actions.moves.documents import CHANGE, OPEN, ChangeDocument
from buildsheet.actions.moves.kept import keep_wheel, replayed
from buildsheet.actions.moves.lost import Lost, lost, standing_in_the_way
from buildsheet.actions.moves.proposed import ORDER, Proposed, Refusal, propose, wanted
from buildsheet.actions.moves.sheets import NewSheet, new_sheet
from buildsheet.actions.moves.shelves import Short, hold_changed
from buildsheet.actions.moves.waiting import state_after
from buildsheet.actions.plan_record import compact
from buildsheet.actions.serials import as_typed, next_issue
from buildsheet.actions.show_wheel import known_wheel
from buildsheet.actions.stock import holds
from buildsheet.actions.workshop import Workshop, stamp
from buildsheet.documents.form import read
from buildsheet.findings import Finding, Value
from buildsheet.orders.document import Order
from buildsheet.orders.reservation.need import needs
from buildsheet.orders.reservation.shortage import shortage
from buildsheet.storage import events, moves, orders, wheels
from buildsheet.storage.database import Section
from buildsheet.storage.orders import StoredOrder
from buildsheet.storage.wheels import StoredWheel


@dataclass(frozen=True, slots=True)
class _Seen:
    """What was looked at before the lock, and what the change comes to."""

    stored: StoredOrder
    standing: tuple[StoredWheel, ...]
    document: ChangeDocument
    proposed: Proposed
    sheets: tuple[NewSheet, ...]
    told: Told


def change_order(
    workshop: Workshop,
    order_id: str,
    raw: bytes,
    key: str | None = None,
    *,
    signed_in: str | None = None,
) -> Moved:
    """The change, from its document; nothing is kept where it is refused. ``signed_in`` is the name
    that counts instead of the typed one.

    Raises NoEdition where no catalog is loaded, WorldError where the file cannot be written.
    """
    given = read(raw, ChangeDocument, CHANGE)
    if given.document is None:
        return Moved("refused", given.findings)
    document = given.document.signed(signed_in)
    order, text, faults = wanted(document)
    digest = digest_of("change", document)
    with workshop.database.reading() as section:
        stored = orders.by_id(section, as_typed(order_id))
        before = _before(section, stored, order, key, digest)
        standing = wheels.of_order(section, stored.id) if stored else ()
    if before is not None or stored is None:
        return before or Moved("unknown")
    if order is None:
        return Moved("unbuildable", faults)
    seen = _look(workshop, stored, standing, document, order, text)
    if isinstance(seen, Moved):
        return seen
    if document.dry_run or seen.told.findings:
        outcome: Outcome = "dry-run" if document.dry_run else "conflict"
        return Moved(outcome, seen.told.findings, seen.told.text(done=False))
    try:
        with workshop.database.writing() as section:
            if _still_stands(section, seen):
                return _keep(workshop, section, seen, key, digest)
    except Short as short:
        return _short(short, seen)
    return change_order(workshop, order_id, raw, key, signed_in=signed_in)


def _short(short: Short, seen: _Seen) -> Moved:
    """What is short for the order as changed; nothing was kept."""
    edition, document = seen.proposed.edition, json.loads(seen.proposed.text)
    found = shortage(needs(short.plans), short.shelves, document, edition)
    return Moved("conflict", within(found, ORDER), seen.told.text(done=False))


def _before(
    section: Section,
    stored: StoredOrder | None,
    order: Order | None,
    key: str | None,
    digest: str,
) -> Moved | None:
    """What the same request was answered before."""
    if stored is None:
        return None
    by_key = before_by_key(section, stored.id, key, digest)
    if by_key is not None or order is None:
        return by_key
    return replayed(section, stored.id, order)


def _look(
    workshop: Workshop,
    stored: StoredOrder,
    standing: tuple[StoredWheel, ...],
    document: ChangeDocument,
    order: Order,
    text: str,
) -> _Seen | Moved:
    """What the change comes to, with everything that stands in its way."""
    if stored.state not in OPEN:
        return Moved("conflict", (not_from_here(stored, "change"),))
    proposed = propose(workshop, stored, document, order, text)
    if isinstance(proposed, Refusal):
        return Moved("conflict" if proposed.conflict else "unbuildable", proposed.findings)
    sheets: list[NewSheet] = []
    unplanned: list[Finding] = []
    for wheel in standing:
        made = new_sheet(workshop, known_wheel(workshop, wheel.serial), proposed)
        if isinstance(made, NewSheet):
            sheets.append(made)
        else:
            unplanned.append(made)
    if unplanned:
        return Moved("unbuildable", tuple(unplanned))
    losses = tuple(_lost(each) for each in sheets)
    with workshop.database.reading() as section:
        state = state_after(section, stored, proposed.checked)
    told = Told(
        move="change",
        before=stored,
        state=state,
        revision=order.revision,
        lost=losses,
        changed={
            "kind": proposed.revised.kind,
            "places": [*proposed.places],
            "wheels": {each.view.stored.position: each.kind for each in sheets},
        },
        new_issue=tuple(_issue(each) for each in sheets if each.new_issue),
        findings=standing_in_the_way(losses, document.approved_by, document.reason),
    )
    return _Seen(stored, standing, document, proposed, tuple(sheets), told)


def _lost(made: NewSheet) -> Lost:
    """What the change means for the wheel, and for its rim where that is drilled for it."""
    wheel, also = made.view.stored, ""
    if made.kind == "structural" and wheel.state in ("drilled", "building"):
        rim = made.view.kept.title.split(",")[0]
        also = (
            f"Here its drilling fits: rim {rim} stays."
            if made.change.same_drilling
            else f"Here it does not fit: rim {rim} goes to stock as drilled, a new rim is taken."
        )
    return lost(wheel, made.kind, also)


def _issue(made: NewSheet) -> Mapping[str, Value]:
    sheet = made.view.stored.sheet
    return {
        "serial": sheet.serial,
        "position": made.view.stored.position,
        "issue": next_issue(sheet.issue),
        "void": sheet.issue,
        "edition": made.edition.number,
    }


def _still_stands(section: Section, seen: _Seen) -> bool:
    """Whether order and wheels are as they were looked at."""
    now = orders.by_id(section, seen.stored.id)
    return now == seen.stored and wheels.of_order(section, seen.stored.id) == seen.standing


def _keep(workshop: Workshop, section: Section, seen: _Seen, key: str | None, digest: str) -> Moved:
    order, stored, checked = seen.proposed.order, seen.stored, seen.proposed.checked
    moment = workshop.clock()
    at = stamp(moment)
    before = wheels.plan_digests_of(section, stored.id, stored.revision)
    event = events.append(
        section,
        at=at,
        kind="order.changed",
        order_id=stored.id,
        facts=json.dumps(
            {
                "revision": order.revision,
                "replaces": stored.revision,
                "kind": seen.proposed.revised.kind,
                "state": seen.told.state,
            }
        ),
    )
    hold_changed(
        section,
        seen.sheets,
        order_id=stored.id,
        moment=moment,
        by=seen.document.by,
        released=stored.state == "released",
        edition=seen.proposed.edition,
    )
    for made in seen.sheets:
        keep_wheel(workshop, section, made, order.revision, at)
    now = wheels.of_order(section, stored.id)
    head = OrderHead(
        id=stored.id,
        source=order.source,
        number=order.number,
        revision=order.revision,
        state=seen.told.state,
        needs_release=checked.needs_release,
        edition=checked.edition,
        taken_at=at,
        event=event,
        findings=checked.findings,
        wheels=tuple(
            WheelHead(each.serial, each.position, each.sheet.issue, each.sheet.fingerprint)
            for each in now
        ),
        holds=compact(
            holds.standing(section, stored.id, {each.serial: each.position for each in now})
        ),
    )
    orders.revise(
        section,
        StoredOrder(
            id=stored.id,
            source=order.source,
            number=order.number,
            revision=order.revision,
            state=seen.told.state,
            edition=checked.edition,
            body_digest=body_digest(order),
            document=seen.proposed.text,
            answer=head_text(head),
            taken_at=at,
            current=True,
        ),
    )
    moves.keep_plans(section, stored.id, stored.revision, before)
    digests = {each.position: each.sheet.plan_digest for each in now}
    moves.keep_plans(section, stored.id, order.revision, digests)
    return keep(
        section,
        seen.told,
        key=key,
        digest=digest,
        by=seen.document.by,
        approved_by=seen.document.approved_by,
        reason=seen.document.reason,
        at=at,
        event=event,
    )
