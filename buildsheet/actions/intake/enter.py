"""Orders that are taken: numbers, wheels, sheets, parts set aside, an event and an answer for each."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from buildsheet.actions.answers import Answered, OrderHead, WheelHead, head_text, with_plans
from buildsheet.actions.intake.asked import ACCEPTED, ON_HOLD, PLANNED, Asked
from buildsheet.actions.intake.earlier import Took, keep_key
from buildsheet.actions.serials import CODE_BYTES, ORDER, WHEEL, bench_code, next_issue, serial
from buildsheet.actions.stock import holds
from buildsheet.actions.wanted_day import passed_already
from buildsheet.actions.workshop import stamp
from buildsheet.findings import Finding, in_stable_order
from buildsheet.orders.reservation.codes import stocked
from buildsheet.storage import allotments, events, orders, stock, wheels
from buildsheet.storage.database import Section
from buildsheet.storage.events import News
from buildsheet.storage.orders import StoredOrder
from buildsheet.storage.stock import NewHold
from buildsheet.storage.wheels import NewWheel, StoredSheet


def enter(
    section: Section, asked: Sequence[Asked], moment: datetime, *, keeps_stock: bool
) -> list[Took]:
    """Store orders that nothing is in the way of, and what each is answered, in their order."""
    at, year = stamp(moment), moment.year
    ids = [
        serial(ORDER, year, number)
        for number in allotments.next_numbers(section, ORDER, year, len(asked))
    ]
    sheets = _allot_sheets(section, asked, year, at)
    told = events.append_all(
        section, at, [_news(each, order_id) for each, order_id in zip(asked, ids, strict=True)]
    )
    # All are judged over one edition, the running one.
    until = holds.expiry(moment, asked[0].judged.edition) if keeps_stock else None
    made = [
        _order(each, order_id, of_order, event, at, until)
        for each, order_id, of_order, event in zip(asked, ids, sheets, told, strict=True)
    ]
    orders.insert(section, [stored for stored, _ in made])
    wheels.insert_new(
        section,
        PLANNED,
        [
            NewWheel(order_id, position, each.judged.wheels.plans[position], sheet)
            for each, order_id, of_order in zip(asked, ids, sheets, strict=True)
            for position, sheet in of_order.items()
        ],
    )
    if until is not None:
        new = [
            NewHold(order_id, sheet.serial, until, each.judged.wheels.picked[position])
            for each, order_id, of_order in zip(asked, ids, sheets, strict=True)
            for position, sheet in of_order.items()
        ]
        stock.set_aside(section, new, at=at, by=holds.HOUSE)
    entered = [took for _, took in made]
    for each, took in zip(asked, entered, strict=True):
        keep_key(section, each.order, each.key, took, at)
    return entered


def _news(each: Asked, order_id: str) -> News:
    edition, wheel_count = each.judged.edition.number, len(each.judged.wheels.plans)
    facts = f'{{"revision":{each.order.revision},"edition":{edition},"wheels":{wheel_count}}}'
    return News("order.taken", order_id, None, facts)


def _order(
    each: Asked,
    order_id: str,
    sheets: dict[str, StoredSheet],
    event: int,
    at: str,
    until: str | None,
) -> tuple[StoredOrder, Took]:
    """An order as it is stored, and what it is answered; ``until`` None where nothing is held for it."""
    order, judged = each.order, each.judged
    checked, edition = judged.checked, judged.edition.number
    serials = {position: sheet.serial for position, sheet in sheets.items()}
    held, findings = "[]", checked.findings
    if until is None:
        findings = _without_stock(findings, edition)
    else:
        held = holds.told(judged.wheels.told, serials, until)
    late = passed_already(order, at[:10], edition)
    if late:
        findings = in_stable_order([*findings, *late])
    head = OrderHead(
        id=order_id,
        source=order.source,
        number=order.number,
        revision=order.revision,
        state=ON_HOLD if checked.needs_release else ACCEPTED,
        needs_release=checked.needs_release,
        edition=edition,
        taken_at=at,
        event=event,
        findings=findings,
        wheels=tuple(
            WheelHead(sheet.serial, position, sheet.issue, sheet.fingerprint)
            for position, sheet in sheets.items()
        ),
        holds=held,
    )
    stored = StoredOrder(
        id=order_id,
        source=order.source,
        number=order.number,
        revision=order.revision,
        state=head.state,
        edition=edition,
        body_digest=each.digest,
        document=each.raw.decode("utf-8"),
        answer=head_text(head),
        taken_at=at,
        current=True,
    )
    documents = {position: plan.document for position, plan in judged.wheels.plans.items()}
    answered = Answered(order_id, with_plans(stored.answer, documents))
    return stored, Took("taken", findings, edition, answered)


def _allot_sheets(
    section: Section, asked: Sequence[Asked], year: int, at: str
) -> list[dict[str, StoredSheet]]:
    """Position -> first sheet of every order's wheels, with new serials and new bench codes."""
    count = sum(len(each.judged.wheels.plans) for each in asked)
    numbers = iter(allotments.next_numbers(section, WHEEL, year, count))
    return [
        {
            position: StoredSheet(
                code=bench_code(each.workshop.chance(CODE_BYTES)),
                serial=serial(WHEEL, year, next(numbers)),
                issue=next_issue(None),
                revision=each.order.revision,
                edition=each.judged.edition.number,
                fingerprint=each.judged.checked.plans[position].fingerprint,
                plan_digest=plan.digest,
                issued_at=at,
            )
            for position, plan in each.judged.wheels.plans.items()
        }
        for each in asked
    ]


def _without_stock(findings: tuple[Finding, ...], edition: int) -> tuple[Finding, ...]:
    says = (
        "No stock was ever counted in this workshop: nothing is held for the order, and nobody has "
        "looked whether its parts are there."
    )
    note = stocked("stock.not-kept", "note", "", says, edition=edition)
    return in_stable_order([*findings, note])
