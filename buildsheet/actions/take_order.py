"""An order is checked, and where it can be built it is taken: numbers, wheels, sheets, parts set
aside, one commit.

What is refused leaves no trace. What was taken before is answered as it was answered then, whether
the sender repeats its Idempotency-Key or its business key (source, number, revision). Two orders never
get the last part: what is free is asked in the section that sets it aside.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Final

from buildsheet.actions.answers import (
    Answered,
    OrderHead,
    WheelHead,
    head_text,
    with_plans,
)
from buildsheet.actions.earlier import Took, body_digest, earlier, keep_key, keep_key_later
from buildsheet.actions.editions import in_force, running_edition
from buildsheet.actions.plan_record import kept
from buildsheet.actions.serials import CODE_BYTES, ORDER, WHEEL, bench_code, next_issue, serial
from buildsheet.actions.stock import holds
from buildsheet.actions.workshop import Workshop, stamp
from buildsheet.catalog.edition import Edition
from buildsheet.findings import Finding, Value, in_stable_order
from buildsheet.orders.check import Checked, check_read
from buildsheet.orders.document import Order
from buildsheet.orders.reading import read_parsed
from buildsheet.orders.reservation.codes import stocked
from buildsheet.orders.reservation.need import needs
from buildsheet.orders.reservation.shortage import Shelves, shortage
from buildsheet.orders.text import parse
from buildsheet.storage import allotments, events, orders, stock, wheels
from buildsheet.storage.database import Section
from buildsheet.storage.orders import StoredOrder
from buildsheet.storage.wheels import StoredPlan, StoredSheet

ACCEPTED: Final = "accepted"
ON_HOLD: Final = "on-hold"
"""Taken, but not built before somebody releases it by name."""

PLANNED: Final = "planned"
"""A wheel that has its number and its sheet, and no part in a bag yet."""


@dataclass(frozen=True, slots=True)
class _Asked:
    """An order that can be built, with all that is known of it before the lock."""

    raw: bytes
    key: str | None
    order: Order
    digest: str
    edition: Edition
    checked: Checked
    plans: Mapping[str, StoredPlan]


def take_order(workshop: Workshop, raw: bytes, key: str | None = None) -> Took:
    """Check and take one order; answered only after the commit. ``key`` is the Idempotency-Key.

    Raises NoEdition where no catalog is loaded, WorldError where the file cannot be written.
    """
    edition = running_edition(workshop)
    parsed = parse(raw)
    reading = read_parsed(parsed)
    order = reading.order
    digest = body_digest(order) if order is not None else ""
    if order is not None:
        # Before any check: what was taken stays taken, whatever a later edition says of it.
        with workshop.database.reading() as section:
            before = earlier(section, order, digest, key, edition.number)
        if before is not None:
            keep_key_later(workshop, order, key, before)
            return before
    checked = check_read(parsed, reading, edition)
    if order is None or not checked.buildable:
        return Took("refused", checked.findings, edition.number)
    plans = {position: kept(checked.plans[position]) for position in sorted(checked.plans)}
    asked = _Asked(raw, key, order, digest, edition, checked, plans)
    with workshop.database.writing() as section:
        took = _take(workshop, section, asked)
    if took is None:
        return take_order(workshop, raw, key)
    if isinstance(took, Shelves):
        # Looked for outside the lock: ways out take longer than anybody else should wait.
        found = shortage(needs(checked.plans), took, parsed.document or {}, edition)
        return Took("short", found, edition.number)
    return took


def _take(workshop: Workshop, section: Section, asked: _Asked) -> Took | Shelves | None:
    """What becomes of the order under the lock; the shelves where something is short, None where the
    order has to be judged again.

    Between the first look and this lock another process may have taken the same order, or the last
    part, or published an edition that this check knows nothing of.
    """
    moment = workshop.clock()
    before = earlier(section, asked.order, asked.digest, asked.key, asked.edition.number)
    if before is not None:
        keep_key(section, asked.order, asked.key, before, stamp(moment))
        return before
    running = in_force(section, moment)
    if running is None or running.number != asked.edition.number:
        return None
    holds.sweep(section, moment)
    keeps_stock = stock.kept(section)
    if keeps_stock and holds.lacks(section, needs(asked.checked.plans)):
        return holds.shelves(section)
    return _store(workshop, section, asked, moment, keeps_stock=keeps_stock)


def _store(
    workshop: Workshop, section: Section, asked: _Asked, moment: datetime, *, keeps_stock: bool
) -> Took:
    at = stamp(moment)
    order, checked, edition = asked.order, asked.checked, asked.edition.number
    order_id = serial(ORDER, moment.year, allotments.next_number(section, ORDER, moment.year))
    sheets = _allot_sheets(workshop, section, asked, moment)
    serials = {position: sheet.serial for position, sheet in sheets.items()}
    until = holds.expiry(moment, asked.edition)
    told: list[Value] = holds.told(checked.plans, serials, until) if keeps_stock else []
    findings = checked.findings if keeps_stock else _without_stock(checked.findings, edition)
    head = OrderHead(
        id=order_id,
        source=order.source,
        number=order.number,
        revision=order.revision,
        state=ON_HOLD if checked.needs_release else ACCEPTED,
        needs_release=checked.needs_release,
        edition=edition,
        taken_at=at,
        event=events.append(
            section,
            at=at,
            kind="order.taken",
            order_id=order_id,
            facts=f'{{"revision":{order.revision},"edition":{edition},"wheels":{len(sheets)}}}',
        ),
        findings=findings,
        wheels=tuple(
            WheelHead(sheet.serial, position, sheet.issue, sheet.fingerprint)
            for position, sheet in sheets.items()
        ),
        holds=told,
    )
    stored = StoredOrder(
        id=order_id,
        source=order.source,
        number=order.number,
        revision=order.revision,
        state=head.state,
        edition=edition,
        body_digest=asked.digest,
        document=asked.raw.decode("utf-8"),
        answer=head_text(head),
        taken_at=at,
        current=True,
    )
    orders.insert(section, stored)
    for position, sheet in sheets.items():
        wheels.insert_plan(section, asked.plans[position])
        wheels.insert_wheel(
            section,
            serial=sheet.serial,
            order_id=order_id,
            position=position,
            state=PLANNED,
            allotted_at=at,
        )
        wheels.issue_sheet(section, sheet)
    if keeps_stock:
        holds.hold(section, checked.plans, serials, order_id=order_id, at=at, until=until)
    documents = {position: plan.document for position, plan in asked.plans.items()}
    answered = Answered(order_id, with_plans(stored.answer, documents))
    took = Took("taken", findings, edition, answered)
    keep_key(section, order, asked.key, took, at)
    return took


def _allot_sheets(
    workshop: Workshop, section: Section, asked: _Asked, moment: datetime
) -> dict[str, StoredSheet]:
    """Position -> its first sheet, with a new serial and a new bench code."""
    return {
        position: StoredSheet(
            code=bench_code(workshop.chance(CODE_BYTES)),
            serial=serial(WHEEL, moment.year, allotments.next_number(section, WHEEL, moment.year)),
            issue=next_issue(None),
            revision=asked.order.revision,
            edition=asked.edition.number,
            fingerprint=asked.checked.plans[position].fingerprint,
            plan_digest=plan.digest,
            issued_at=stamp(moment),
        )
        for position, plan in asked.plans.items()
    }


def _without_stock(findings: tuple[Finding, ...], edition: int) -> tuple[Finding, ...]:
    says = (
        "No stock was ever counted in this workshop: nothing is held for the order, and nobody has "
        "looked whether its parts are there."
    )
    note = stocked("stock.not-kept", "note", "", says, edition=edition)
    return in_stable_order([*findings, note])
