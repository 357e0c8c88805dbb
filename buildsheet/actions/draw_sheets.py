"""The sheets of an order file: with its numbers where the workshop has taken it, marked where not."""

from __future__ import annotations

from dataclasses import dataclass
from hashlib import sha256

from buildsheet import sheet
from buildsheet.actions.intake.earlier import body_digest
from buildsheet.actions.print_sheet import PAPERS, Waits, sheet_pdf
from buildsheet.actions.serials import CODE_BYTES, bench_code
from buildsheet.actions.sheet_requests import NOT_TAKEN, Numbers, sheet_request
from buildsheet.actions.show_wheel import known_wheel
from buildsheet.actions.workshop import Workshop
from buildsheet.catalog.edition import Edition
from buildsheet.orders.check import Checked
from buildsheet.orders.document import Order
from buildsheet.storage import orders, wheels


@dataclass(frozen=True, slots=True)
class Drawn:
    """One wheel's sheet: the name its file should have, the PDF, and whether the wheel is taken."""

    position: str
    file_name: str
    serial: str | None
    pdf: bytes


def draw_sheets(
    workshop: Workshop | None, checked: Checked, edition: Edition, paper: str
) -> tuple[Drawn, ...]:
    """A sheet for every wheel of a checked, buildable order.

    A sheet of an order that is not taken carries NOT TAKEN where the serial stands, and its code opens
    no wheel. Raises Waits for an order on hold, ValueError for an order that cannot be built.
    """
    order = checked.order
    if order is None or not checked.buildable:
        raise ValueError("an order that cannot be built has no sheets")
    serials = _serials(workshop, order) if workshop else {}
    # Of an order that is taken its state says whether it was released; nobody releases any other.
    if checked.needs_release and not serials:
        raise Waits("This order needs an approval by name with a reason before a sheet is printed.")
    return tuple(
        _taken(workshop, order, serials[position], paper)
        if workshop and position in serials
        else _not_taken(checked, order, edition, position, paper)
        for position in sorted(checked.plans)
    )


def _serials(workshop: Workshop, order: Order) -> dict[str, str]:
    """Position -> serial, where exactly this order is taken."""
    with workshop.database.reading() as section:
        stored = orders.by_business_key(section, *order.key)
        if stored is None or stored.body_digest != body_digest(order):
            return {}
        return {wheel.position: wheel.serial for wheel in wheels.of_order(section, stored.id)}


def _taken(workshop: Workshop, order: Order, serial: str, paper: str) -> Drawn:
    view = known_wheel(workshop, serial)
    name = f"{order.number}-{view.stored.position}-{serial}.pdf"
    return Drawn(view.stored.position, name, serial, sheet_pdf(workshop, view, paper))


def _not_taken(
    checked: Checked, order: Order, edition: Edition, position: str, paper: str
) -> Drawn:
    plan = checked.plans[position]
    # No chance here: the same file gives the same bytes.
    said = f"{order.key} {position} {plan.fingerprint}"
    code = bench_code(sha256(said.encode()).digest()[:CODE_BYTES])
    numbers = Numbers(NOT_TAKEN, "-", code)
    request = sheet_request(order, edition, plan, numbers, checked.findings, PAPERS[paper])
    return Drawn(position, f"{order.number}-{position}.pdf", None, sheet.pdf((request,)))
