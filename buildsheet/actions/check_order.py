"""Every finding about an order and the plans of its wheels; stores nothing."""

from __future__ import annotations

from dataclasses import replace

from buildsheet.actions.editions import running_edition
from buildsheet.actions.stock.available import shelf_findings
from buildsheet.actions.wanted_day import passed_already
from buildsheet.actions.workshop import Workshop, stamp
from buildsheet.catalog.edition import Edition
from buildsheet.findings import Finding, in_stable_order
from buildsheet.orders.check import Checked, check


def check_order(raw: bytes, edition: Edition) -> Checked:
    """The posted bytes judged against one edition."""
    return check(raw, edition)


def check_against_shelves(workshop: Workshop, raw: bytes) -> Checked:
    """The same, with what the workshop's shelves lack now among the findings, and whether the day by which
    it is wanted has passed. Raises NoEdition."""
    return with_shelves(workshop, check_posted(workshop, raw))


def with_shelves(workshop: Workshop, checked: Checked) -> Checked:
    """What was checked, with what the shelves and the clock say of it; nothing is held."""
    said = (*shelf_findings(workshop, checked), *_late(workshop, checked))
    findings = in_stable_order([*checked.findings, *said])
    return replace(checked, findings=findings) if said else checked


def _late(workshop: Workshop, checked: Checked) -> tuple[Finding, ...]:
    """Silent for an order that cannot be built, as the shelves are."""
    if checked.order is None or not checked.buildable:
        return ()
    return passed_already(checked.order, stamp(workshop.clock())[:10], checked.edition)


def check_posted(workshop: Workshop, raw: bytes) -> Checked:
    """The posted bytes judged against the running edition. Raises NoEdition where none is loaded."""
    return check(raw, running_edition(workshop))
