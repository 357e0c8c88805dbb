"""What a sheet is printed from: a plan, the order it belongs to, the numbers it carries."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from buildsheet.catalog.edition import Edition
from buildsheet.findings import Finding
from buildsheet.orders.document import Order
from buildsheet.plan.plan import Plan
from buildsheet.sheet import Decals, Paper, Released, SheetRequest, Use

NOT_TAKEN = "NOT TAKEN"
"""Stands in the serial's place on a sheet of an order that the workshop has not taken."""


@dataclass(frozen=True, slots=True)
class Numbers:
    """What identifies one sheet: serial, issue letter, bench code."""

    serial: str
    issue: str
    code: str


def sheet_request(
    order: Order,
    edition: Edition,
    plan: Plan,
    numbers: Numbers,
    findings: Iterable[Finding],
    paper: Paper,
    released: Released | None = None,
) -> SheetRequest:
    """The request for one wheel's sheet; ``findings`` are those of the whole order."""
    positions = [name for name in ("front", "rear") if getattr(order, name) is not None]
    use = order.use
    return SheetRequest(
        workshop=edition.house.workshop,
        order_number=order.number,
        revision=order.revision,
        source=order.source,
        serial=numbers.serial,
        issue=numbers.issue,
        wanted_by=order.wanted_by,
        edition=edition,
        plan=plan,
        wheel_of=(positions.index(plan.position) + 1, len(positions)),
        use=Use(use.class_, use.system_kg, use.tyre_width_mm, use.tyre_system, use.brake),
        bench_url=edition.house.sheet.bench_address + numbers.code,
        decals=_decals(order, edition, plan),
        note=order.note or "",
        findings=tuple(each for each in findings if concerns(each.at, plan.position)),
        paper=paper,
        released=released,
    )


def concerns(at: str, position: str) -> bool:
    """Whether a finding at this place is for the builder of this wheel.

    >>> concerns("/rear/hub", "front"), concerns("/use/tyre_width_mm", "front"), concerns("", "rear")
    (False, True, True)
    """
    other = "/rear/" if position == "front" else "/front/"
    return not f"{at}/".startswith(other)


def _decals(order: Order, edition: Edition, plan: Plan) -> Decals:
    finish = order.finish
    colour = finish.decal_colour
    if plan.position == "rear" and finish.rear_decal_colour:
        colour = finish.rear_decal_colour
    size = finish.decal_size or edition.rims[plan.rim].decal_size
    left = edition.decal(colour, size, "left") if size else None
    right = edition.decal(colour, size, "right") if size else None
    return Decals(colour, left.code if left else "", right.code if right else "")
