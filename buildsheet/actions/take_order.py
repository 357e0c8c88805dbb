"""An order is checked, and where it can be built it is taken: numbers, wheels, sheets, one commit.

What is refused leaves no trace. What was taken before is answered as it was answered then, whether
the sender repeats its Idempotency-Key or its business key (source, number, revision).
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from buildsheet.actions.answers import OrderHead, WheelHead, head_text, whole_answer
from buildsheet.actions.earlier import Took, body_digest, earlier, keep_key, keep_key_later
from buildsheet.actions.editions import in_force, running_edition
from buildsheet.actions.plan_record import kept
from buildsheet.actions.serials import CODE_BYTES, ORDER, WHEEL, bench_code, next_issue, serial
from buildsheet.actions.workshop import Workshop, stamp
from buildsheet.orders.check import Checked, check
from buildsheet.orders.document import Order
from buildsheet.orders.reading import read
from buildsheet.storage import allotments, events, orders, wheels
from buildsheet.storage.database import Section
from buildsheet.storage.orders import StoredOrder
from buildsheet.storage.wheels import StoredPlan, StoredSheet

ACCEPTED: Final = "accepted"
ON_HOLD: Final = "on-hold"
"""Taken, but not built before somebody releases it by name."""

PLANNED: Final = "planned"
"""A wheel that has its number and its sheet, and no part in a bag yet."""


def take_order(workshop: Workshop, raw: bytes, key: str | None = None) -> Took:
    """Check and take one order; answered only after the commit. ``key`` is the Idempotency-Key.

    Raises NoEdition where no catalog is loaded, WorldError where the file cannot be written.
    """
    edition = running_edition(workshop)
    order = read(raw).order
    if order is not None:
        # Before any check: what was taken stays taken, whatever a later edition says of it.
        with workshop.database.reading() as section:
            before = earlier(section, order, key, edition.number)
        if before is not None:
            keep_key_later(workshop, order, key, before)
            return before
    checked = check(raw, edition)
    if order is None or not checked.buildable:
        return Took("refused", checked.findings, edition.number)
    plans = {position: kept(plan) for position, plan in checked.plans.items()}
    with workshop.database.writing() as section:
        # Between the first look and this lock another process may have taken the same order, or
        # published an edition that this check knows nothing of.
        before = earlier(section, order, key, edition.number)
        if before is not None:
            keep_key(section, order, key, before, stamp(workshop.clock()))
            return before
        running = in_force(section, workshop.clock())
        if running is not None and running.number == edition.number:
            return _store(workshop, section, raw, checked, order, plans, key)
    return take_order(workshop, raw, key)


def _store(
    workshop: Workshop,
    section: Section,
    raw: bytes,
    checked: Checked,
    order: Order,
    plans: Mapping[str, StoredPlan],
    key: str | None,
) -> Took:
    moment = workshop.clock()
    at = stamp(moment)
    order_id = serial(ORDER, moment.year, allotments.next_number(section, ORDER, moment.year))
    sheets = _allot_sheets(workshop, section, checked, order, plans)
    head = OrderHead(
        id=order_id,
        source=order.source,
        number=order.number,
        revision=order.revision,
        state=ON_HOLD if checked.needs_release else ACCEPTED,
        needs_release=checked.needs_release,
        edition=checked.edition,
        taken_at=at,
        event=events.append(
            section,
            at=at,
            kind="order.taken",
            order_id=order_id,
            facts=f'{{"revision":{order.revision},"edition":{checked.edition},"wheels":{len(sheets)}}}',
        ),
        findings=checked.findings,
        wheels=tuple(
            WheelHead(sheet.serial, position, sheet.issue, sheet.fingerprint)
            for position, sheet in sheets.items()
        ),
    )
    stored = StoredOrder(
        id=order_id,
        source=order.source,
        number=order.number,
        revision=order.revision,
        state=head.state,
        edition=checked.edition,
        body_digest=body_digest(order),
        document=raw.decode("utf-8"),
        answer=head_text(head),
        taken_at=at,
        current=True,
    )
    orders.insert(section, stored)
    for position, sheet in sheets.items():
        wheels.insert_plan(section, plans[position])
        wheels.insert_wheel(
            section,
            serial=sheet.serial,
            order_id=order_id,
            position=position,
            state=PLANNED,
            allotted_at=at,
        )
        wheels.issue_sheet(section, sheet)
    took = Took("taken", checked.findings, checked.edition, whole_answer(section, stored))
    keep_key(section, order, key, took, at)
    return took


def _allot_sheets(
    workshop: Workshop,
    section: Section,
    checked: Checked,
    order: Order,
    plans: Mapping[str, StoredPlan],
) -> dict[str, StoredSheet]:
    """Position -> its first sheet, with a new serial and a new bench code."""
    moment = workshop.clock()
    return {
        position: StoredSheet(
            code=bench_code(workshop.chance(CODE_BYTES)),
            serial=serial(WHEEL, moment.year, allotments.next_number(section, WHEEL, moment.year)),
            issue=next_issue(None),
            revision=order.revision,
            edition=checked.edition,
            fingerprint=checked.plans[position].fingerprint,
            plan_digest=plans[position].digest,
            issued_at=stamp(moment),
        )
        for position in sorted(plans)
    }
