"""Spokes that are too tight for their parts, or too slack to carry anything."""

from __future__ import annotations

from collections.abc import Iterator

from buildsheet.bench.codes import found
from buildsheet.bench.evidence import Evidence
from buildsheet.bench.task import Task
from buildsheet.findings import Finding


def stop_n(task: Task, read: Evidence) -> float:
    """The highest reading that is safe with the gauge that was used: the stop value of the sheet, or
    less where that gauge's error is larger than the house's."""
    return min(task.stop_n, task.limit_n / (1.0 + read.error_share))


def above_stop(task: Task, read: Evidence) -> Iterator[Finding]:
    """Every spoke above the stop value, or above a maker's limit once the gauge's error is added.

    Asked of every reading that says something, also where it is no evidence for a pass.
    """
    for hole, carried_n in enumerate(read.at_least_n, start=1):
        if carried_n is None:
            continue
        worst_n = carried_n * (1.0 + read.error_share)
        if carried_n <= stop_n(task, read):
            continue
        yield found(
            "bench.above-stop",
            "block",
            f"/tension/typed/{hole - 1}",
            f"STOP. Hole {hole} reads {carried_n:.0f} N, with the gauge's error up to {worst_n:.0f} N; "
            f"stop is {task.stop_n:.0f} N, the lowest maker's limit {task.limit_n:.0f} N. Slacken this "
            "spoke now, keep your face out of the wheel's plane, and have the rim's bed looked at: an "
            "over-loaded bed is set aside, not just slackened.",
            have={"hole": hole, "reads_n": round(carried_n, 1), "at_most_n": round(worst_n, 1)},
            need={"reads_n": {"at_most": task.stop_n}, "limit_n": task.limit_n},
        )


def too_slack(task: Task, read: Evidence) -> Iterator[Finding]:
    """Every spoke below the house's least share of its side's target."""
    share = task.house.bench.low_spoke_share
    for each in task.lacing:
        force_n = read.forces_n[each.hole - 1]
        least_n = share * task.target_n[each.side]
        if force_n is None or force_n >= least_n:
            continue
        yield found(
            "bench.spoke-slack",
            "block",
            f"/tension/typed/{each.hole - 1}",
            f"Hole {each.hole} ({each.side}) reads {force_n:.0f} N, less than {share:.0%} of its side's "
            f"target {task.target_n[each.side]:.0f} N. Look whether it is the right spoke, then tighten.",
            have={"hole": each.hole, "reads_n": round(force_n, 1)},
            need={"reads_n": {"at_least": round(least_n, 1)}},
        )
