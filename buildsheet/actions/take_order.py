"""An order is checked, and where it can be built it is taken: numbers, wheels, sheets, parts set
aside, one commit.

What is refused leaves no trace. What was taken before is answered as it was answered then, whether
the sender repeats its Idempotency-Key or its business key (source, number, revision). Two orders never
get the last part: what is free is asked in the section that sets it aside.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from functools import partial
from typing import Final

from buildsheet.actions import judged
from buildsheet.actions.answers import (
    Answered,
    OrderHead,
    WheelHead,
    head_text,
    with_plans,
)
from buildsheet.actions.earlier import Took, body_digest, earlier, keep_key, keep_key_later
from buildsheet.actions.editions import in_force, running_edition
from buildsheet.actions.judged import Judged
from buildsheet.actions.serials import CODE_BYTES, ORDER, WHEEL, bench_code, next_issue, serial
from buildsheet.actions.stock import holds
from buildsheet.actions.workshop import Workshop, stamp
from buildsheet.findings import Finding, Value, in_stable_order
from buildsheet.orders.check import check_read
from buildsheet.orders.document import Order
from buildsheet.orders.reading import read_parsed
from buildsheet.orders.reservation.codes import stocked
from buildsheet.orders.reservation.shortage import Shelves, shortage
from buildsheet.orders.text import parse
from buildsheet.storage import allotments, events, orders, wheels
from buildsheet.storage.database import Section
from buildsheet.storage.orders import StoredOrder
from buildsheet.storage.wheels import StoredSheet

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
    judged: Judged


def take_order(workshop: Workshop, raw: bytes, key: str | None = None) -> Took:
    """Check and take one order; answered only after the commit. ``key`` is the Idempotency-Key.

    Raises NoEdition where no catalog is loaded, WorldError where the file cannot be written.
    """
    parsed = parse(raw)
    reading = read_parsed(parsed)
    order = reading.order
    if order is None:
        edition = running_edition(workshop)
        return Took("refused", check_read(parsed, reading, edition).findings, edition.number)
    said, path = judged.what(parsed.document or {}), str(workshop.path)
    digest = body_digest(order)
    known = judged.known(path, said)
    while True:
        if known is None:
            edition = running_edition(workshop)
            judged.runs(path, edition)
            # Before any check: what was taken stays taken, whatever a later edition says of it.
            with workshop.database.reading() as section:
                before = earlier(section, order, digest, key, edition.number)
            if before is not None:
                keep_key_later(workshop, order, key, before)
                return before
            checked = check_read(parsed, reading, edition)
            if not checked.buildable:
                return Took("refused", checked.findings, edition.number)
            known = judged.keep(said, edition, checked)
        asked = _Asked(raw, key, order, digest, known)
        took = workshop.database.write(partial(_take, workshop, asked))
        if isinstance(took, Shelves):
            # Looked for outside the lock: ways out take longer than anybody else should wait.
            found = shortage(known.needs, took, parsed.document or {}, known.edition)
            return Took("short", found, known.edition.number)
        if took is not None:
            return took
        known = None


def _take(workshop: Workshop, asked: _Asked, section: Section) -> Took | Shelves | None:
    """What becomes of the order under the lock; the shelves where something is short, None where the
    order has to be judged again.

    Since it was judged another process may have taken the same order, or the last part, or published an
    edition that the judgement knows nothing of.
    """
    moment = workshop.clock()
    edition = asked.judged.edition
    before = earlier(section, asked.order, asked.digest, asked.key, edition.number)
    if before is not None:
        keep_key(section, asked.order, asked.key, before, stamp(moment))
        return before
    running = in_force(section, moment)
    if running is None or running.digest != edition.digest:
        return None
    holds.sweep(section, moment)
    free = holds.free(section, asked.judged.needs)
    if free is not None and holds.lacking(asked.judged.needs, free):
        return holds.shelves(section)
    return _store(workshop, section, asked, moment, keeps_stock=free is not None)


def _store(
    workshop: Workshop, section: Section, asked: _Asked, moment: datetime, *, keeps_stock: bool
) -> Took:
    at = stamp(moment)
    order, checked = asked.order, asked.judged.checked
    edition, plans = asked.judged.edition.number, asked.judged.plans
    order_id = serial(ORDER, moment.year, allotments.next_number(section, ORDER, moment.year))
    sheets = _allot_sheets(workshop, section, asked, moment)
    serials = {position: sheet.serial for position, sheet in sheets.items()}
    until = holds.expiry(moment, asked.judged.edition)
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
    made = {position: (plans[position], sheet) for position, sheet in sheets.items()}
    wheels.insert_new(section, order_id, PLANNED, made)
    if keeps_stock:
        holds.hold(section, checked.plans, serials, order_id=order_id, at=at, until=until)
    documents = {position: plan.document for position, plan in plans.items()}
    answered = Answered(order_id, with_plans(stored.answer, documents))
    took = Took("taken", findings, edition, answered)
    keep_key(section, order, asked.key, took, at)
    return took


def _allot_sheets(
    workshop: Workshop, section: Section, asked: _Asked, moment: datetime
) -> dict[str, StoredSheet]:
    """Position -> its first sheet, with a new serial and a new bench code."""
    plans, year, at = asked.judged.plans, moment.year, stamp(moment)
    numbers = allotments.next_numbers(section, WHEEL, year, len(plans))
    return {
        position: StoredSheet(
            code=bench_code(workshop.chance(CODE_BYTES)),
            serial=serial(WHEEL, year, number),
            issue=next_issue(None),
            revision=asked.order.revision,
            edition=asked.judged.edition.number,
            fingerprint=asked.judged.checked.plans[position].fingerprint,
            plan_digest=plan.digest,
            issued_at=at,
        )
        for number, (position, plan) in zip(numbers, plans.items(), strict=True)
    }


def _without_stock(findings: tuple[Finding, ...], edition: int) -> tuple[Finding, ...]:
    says = (
        "No stock was ever counted in this workshop: nothing is held for the order, and nobody has "
        "looked whether its parts are there."
    )
    note = stocked("stock.not-kept", "note", "", says, edition=edition)
    return in_stable_order([*findings, note])
