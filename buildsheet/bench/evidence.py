"""What is there to judge by, and what is missing. Readings become newtons here, or a reason why not."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date

from buildsheet.bench.codes import found
from buildsheet.bench.figures import Forces
from buildsheet.bench.gauges import GaugeTable, Unit, force_n
from buildsheet.bench.readings import Pass, RunOut, Tensions
from buildsheet.bench.task import Task
from buildsheet.bench.unit_doubt import unit_doubt
from buildsheet.errors import CannotCompute
from buildsheet.findings import Finding, Value
from buildsheet.units import NEWTON_PER_KGF
from buildsheet.wheel.spec import SIDES, Side

Tables = Mapping[tuple[str, str], GaugeTable]
"""Calibration tables by gauge and spoke type; the newest of each."""


@dataclass(frozen=True, slots=True)
class Evidence:
    """``forces_n``: what may be judged, by hole. ``at_least_n``: what each spoke carries at least, also
    where the reading is no evidence (beyond the table, or without one): enough to say stop, never to say
    pass. ``likely_n``: what turning may be planned from: ``forces_n``, and the least calibrated force
    where a spoke reads less than that. ``unit_doubted`` where newtons and kilogram-force seem mistaken.
    ``error_share``: the larger gauge error of the tables used. ``missing``: why nothing more."""

    forces_n: Forces
    at_least_n: Forces
    likely_n: Forces
    unit_doubted: bool
    error_share: float
    tables: tuple[str, ...]
    missing: tuple[Finding, ...]


def evidence(task: Task, read: Pass, tables: Tables, day: date) -> Evidence:
    """Everything that was read, as far as it counts."""
    used = _tables(task, read.tensions, tables)
    valid = {side: table for side, table in used.items() if table.valid_on(day)}
    holes = len(task.lacing)
    forces: list[float | None] = [None] * holes
    at_least: list[float | None] = [None] * holes
    likely: list[float | None] = [None] * holes
    beyond: list[Finding] = []
    for hole, side in enumerate(task.sides, start=1):
        typed = _typed(read.tensions, hole)
        if typed is None or read.tensions is None:
            continue
        at_least[hole - 1] = _at_least_n(typed, read.tensions.unit, used.get(side))
        if side in valid:
            likely[hole - 1] = _below_table_n(typed, read.tensions.unit, valid[side])
            try:
                forces[hole - 1] = force_n(typed, read.tensions.unit, valid[side])
            except CannotCompute as error:
                says = f"Hole {hole}: {error}. Use a gauge that is calibrated there."
                beyond.append(
                    found(
                        "bench.gauge-range",
                        "block",
                        f"/tension/typed/{hole - 1}",
                        says,
                        have={"hole": hole},
                    )
                )
    doubt = unit_doubt(task, read.tensions)
    missing = (
        *((doubt,) if doubt else ()),
        *_sheet(task, read),
        *_other_rim(task, read),
        *_gauge(task, read.tensions, used, day),
        *beyond,
        *_unread(task, read.tensions),
        *_rest(task, read),
    )
    errors = [table.error_share for table in used.values()]
    return Evidence(
        forces_n=tuple(forces),
        at_least_n=tuple(at_least),
        likely_n=tuple(
            low if force is None else force for force, low in zip(forces, likely, strict=True)
        ),
        unit_doubted=doubt is not None,
        error_share=max(errors, default=task.house.tension.gauge_error),
        tables=tuple(sorted({table.name for table in used.values()})),
        missing=missing,
    )


def _tables(task: Task, tensions: Tensions | None, tables: Tables) -> dict[Side, GaugeTable]:
    if tensions is None:
        return {}
    asked = {side: tables.get((tensions.gauge, task.spokes[side])) for side in SIDES}
    return {side: table for side, table in asked.items() if table is not None}


def _typed(tensions: Tensions | None, hole: int) -> float | None:
    if tensions is None or hole > len(tensions.typed):
        return None
    return tensions.typed[hole - 1]


def _at_least_n(typed: float, unit: Unit, table: GaugeTable | None) -> float | None:
    """What the spoke carries at least, whatever the reading is worth as evidence."""
    if unit != "scale":
        return _newtons(typed, unit)
    if table is None:
        return None
    low, high = table.shown_range
    return force_n(min(max(typed, low), high), "scale", table)


def _newtons(typed: float, unit: Unit) -> float:
    return typed * (NEWTON_PER_KGF if unit == "kgf" else 1.0)


def _below_table_n(typed: float, unit: Unit, table: GaugeTable) -> float | None:
    """The least calibrated force where a reading is below it, as a slack spoke's is; else None."""
    least_n, _ = table.range_n
    if unit != "scale":
        return least_n if _newtons(typed, unit) < least_n else None
    low, high = table.shown_range
    rising = force_n(low, "scale", table) < force_n(high, "scale", table)
    return least_n if (typed < low if rising else typed > high) else None


