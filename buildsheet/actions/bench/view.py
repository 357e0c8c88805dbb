"""A wheel at the stand: its task, what was done to it, and what is to be done next."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any, get_args

from buildsheet.actions.bench.gauges import tables_in
from buildsheet.actions.editions import edition_numbered, running_edition
from buildsheet.actions.intake.asked import ON_HOLD
from buildsheet.actions.plan_again import plan_of
from buildsheet.actions.serials import as_typed
from buildsheet.actions.show_wheel import WheelView, show_sheet, show_wheel
from buildsheet.actions.stopped import stop_as_json, stop_of
from buildsheet.actions.workshop import Workshop
from buildsheet.bench.evidence import Tables
from buildsheet.bench.stations import Stand
from buildsheet.bench.stations.labels import READINGS, SIGN, SLACKEN
from buildsheet.bench.task import Task, task
from buildsheet.catalog.edition import Edition
from buildsheet.errors import WorldError
from buildsheet.findings import Value
from buildsheet.orders.posted import Posted
from buildsheet.plan.build import Computed, compute
from buildsheet.plan.plan import Plan
from buildsheet.states import WheelState
from buildsheet.storage import bench, moves
from buildsheet.storage.bench import StoredPass, StoredSignature, StoredStep
from buildsheet.storage.moves import Restart
from buildsheet.storage.wheels import StoredSheet

_DAY = (
    "rim-gate",
    "kit",
    "first-spoke",
    "half-way",
    "relief",
    READINGS,
    SIGN,
    "finishing",
    "pair",
    "box",
    "ship",
)
"""What is done to every wheel, in order. Drilling is done where rims are drilled to order."""


@dataclass(frozen=True, slots=True)
class Lowered:
    """An edition published since, under which a spoke of this wheel may carry less than its sheet says."""

    edition: int
    stop_n: float
    sheet_stop_n: float
    set_by: str


@dataclass(frozen=True, slots=True)
class BenchView:
    """Everything that the bench page shows of one wheel.

    ``scanned`` is the sheet that the code was printed on; it is in force unless it is void.
    """

    wheel: WheelView
    scanned: StoredSheet
    edition: Edition
    plan: Plan
    stand: Stand
    steps: tuple[StoredStep, ...]
    passes: tuple[StoredPass, ...]
    signatures: tuple[StoredSignature, ...]
    tables: Tables
    document: Mapping[str, Any]
    restarts: tuple[Restart, ...] = ()
    lowered: Lowered | None = None

    @property
    def task(self) -> Task:
        """What the wheel should be."""
        return self.stand.task

    @property
    def state(self) -> WheelState:
        """The wheel's state."""
        return as_state(self.wheel.stored.state)

    @property
    def in_force(self) -> bool:
        """Whether the scanned sheet counts."""
        return self.scanned.void_at is None

    @property
    def waits(self) -> bool:
        """Whether the order waits for an approval by name."""
        return self.wheel.order.state == ON_HOLD

    @property
    def done(self) -> frozenset[str]:
        """The stations that were passed under the sheet in force, or before it, and that still count."""
        passed = {each.station for each in counting(self.steps, self.restarts) if each.good}
        first = first_pass(self.restarts)
        if any(each.number >= first for each in self.passes):
            passed.add(READINGS)
        if any(each.number >= first for each in self.signatures):
            passed.add(SIGN)
        return frozenset(passed)

    @property
    def stop(self) -> StoredPass | None:
        """The pass that found a spoke too tight, until a later one was judged and found none."""
        return stop_of(self.passes, self.restarts)

    @property
    def next_thing(self) -> str:
        """What is to be done now; '' where all is done. Nothing leads on from a wheel that is stopped: it
        is slackened, and then read until a reading can be judged."""
        stop = self.stop
        if stop is not None:
            return SLACKEN if stop.number == self.passes[-1].number else READINGS
        alone = "pair" if self.document.get("kind") != "set" else ""
        steps = counting(self.steps, self.restarts)
        relief = sum(each.station == "relief" and each.good for each in steps)
        for each in _DAY:
            if each == alone:
                continue
            if each == "relief":
                # A pass says how often the wheel was relieved; one that was signed needs no more of it.
                if relief < self.task.house.bench.relief_rounds and SIGN not in self.done:
                    return each
                continue
            if each not in self.done:
                return each
        return ""

    def as_json(self) -> dict[str, Value]:
        """The state of the wheel at the stand, for a page's script or another system."""
        newest = self.passes[-1] if self.passes else None
        sheet = self.wheel.stored.sheet
        return {
            "serial": self.wheel.stored.serial,
            "position": self.wheel.stored.position,
            "state": self.state,
            "issue": sheet.issue,
            "edition": sheet.edition,
            "waits": self.waits,
            "next": self.next_thing,
            "stopped": self._stopped(),
            "rim_serial": self.task.rim_serial or None,
            "targets": {
                "left_n": self.task.target_n.left,
                "right_n": self.task.target_n.right,
                "stop_n": self.task.stop_n,
                "ratio": self.task.ratio,
                "band_percent": self.task.house.tension.band_percent,
                "mass_g": self.task.mass_g,
            },
            "holes": [
                {"hole": each.hole, "side": each.side, "run": each.run} for each in self.task.lacing
            ],
            "gauges": _gauges(self.tables, self.task),
            "done": [*sorted(self.done)],
            "steps": [_step(each) for each in self.steps],
            "passes": [
                {
                    "number": each.number,
                    "issue": each.issue,
                    "verdict": each.word,
                    "by": each.read_by,
                    "at": each.read_at,
                }
                for each in self.passes
            ],
            "newest": json.loads(newest.answer) if newest else None,
            "signed": [
                {"pass": each.number, "verdict": each.word, "by": each.signed_by}
                for each in self.signatures
            ],
        }

    def _stopped(self) -> Value:
        stop = self.stop
        sides = {each.hole: each.side for each in self.task.lacing}
        return None if stop is None else stop_as_json(stop, sides)


