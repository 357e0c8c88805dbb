"""What a change does to the sheet of one wheel: nothing, another print, or a new issue."""

from __future__ import annotations

import json
from dataclasses import dataclass

from buildsheet.actions.bench.view import as_state, with_erd
from buildsheet.actions.editions import edition_numbered
from buildsheet.actions.moves.codes import moved
from buildsheet.actions.moves.proposed import ORDER, Proposed
from buildsheet.actions.plan_again import plan_of
from buildsheet.actions.serials import CODE_BYTES, bench_code, next_issue
from buildsheet.actions.show_wheel import WheelView
from buildsheet.actions.workshop import Workshop
from buildsheet.bench.stations import STATIONS
from buildsheet.catalog.edition import Edition
from buildsheet.errors import CannotCompute, CannotLace
from buildsheet.findings import Finding
from buildsheet.orders.checks.finish import decals
from buildsheet.orders.posted import Posted
from buildsheet.orders.revision import Kind, WheelChange
from buildsheet.plan.build import build
from buildsheet.plan.plan import Plan
from buildsheet.storage.wheels import StoredSheet

FINISHING = frozenset({"finishing", "pair", "box"})
"""Stations that have to be passed again when only the decals change."""

BUILT = frozenset({"inspected", "finished", "packed"})
SAME_ERD_MM = 1e-9


@dataclass(frozen=True, slots=True)
class NewSheet:
    """One wheel after the change: ``sheet`` is what is in force then, ``keeps`` the stations that need
    not be passed again (None: nothing is made over)."""

    view: WheelView
    change: WheelChange
    plan: Plan
    edition: Edition
    new_issue: bool
    keeps: tuple[str, ...] | None

    @property
    def kind(self) -> Kind:
        """How hard the change is for this wheel."""
        return self.change.kind


def new_sheet(workshop: Workshop, view: WheelView, proposed: Proposed) -> NewSheet | Finding:
    """The wheel's plan and what becomes of its sheet, or why it cannot be planned.

    A rim that stays, and was measured off, stays measured.
    """
    change = proposed.revised.wheels[view.stored.position]
    plan = plan_of(workshop, view)
    own = edition_numbered(workshop, view.stored.sheet.edition)
    if change.kind == "paper":
        return NewSheet(view, change, plan, own, new_issue=False, keeps=None)
    structural = change.kind == "structural"
    edition = proposed.edition if structural else own
    off_mm = _measured_off(view, plan, own) if change.same_rim else 0.0
    changed = _planned(proposed.text, view.stored.position, edition, off_mm)
    if changed is None:
        says = (
            f"The {view.stored.position} wheel cannot be planned so for the rim as it was measured. "
            "Choose other spokes, or another rim."
        )
        return moved("move.cannot-plan", f"{ORDER}/{view.stored.position}", says)
    return NewSheet(view, change, changed, edition, structural, _keeps(view, change))


def _keeps(view: WheelView, change: WheelChange) -> tuple[str, ...] | None:
    """The stations that still count; None where the change undoes none."""
    if change.kind == "structural":
        kept = [("rim-gate", change.same_rim), ("drill", change.same_drilling)]
        return tuple(name for name, stays in kept if stays)
    if as_state(view.stored.state) in BUILT:
        return (*(name for name in STATIONS if name not in FINISHING), "readings")
    return None


def _measured_off(view: WheelView, plan: Plan, edition: Edition) -> float:
    """How much more the rim was measured to have than its article, where the sheet was made for that."""
    wheel = Posted(json.loads(view.order.document), edition).wheel(view.stored.position)
    if wheel is None or wheel.computed is None:
        return 0.0
    off_mm = plan.erd_mm - wheel.computed.assembly.erd_mm
    return off_mm if abs(off_mm) > SAME_ERD_MM else 0.0


def _planned(text: str, position: str, edition: Edition, off_mm: float) -> Plan | None:
    """The wheel of the changed order, on a rim that measures ``off_mm`` more than its article."""
    wheel = Posted(json.loads(text), edition).wheel(position)
    if wheel is None or wheel.computed is None:
        return None
    erd_mm = wheel.computed.assembly.erd_mm + off_mm
    try:
        computed = with_erd(wheel.computed, edition, erd_mm)
        codes = tuple(each.code for each in decals(wheel))
        plan = build(computed.assembly, edition, decals=codes)
    except (CannotCompute, CannotLace):
        return None
    no_length = None in (plan.spokes.left.stock_mm, plan.spokes.right.stock_mm)
    return None if no_length else plan


def issued(
    workshop: Workshop, made: NewSheet, *, revision: int, plan_digest: str, at: str
) -> StoredSheet:
    """The next issue of the wheel's sheet, with a code of its own."""
    before = made.view.stored.sheet
    return StoredSheet(
        code=bench_code(workshop.chance(CODE_BYTES)),
        serial=made.view.stored.serial,
        issue=next_issue(before.issue),
        revision=revision,
        edition=made.edition.number,
        fingerprint=made.plan.fingerprint,
        plan_digest=plan_digest,
        issued_at=at,
    )
