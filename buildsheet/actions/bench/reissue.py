"""A new issue of a wheel's sheet: the one before is void at the same moment, and says why."""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final

from buildsheet.actions.bench.view import BenchView, bench_of_serial, with_erd
from buildsheet.actions.editions import edition_numbered
from buildsheet.actions.plan_record import kept
from buildsheet.actions.serials import CODE_BYTES, bench_code, next_issue
from buildsheet.actions.stock import holds
from buildsheet.actions.stock.held_anew import hold_anew
from buildsheet.actions.workshop import Workshop, stamp
from buildsheet.bench.codes import found
from buildsheet.bench.remeasure import FARTHEST_MM
from buildsheet.bench.stations import STATIONS
from buildsheet.catalog.edition import Edition
from buildsheet.errors import CannotCompute, CannotLace
from buildsheet.findings import Finding
from buildsheet.orders.check import check
from buildsheet.orders.posted import Posted
from buildsheet.plan.build import build
from buildsheet.plan.plan import Plan
from buildsheet.states import wheel_after
from buildsheet.storage import bench, events, moves, wheels
from buildsheet.storage.database import Section
from buildsheet.storage.moves import Restart
from buildsheet.storage.wheels import StoredSheet, StoredWheel

OVER: Final = frozenset({"shipped", "stock", "cancelled"})
"""States in which nobody builds the wheel any more: its last sheet says how it was built."""


@dataclass(frozen=True, slots=True)
class Reissued:
    """``sheet`` is the new one in force; None where the wheel cannot be built so (findings say why).

    ``unchanged`` where the new issue would say what the old one says: none was made."""

    sheet: StoredSheet | None
    findings: tuple[Finding, ...] = ()
    unchanged: bool = False


def reissue(
    workshop: Workshop,
    serial: str,
    *,
    because: str,
    edition: int | None = None,
    erd_mm: float | None = None,
    by: str = holds.HOUSE,
) -> Reissued | None:
    """The sheet again: under another ``edition``, or for the rim as it was measured (``erd_mm``).

    What is held for the wheel follows the new sheet in the same section; what the shelf lacks for it is
    among the findings. None for no such wheel. Raises KeyError for an unknown edition, WorldError where the
    file cannot be written.
    """
    view = bench_of_serial(workshop, serial)
    if view is None:
        return None
    if view.state in OVER:
        return Reissued(None, (_over(view),))
    under = view.edition if edition is None else edition_numbered(workshop, edition)
    plan, said = _plan(view, under, erd_mm)
    if plan is None:
        return Reissued(None, said)
    if view.state != "planned" and _lengths(plan) != _lengths(view.plan):
        return Reissued(None, (*said, _laced(view, plan)))
    stored = kept(plan)
    sheet = view.wheel.stored.sheet
    if stored.digest == sheet.plan_digest and under.number == sheet.edition:
        return Reissued(sheet, said, unchanged=True)
    moment = workshop.clock()
    new = StoredSheet(
        code=bench_code(workshop.chance(CODE_BYTES)),
        serial=view.wheel.stored.serial,
        issue=next_issue(sheet.issue),
        revision=sheet.revision,
        edition=under.number,
        fingerprint=plan.fingerprint,
        plan_digest=stored.digest,
        issued_at=stamp(moment),
    )
    with workshop.database.writing() as section:
        now = wheels.by_serial(section, new.serial)
        if now is not None and now.sheet.issue == sheet.issue:
            wheels.insert_plan(section, stored)
            wheels.issue_sheet(section, new, because)
            said = (*said, *_held_anew(section, now, plan, moment, by))
            if _other_targets(view.plan, plan):
                _read_again(section, view, new.issued_at)
            facts = {"issue": new.issue, "void": sheet.issue, "edition": new.edition}
            events.append(
                section,
                at=new.issued_at,
                kind="sheet.issued",
                order_id=view.wheel.stored.order_id,
                serial=new.serial,
                facts=json.dumps(facts),
            )
            return Reissued(new, said)
    return reissue(workshop, serial, because=because, edition=edition, erd_mm=erd_mm, by=by)


def _held_anew(
    section: Section, wheel: StoredWheel, plan: Plan, moment: datetime, by: str
) -> tuple[Finding, ...]:
    """The hold of a wheel that is still to be kitted follows its sheet."""
    return hold_anew(section, wheel, plan, moment=moment, by=by) if wheel.state == "planned" else ()


def _lengths(plan: Plan) -> tuple[int | None, int | None]:
    return plan.spokes.left.stock_mm, plan.spokes.right.stock_mm


