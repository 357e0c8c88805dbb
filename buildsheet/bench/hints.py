"""What would explain the ratio of the sides: each mistake of lacing computed, not guessed."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from buildsheet.bench.codes import found
from buildsheet.bench.readings import Dish
from buildsheet.bench.task import Task
from buildsheet.errors import CannotCompute, CannotLace
from buildsheet.findings import Finding
from buildsheet.wheel.mechanics import solve_sides
from buildsheet.wheel.spec import HubSpec, Side, WheelSpec

NEAR = 0.06
"""A mistake is named when its ratio lies this close to what was measured: a little more than the house
tolerates round the right one [proposal]."""


@dataclass(frozen=True, slots=True)
class Mistake:
    """What went wrong, what to look at, and the ratio it would leave (slack side as planned over tight
    side as planned)."""

    what: str
    look: str
    ratio: float


def mistakes(task: Task) -> tuple[Mistake, ...]:
    """Every mistake of lacing that this wheel's ratio could show, with the ratio it would leave."""
    spec = task.spec
    tried: list[tuple[str, str, WheelSpec]] = [
        (
            "the hub sits the wrong way round",
            "Look which flange the gear or rotor side is.",
            replace(spec, hub=HubSpec(left=spec.hub.right, right=spec.hub.left)),
        ),
    ]
    if task.bed_offset_mm:
        turned = replace(spec.rim, bed_offset_mm=-spec.rim.bed_offset_mm)
        tried.insert(
            0,
            (
                "the rim is laced turned round: its spoke bed lies toward the wrong side",
                "Look at the arrow for the spoke bed on the sheet.",
                replace(spec, rim=turned),
            ),
        )
    return tuple(
        Mistake(what, look, ratio)
        for what, look, wrong in tried
        if (ratio := _ratio(task, wrong)) is not None
    )


def _ratio(task: Task, spec: WheelSpec) -> float | None:
    slack: Side = "left" if task.tight_side == "right" else "right"
    try:
        sides = solve_sides(spec).sides
    except (CannotCompute, CannotLace):
        return None
    tight_n = sides[task.tight_side].tension_n
    return sides[slack].tension_n / tight_n if tight_n > 0.0 else None


def laced_otherwise(task: Task, measured_ratio: float, dish: Dish | None) -> bool:
    """Whether the sides stand as this wheel cannot, also where its rim stands as far off the middle as
    was read: a flange gains or loses so much distance from the rim."""
    return _apart(task, measured_ratio) and not _by_dish(task, measured_ratio, dish)


def _apart(task: Task, measured_ratio: float) -> bool:
    return abs(measured_ratio - task.ratio) > task.house.tension.ratio_tolerance + 1e-9


def _by_dish(task: Task, measured_ratio: float, dish: Dish | None) -> bool:
    """Whether the dish that was read explains the ratio: nearer than without it, and near enough."""
    if dish is None:
        return False
    ratio = _dished_ratio(task, dish)
    if ratio is None:
        return False
    off = abs(ratio - measured_ratio)
    tolerated = task.house.tension.ratio_tolerance + 1e-9
    return off <= tolerated and off < abs(task.ratio - measured_ratio)


def _dished_ratio(task: Task, dish: Dish) -> float | None:
    """The ratio of this wheel with its rim off the middle: the bed's offset, and that of the whole rim."""
    rim = task.spec.rim
    moved = replace(rim, bed_offset_mm=rim.bed_offset_mm + dish.offset_mm)
    return _ratio(task, replace(task.spec, rim=moved))


def wrong_ratio(task: Task, measured_ratio: float, dish: Dish | None = None) -> Iterator[Finding]:
    """The ratio measured against the one computed, and what would explain a difference."""
    tolerated_ratio = task.house.tension.ratio_tolerance
    if not _apart(task, measured_ratio):
        return
    if dish is not None and _by_dish(task, measured_ratio, dish):
        would_be = _dished_ratio(task, dish) or task.ratio
        yield found(
            "bench.ratio",
            "block",
            "/tension",
            f"Slack side over tight side is {measured_ratio:.2f}, computed {task.ratio:.2f}. The dish "
            f"explains it: with the rim {abs(dish.offset_mm):.1f} mm toward the {dish.toward} it would be "
            f"{would_be:.2f}. Mend the dish, then read every spoke again.",
            have={"ratio": round(measured_ratio, 3), "dish_mm": round(dish.offset_mm, 3)},
            need={"ratio": round(task.ratio, 3), "within": tolerated_ratio},
        )
        return
    yield found(
        "bench.ratio",
        "block",
        "/tension",
        f"Slack side over tight side is {measured_ratio:.2f}, computed {task.ratio:.2f}; "
        f"{tolerated_ratio:g} apart is allowed. Do not turn nipples yet: first look at the hints.",
        have={"ratio": round(measured_ratio, 3)},
        need={"ratio": round(task.ratio, 3), "within": tolerated_ratio},
    )
    likely = sorted(mistakes(task), key=lambda each: abs(each.ratio - measured_ratio))
    for mistake in likely:
        near = abs(mistake.ratio - measured_ratio) <= NEAR
        says = (
            f"{mistake.ratio:.2f} would come out if {mistake.what}. {mistake.look}"
            if near
            else f"Less likely: if {mistake.what}, it would be {mistake.ratio:.2f}."
        )
        yield found(
            "bench.ratio-hint", "note", "/tension", says, have={"ratio": round(mistake.ratio, 3)}
        )
    yield found(
        "bench.ratio-hint",
        "note",
        "/tension",
        "Also look: dish (a rim off the middle changes the ratio), left and right lengths swapped, a wrong "
        "spoke type on one side.",
    )
