"""Run-out, dish, mass, threads, play and twist against the house's tolerances."""

from __future__ import annotations

from collections.abc import Iterator

from buildsheet.bench.codes import found
from buildsheet.bench.readings import Pass, RunOut
from buildsheet.bench.task import Task
from buildsheet.findings import Finding

EXACT = 1e-9
"""A tolerance's edge is inside it; the last bit of a product does not move it."""


def shape(task: Task, read: Pass) -> Iterator[Finding]:
    """What is out of true, as far as it was read."""
    sheet, bench = task.house.sheet, task.house.bench
    if read.lateral is not None:
        yield from _run_out("lateral", read.lateral, sheet.lateral_mm, bench.remark_lateral_mm)
    if read.radial is not None:
        at_joint = read.radial.at_joint
        allowed_mm = sheet.radial_joint_mm if at_joint else sheet.radial_mm
        yield from _run_out("radial", read.radial, allowed_mm, bench.remark_radial_mm)
    yield from _dish(task, read)


def _run_out(which: str, read: RunOut, allowed_mm: float, remark_mm: float) -> Iterator[Finding]:
    full_mm = read.full_mm
    if full_mm is None or full_mm <= allowed_mm + EXACT:
        return
    where = " (at the joint)" if read.at_joint else ""
    yield found(
        f"bench.{which}",
        "approval" if full_mm <= remark_mm + EXACT else "block",
        f"/{which}",
        f"{which.capitalize()} run-out{where} is {full_mm:.2f} mm, full reading; {allowed_mm:.2f} mm is "
        f"allowed, up to {remark_mm:.2f} mm with a person's remark.",
        have={"full_mm": round(full_mm, 3)},
        need={"full_mm": {"at_most": allowed_mm}, "with_remark_mm": remark_mm},
    )


def _dish(task: Task, read: Pass) -> Iterator[Finding]:
    if read.dish is None:
        return
    allowed_mm, remark_mm = task.house.sheet.dish_offset_mm, task.house.bench.remark_dish_offset_mm
    offset_mm = read.dish.offset_mm
    if abs(offset_mm) <= allowed_mm + EXACT:
        return
    away, toward = ("left", "right") if offset_mm > 0.0 else ("right", "left")
    yield found(
        "bench.dish",
        "approval" if abs(offset_mm) <= remark_mm + EXACT else "block",
        "/dish",
        f"The rim stands {abs(offset_mm):.2f} mm toward the {toward}, a gap of {2 * abs(offset_mm):.2f} "
        f"mm under the dish gauge; {allowed_mm:.2f} mm of offset is allowed. Tighten the {away} side or "
        f"slacken the {toward} one, evenly.",
        have={"offset_mm": round(offset_mm, 3)},
        need={"offset_mm": {"at_most": allowed_mm}, "with_remark_mm": remark_mm},
    )


def mass(task: Task, read: Pass) -> Iterator[Finding]:
    """The wheel's mass against the computed one."""
    allowed_percent = task.house.sheet.wheel_mass_percent
    if read.mass_g is None:
        return
    off_percent = 100.0 * (read.mass_g / task.mass_g - 1.0)
    if abs(off_percent) <= allowed_percent + EXACT:
        return
    in_kilograms = abs(1000.0 * read.mass_g / task.mass_g - 1.0) <= allowed_percent / 100.0
    if in_kilograms:
        what_now = "Kilograms? Type it in grams."
    elif off_percent > 0.0:
        what_now = "Usual causes: a heavier spoke or hub than planned, or extra washers."
    else:
        what_now = "Usual causes: a lighter spoke or hub than planned, or washers left out."
    yield found(
        "bench.mass",
        "block",
        "/mass_g",
        f"The wheel weighs {read.mass_g:.{3 if read.mass_g < 1.0 else 0}f} g, {off_percent:+.1f} % off the "
        f"computed {task.mass_g:.0f} g; {allowed_percent:g} % is allowed. {what_now}",
        have={"mass_g": read.mass_g},
        need={"mass_g": round(task.mass_g, 1), "within_percent": allowed_percent},
    )


def workmanship(task: Task, read: Pass) -> Iterator[Finding]:
    """Spoke ends, hub play, twist and stress relief, as far as they were said."""
    wrong = [each for each in read.threads if each != "in"]
    if wrong:
        below = wrong.count("below")
        yield found(
            "bench.thread-end",
            "block",
            "/threads",
            f"{len(wrong)} of {len(read.threads)} sampled spokes end outside the window: {below} below the "
            f"slot, {len(wrong) - below} above the head. The lengths are wrong, or sides were mixed up: "
            "measure a spoke of each side before anything is turned.",
            have={"below": below, "above": len(wrong) - below},
            need={"outside": 0},
        )
    if read.free_play:
        says = "The hub has play or drags. Set the bearings, then read dish and run-out again."
        yield found("bench.free-play", "block", "/free_play", says)
    if read.twisted:
        says = "Spokes are wound up. Hold them, turn past and back, relieve, and read again."
        yield found("bench.twist", "block", "/twisted", says)
    wanted = task.house.bench.relief_rounds
    if read.relief_rounds is not None and read.relief_rounds < wanted:
        yield found(
            "bench.relief",
            "block",
            "/relief_rounds",
            f"{read.relief_rounds} rounds of stress relief were done, {wanted} are asked. Do the rest, "
            "then read every spoke again.",
            have={"rounds": read.relief_rounds},
            need={"rounds": wanted},
        )