def _gauges(tables: Tables, wanted: Task) -> list[Value]:
    """Every gauge, with which of this wheel's spokes it may read."""
    spokes = {wanted.spokes.left, wanted.spokes.right}
    names = sorted({gauge for gauge, _ in tables})
    return [
        {
            "gauge": name,
            "spokes": [*sorted(spoke for gauge, spoke in tables if gauge == name)],
            "suits": all((name, spoke) in tables for spoke in spokes),
        }
        for name in names
    ]


def _step(each: StoredStep) -> dict[str, Value]:
    return {
        "station": each.station,
        "issue": each.issue,
        "good": each.good,
        "by": each.done_by,
        "at": each.done_at,
    }


def as_state(word: str) -> WheelState:
    """The word as a state. Raises WorldError for one that no wheel can be in."""
    states: tuple[WheelState, ...] = get_args(WheelState)
    for state in states:
        if state == word:
            return state
    raise WorldError(f"a wheel stands in state {word!r}, which this program does not know")


def bench_of_code(workshop: Workshop, code: str) -> BenchView | None:
    """The wheel behind a sheet's code, or None."""
    found = show_sheet(workshop, code)
    return None if found is None else _view(workshop, found[1], found[0])


def bench_of_serial(workshop: Workshop, serial: str) -> BenchView | None:
    """The wheel with this serial, under its sheet in force; or None."""
    view = show_wheel(workshop, as_typed(serial))
    return None if view is None else _view(workshop, view, view.stored.sheet)


