"""Side means against their targets, spokes against their side, neighbours that lean the same way."""

from __future__ import annotations

from collections.abc import Iterator

from buildsheet.bench.codes import found
from buildsheet.bench.evidence import Evidence
from buildsheet.bench.figures import SideFigures, side_figures
from buildsheet.bench.task import Task
from buildsheet.findings import Finding
from buildsheet.wheel.spec import SIDES, Side

EXACT = 1e-9
"""A band's edge is inside it; the last bit of a division does not move it."""


def evenness(task: Task, read: Evidence) -> Iterator[Finding]:
    """Everything uneven about each side that was read."""
    for side in SIDES:
        figures = side_figures(task, read.forces_n, side)
        if figures is not None:
            yield from _mean(task, side, figures)
            yield from _band(task, side, figures, read)
            yield from _neighbours(task, side, figures, read)


def _mean(task: Task, side: Side, figures: SideFigures) -> Iterator[Finding]:
    target_n, allowed_percent = task.target_n[side], task.house.bench.mean_percent
    off_percent = 100.0 * (figures.mean_n / target_n - 1.0)
    if abs(off_percent) <= allowed_percent + EXACT:
        return
    todo = "Slacken" if off_percent > 0.0 else "Tighten"
    yield found(
        "bench.side-mean",
        "block",
        "/tension",
        f"The {side} side has a mean of {figures.mean_n:.0f} N, {off_percent:+.1f} % off its target of "
        f"{target_n:.0f} N; {allowed_percent:g} % is allowed. {todo} the whole side evenly.",
        have={"side": side, "mean_n": round(figures.mean_n, 1)},
        need={"mean_n": round(target_n, 1), "within_percent": allowed_percent},
    )


def _band(task: Task, side: Side, figures: SideFigures, read: Evidence) -> Iterator[Finding]:
    band, remark = task.house.tension.band_percent, task.house.bench.remark_band_percent
    for hole in task.holes_of(side):
        force_n = read.forces_n[hole - 1]
        if force_n is None:
            continue
        off_percent = 100.0 * (force_n / figures.mean_n - 1.0)
        if abs(off_percent) <= band + EXACT:
            continue
        yield found(
            "bench.spoke-band",
            "approval" if abs(off_percent) <= remark + EXACT else "block",
            f"/tension/typed/{hole - 1}",
            f"Hole {hole} ({side}) reads {force_n:.0f} N, {off_percent:+.1f} % from its side's mean of "
            f"{figures.mean_n:.0f} N; {band:g} % is the band.",
            have={"hole": hole, "off_percent": round(off_percent, 2)},
            need={"within_percent": band, "with_remark_percent": remark},
        )


def _neighbours(task: Task, side: Side, figures: SideFigures, read: Evidence) -> Iterator[Finding]:
    """Runs of neighbours on one side that all lie more than a little to the same side of the mean."""
    count, least_percent = task.house.bench.neighbours, task.house.bench.neighbours_percent
    holes = task.holes_of(side)
    leans = [
        0.0 if force_n is None else 100.0 * (force_n / figures.mean_n - 1.0)
        for force_n in (read.forces_n[hole - 1] for hole in holes)
    ]
    if len(holes) < count:
        return
    for first in range(len(holes)):
        run = [(first + step) % len(holes) for step in range(count)]
        for sign, word in ((1.0, "tight"), (-1.0, "slack")):
            if all(sign * leans[each] > least_percent for each in run):
                named = ", ".join(str(holes[each]) for each in run)
                yield found(
                    "bench.neighbours",
                    "note",
                    f"/tension/typed/{holes[first] - 1}",
                    f"Holes {named} ({side}) are all {word} by more than {least_percent:g} %: the rim is "
                    "bent there, or its joint shows. Do not true it away by tension.",
                    have={"holes": [holes[each] for each in run], "side": side},
                )
