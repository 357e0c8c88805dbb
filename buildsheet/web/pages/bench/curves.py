"""What the page's script needs to place a reading while it is typed. The verdict is the server's alone."""

from __future__ import annotations

from datetime import date
from functools import lru_cache
from typing import Any, Final

from buildsheet.actions.bench.view import BenchView
from buildsheet.bench.gauges import GaugeTable, force_n
from buildsheet.wheel.spec import SIDES

POINTS: Final = 64
"""Straight pieces that stand for a table's curve: a preview, closer than a gauge is."""


def script_data(view: BenchView, day: date) -> dict[str, Any]:
    """Targets, band, and every gauge's curve for this wheel's spokes: ``[shown, newtons]`` pairs."""
    task = view.task
    gauges: dict[str, dict[str, Any]] = {}
    for name in sorted({gauge for gauge, _ in view.tables}):
        sides: dict[str, Any] = {}
        for side in SIDES:
            table = view.tables.get((name, task.spokes[side]))
            if table is not None and table.valid_on(day):
                low_n, high_n = table.range_n
                sides[side] = {"low_n": low_n, "high_n": high_n, "curve": _curve(table)}
        gauges[name] = sides
    return {
        "sides": [*task.sides],
        "target_n": {side: task.target_n[side] for side in SIDES},
        "stop_n": task.stop_n,
        "band_share": task.house.tension.band_percent / 100.0,
        "gauges": gauges,
    }


@lru_cache(maxsize=256)
def _curve(table: GaugeTable) -> list[list[float]]:
    low, high = table.shown_range
    shown = [low + (high - low) * place / POINTS for place in range(POINTS + 1)]
    return [[round(each, 4), round(force_n(min(each, high), "scale", table), 2)] for each in shown]