def _view(workshop: Workshop, wheel: WheelView, scanned: StoredSheet) -> BenchView:
    serial = wheel.stored.serial
    with workshop.database.reading() as section:
        steps = bench.steps_of(section, serial)
        passes = bench.passes_of(section, serial)
        signatures = bench.signatures_of(section, serial)
        tables = tables_in(section)
        restarts = moves.restarts_of(section, serial)
    edition = edition_numbered(workshop, wheel.stored.sheet.edition)
    plan = plan_of(workshop, wheel)
    document: dict[str, Any] = json.loads(wheel.order.document)
    computed = _computed(wheel.order.document, wheel.stored.position, edition, plan.erd_mm)
    made = task(computed, edition.house, wheel.stored.sheet.issue)
    lowered, made = _under_lower_limits(workshop, wheel, plan, made)
    rim = rim_serial(counting(steps, restarts))
    decals = tuple(each.part for each in plan.pick if each.part in edition.decals)
    stand = Stand(
        task=replace(made, rim_serial=rim),
        plan=plan,
        rim=computed.assembly.rim,
        house=edition.house,
        rim_serial=rim,
        decals=decals,
    )
    return BenchView(
        wheel,
        scanned,
        edition,
        plan,
        stand,
        steps,
        passes,
        signatures,
        tables,
        document,
        restarts,
        lowered,
    )


def counting(
    steps: tuple[StoredStep, ...], restarts: tuple[Restart, ...]
) -> tuple[StoredStep, ...]:
    """The steps that still count after every change that made the wheel over, oldest first."""
    return tuple(
        step
        for place, step in enumerate(steps)
        if all(place >= each.steps or step.station in each.keeps for each in restarts)
    )


def first_pass(restarts: tuple[Restart, ...]) -> int:
    """The number of the first pass that still counts."""
    over = (each.passes for each in restarts if READINGS not in each.keeps)
    return max(over, default=0) + 1


def _under_lower_limits(
    workshop: Workshop, wheel: WheelView, plan: Plan, made: Task
) -> tuple[Lowered | None, Task]:
    """What the running edition lowers on this wheel, and the task with the lower limits in it.

    An order stays held to its edition, and nothing on its sheet changes in silence; but a limit that was
    lowered since counts at once: the lowest limit known is the wheel's.
    """
    running = running_edition(workshop)
    over = wheel.stored.state in ("shipped", "stock", "cancelled")
    if over or running.number <= wheel.stored.sheet.edition:
        return None, made
    try:
        computed = _computed(wheel.order.document, wheel.stored.position, running, plan.erd_mm)
    except WorldError:
        return None, made  # a part that has ended since says nothing of its limits
    newer = task(computed, running.house, made.issue)
    if newer.stop_n >= made.stop_n:
        return None, made
    lowered = Lowered(running.number, newer.stop_n, made.stop_n, computed.tension.set_by)
    lower_n = min(made.limit_n, newer.limit_n)
    return lowered, replace(made, stop_n=newer.stop_n, limit_n=lower_n)


def _computed(document: str, position: str, edition: Edition, erd_mm: float) -> Computed:
    """The wheel again from its order; with the rim as it was measured where the sheet says so."""
    wheel = Posted(json.loads(document), edition).wheel(position)
    if wheel is None or wheel.computed is None:
        raise WorldError(f"the {position} wheel of an order can no longer be computed")
    return with_erd(wheel.computed, edition, erd_mm)


def with_erd(computed: Computed, edition: Edition, erd_mm: float) -> Computed:
    """The same wheel with a rim whose seat gives this effective diameter."""
    assembly = computed.assembly
    off_mm = erd_mm - assembly.erd_mm
    if abs(off_mm) < 1e-9:
        return computed
    seat_mm = assembly.rim.seat_diameter_mm + off_mm
    rim = assembly.rim.model_copy(update={"seat_diameter_mm": seat_mm})
    return compute(replace(assembly, rim=rim), edition)


def rim_serial(steps: tuple[StoredStep, ...]) -> str:
    """The rim that last went through the gate for this wheel; '' where none did."""
    for each in reversed(steps):
        if each.station == "rim-gate" and each.good:
            return str(json.loads(each.document)["rim_serial"])
    return ""