def _laced(view: BenchView, plan: Plan) -> Finding:
    """Spokes of other lengths, for a wheel whose spokes have left the shelf."""
    before, after = _lengths(view.plan), _lengths(plan)
    return found(
        "bench.step-order",
        "block",
        "",
        f"The wheel is {view.state} with spokes of {before[0]} left and {before[1]} right; the new "
        f"issue wants {after[0]} and {after[1]}. A sheet changes no spokes: "
        "change the order, or take another rim.",
        have={"state": view.state, "left_mm": before[0], "right_mm": before[1]},
        need={"left_mm": after[0], "right_mm": after[1]},
    )


def _other_targets(before: Plan, after: Plan) -> bool:
    """Whether readings would be judged otherwise, in whole newtons and grams."""
    return any(
        round(one) != round(other)
        for one, other in (
            (before.tension.left_n, after.tension.left_n),
            (before.tension.right_n, after.tension.right_n),
            (before.tension.stop_n, after.tension.stop_n),
            (before.mass_g, after.mass_g),
        )
    )


def _read_again(section: Section, view: BenchView, at: str) -> None:
    """Readings and signature were given by other targets: they are kept and count no more; everything
    else that was done to the wheel does. A wheel that was inspected goes back to its stand."""
    serial, state = view.wheel.stored.serial, view.state
    passes = len(bench.passes_of(section, serial))
    if not passes:
        return
    steps = len(bench.steps_of(section, serial))
    moves.restart(section, Restart(serial, (*STATIONS,), steps, passes, at))
    if state == "packed":
        state = wheel_after(state, "finish-again") or state
    after = wheel_after(state, "rework")
    if after is not None:
        wheels.move(section, serial, after)


def _plan(
    view: BenchView, edition: Edition, erd_mm: float | None
) -> tuple[Plan | None, tuple[Finding, ...]]:
    """The plan under that edition, with what the checks say of it."""
    document: dict[str, Any] = json.loads(view.wheel.order.document)
    position = view.wheel.stored.position
    checked = check(view.wheel.order.document.encode(), edition)
    said = tuple(each for each in checked.findings if each.severity in ("block", "approval"))
    wheel = Posted(document, edition).wheel(position)
    if wheel is None or wheel.computed is None or not checked.buildable:
        return None, said
    catalog_mm = wheel.computed.assembly.erd_mm
    measured_mm = erd_mm if erd_mm is not None else _measured_before(view)
    if erd_mm is not None and abs(erd_mm - catalog_mm) > FARTHEST_MM:
        return None, (*said, _too_far(erd_mm, catalog_mm))
    decals = tuple(each.part for each in view.plan.pick if each.part in edition.decals)
    try:
        computed = with_erd(
            wheel.computed,
            edition,
            catalog_mm if measured_mm is None else measured_mm,
        )
        plan = build(computed.assembly, edition, decals=decals)
    except (CannotCompute, CannotLace) as error:
        return None, (*said, found("bench.erd-off", "block", "/erd_mm", f"{error}."))
    if None in (plan.spokes.left.stock_mm, plan.spokes.right.stock_mm):
        return None, (*said, _no_length(plan))
    return plan, said


def _over(view: BenchView) -> Finding:
    says = f"The wheel is {view.state}; a new issue has no place there. Its last sheet stands."
    return found("bench.step-order", "block", "", says, have={"state": view.state})


def _too_far(erd_mm: float, catalog_mm: float) -> Finding:
    return found(
        "bench.erd-off",
        "block",
        "/erd_mm",
        f"{erd_mm:.1f} mm is {erd_mm - catalog_mm:+.1f} against the catalog's {catalog_mm:.1f}: no rim is "
        "so far off. Look at its label, and whether the seat was read or the ERD; then measure again.",
        have={"erd_mm": erd_mm},
        need={"erd_mm": catalog_mm, "within_mm": FARTHEST_MM},
    )


def _no_length(plan: Plan) -> Finding:
    left, right = plan.spokes.left, plan.spokes.right
    return found(
        "bench.erd-off",
        "block",
        "/erd_mm",
        f"A rim of {plan.erd_mm:.1f} mm wants spokes of {left.target_mm:.1f} left and "
        f"{right.target_mm:.1f} right, and no stocked length lies in the window. Take another rim.",
        have={"erd_mm": plan.erd_mm},
        need={"left_mm": round(left.target_mm, 2), "right_mm": round(right.target_mm, 2)},
    )


def _measured_before(view: BenchView) -> float | None:
    """A rim that was measured off once stays measured when the edition changes."""
    wheel = Posted(json.loads(view.wheel.order.document), view.edition).wheel(
        view.wheel.stored.position
    )
    if wheel is None or wheel.computed is None:
        return None
    planned_mm = wheel.computed.assembly.erd_mm
    return view.plan.erd_mm if abs(planned_mm - view.plan.erd_mm) > 1e-9 else None