def _sheet(task: Task, read: Pass) -> Iterator[Finding]:
    if read.issue != task.issue:
        yield found(
            "bench.sheet-void",
            "block",
            "/issue",
            f"These readings belong to issue {read.issue or '(none)'}; issue {task.issue} is in force. "
            "Stop, fetch the new sheet and read again by its targets.",
            have={"issue": read.issue},
            need={"issue": task.issue},
        )


def _other_rim(task: Task, read: Pass) -> Iterator[Finding]:
    if task.rim_serial and read.rim_serial and read.rim_serial != task.rim_serial:
        yield found(
            "bench.other-rim",
            "block",
            "/rim_serial",
            f"Rim {read.rim_serial} was read; {task.rim_serial} went through the rim gate for this wheel. "
            "Look at the label: one of the two is another wheel's.",
            have={"rim_serial": read.rim_serial},
            need={"rim_serial": task.rim_serial},
        )


def _gauge(
    task: Task, tensions: Tensions | None, used: Mapping[Side, GaugeTable], day: date
) -> Iterator[Finding]:
    if tensions is None:
        return
    for spoke in dict.fromkeys(task.spokes[side] for side in SIDES):
        side: Side = "left" if task.spokes.left == spoke else "right"
        table = used.get(side)
        if table is None:
            says = (
                f"Gauge {tensions.gauge or '(none)'} has no table for spoke {spoke}: not judged. Take a "
                "gauge that has one, or have this one calibrated on that spoke."
            )
        elif not table.valid_on(day):
            says = (
                f"Table {table.name} is valid from {table.made_on} to {table.due_on}, not on {day}: not "
                "judged. Have the gauge calibrated, or take another."
            )
        else:
            continue
        have: dict[str, Value] = {"gauge": tensions.gauge, "spoke": spoke}
        yield found("bench.gauge-table", "block", "/tension/gauge", says, have=have)


def _unread(task: Task, tensions: Tensions | None) -> Iterator[Finding]:
    unread = [each.hole for each in task.lacing if _typed(tensions, each.hole) is None]
    if unread:
        holes: list[Value] = list(unread)
        yield found(
            "bench.reading-missing",
            "block",
            "/tension",
            f"{len(unread)} of {len(task.lacing)} spokes have no tension reading: "
            f"{_listed(unread)}. Read every spoke.",
            have={"holes": holes},
            need={"readings": len(task.lacing)},
        )
    extra = len(tensions.typed) - len(task.lacing) if tensions else 0
    if extra > 0:
        yield found(
            "bench.reading-missing",
            "block",
            "/tension",
            f"{extra} more readings than the wheel's {len(task.lacing)} spokes: they belong to another "
            "wheel, or a hole was counted twice. Read again from the valve.",
            have={"readings": len(task.lacing) + extra},
            need={"readings": len(task.lacing)},
        )


def _listed(holes: list[int]) -> str:
    shown = ", ".join(str(each) for each in holes[:8])
    return f"hole {shown}" + (" ..." if len(holes) > 8 else "")


def _no_turn(task: Task, run_out: RunOut | None) -> bool:
    """Whether nothing says how the rim runs over a whole turn: readings at fewer holes, or at more,
    are not this wheel's turn."""
    if run_out is None or run_out.full_mm is None:
        return True
    return run_out.by_hole_mm is not None and len(run_out.by_hole_mm) != len(task.lacing)


def _rest(task: Task, read: Pass) -> Iterator[Finding]:
    """Everything besides tension that a finished wheel needs."""
    wanted: tuple[tuple[str, bool, str], ...] = (
        ("rim_serial", not read.rim_serial, "the rim's serial"),
        ("hub_serial", not read.hub_serial, "the hub's serial"),
        ("lateral", _no_turn(task, read.lateral), "the lateral run-out of the whole turn"),
        ("radial", _no_turn(task, read.radial), "the radial run-out of the whole turn"),
        ("dish", read.dish is None, "the dish"),
        ("mass_g", read.mass_g is None, "the wheel's mass"),
        ("free_play", read.free_play is None, "whether the hub runs free without play"),
        ("twisted", read.twisted is None, "whether spokes are wound up"),
        ("relief_rounds", read.relief_rounds is None, "how many rounds of stress relief were done"),
    )
    for member, absent, what in wanted:
        if absent:
            yield found(
                "bench.reading-missing",
                "block",
                f"/{member}",
                f"Nothing says {what}. A wheel is not finished without it.",
                have={"missing": member},
            )
    samples = task.house.bench.thread_samples
    if len(read.threads) < samples:
        yield found(
            "bench.reading-missing",
            "block",
            "/threads",
            f"{len(read.threads)} spoke ends were looked at, {samples} wanted, both sides.",
            have={"samples": len(read.threads)},
            need={"samples": samples},
        )
    if not read.caps_fitted:
        yield found(
            "bench.caps-missing",
            "block",
            "/caps_fitted",
            "The dish counts only with the ordered end caps fitted. Fit them, read the dish, say so.",
        )
