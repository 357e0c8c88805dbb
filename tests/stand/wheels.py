"""Demo wheels at the stand, and passes of readings to change one thing of."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

from buildsheet.actions.catalog_files import demo_directory, read_directory
from buildsheet.bench.gauges import GaugeTable, Mark
from buildsheet.bench.readings import Dish, Pass, RunOut, Tensions
from buildsheet.bench.task import Task, task
from buildsheet.catalog.edition import Edition
from buildsheet.orders.posted import Posted
from buildsheet.plan.build import Computed
from buildsheet.wheel.spec import Side

EXAMPLES = Path(__file__).parents[2] / "examples"
TODAY = date(2031, 5, 12)


@cache
def demo_edition() -> Edition:
    edition, findings = read_directory(demo_directory())
    assert edition is not None, findings
    return edition


@cache
def computed(order: str = "D-1001", position: str = "front") -> Computed:
    document = json.loads((EXAMPLES / f"{order}.json").read_text(encoding="utf-8"))
    wheel = Posted(document, demo_edition()).wheel(position)
    assert wheel is not None
    assert wheel.computed is not None
    return wheel.computed


@cache
def demo_task(order: str = "D-1001", position: str = "front", issue: str = "A") -> Task:
    return task(computed(order, position), demo_edition().house, issue)


def table(gauge: str, spoke: str, **changes: Any) -> GaugeTable:
    """An invented calibration: the scale is far from straight, as gauges are."""
    marks = (
        (8.0, 250.0),
        (12.0, 450.0),
        (16.0, 700.0),
        (19.0, 950.0),
        (21.0, 1200.0),
        (22.5, 1450.0),
    )
    made = GaugeTable(
        gauge=gauge,
        spoke=spoke,
        version="v4",
        made_on=date(2031, 1, 10),
        due_on=date(2032, 1, 10),
        error_share=0.03,
        marks=tuple(Mark(shown, force_n) for shown, force_n in marks),
    )
    return replace(made, **changes)


def tables(*spokes: str, gauge: str = "G1") -> dict[tuple[str, str], GaugeTable]:
    return {(gauge, spoke): table(gauge, spoke) for spoke in spokes or ("SJB9",)}


def spread(wheel: Task, by_side: dict[Side, list[float]]) -> tuple[float | None, ...]:
    """Readings of each side, from the valve on, put at their holes."""
    left, right = iter(by_side["left"]), iter(by_side["right"])
    return tuple(next(left) if side == "left" else next(right) for side in wheel.sides)


def at_target(wheel: Task) -> tuple[float | None, ...]:
    return tuple(wheel.target_n[side] for side in wheel.sides)


def good_pass(wheel: Task, typed: tuple[float | None, ...] | None = None, **changes: Any) -> Pass:
    """A pass of a wheel that is as it should be, unless a change says otherwise."""
    read = Pass(
        issue=wheel.issue,
        rim_serial="33D-0412",
        hub_serial="KF2-118",
        tensions=Tensions("G1", "n", typed if typed is not None else at_target(wheel)),
        lateral=RunOut("full", 0.14),
        radial=RunOut("full", 0.22),
        dish=Dish("offset", 0.10, "left"),
        mass_g=round(wheel.mass_g) + 3.0,
        caps_fitted=True,
        threads=("in",) * 8,
        free_play=False,
        twisted=False,
        relief_rounds=3,
    )
    return replace(read, **changes)
