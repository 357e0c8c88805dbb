"""What to turn next: the truing plan of the wheel as a structure, in rounds to walk round the wheel."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass
from itertools import groupby, pairwise
from math import ceil, sqrt
from typing import TYPE_CHECKING, Final

import numpy as np
from numpy.typing import NDArray

from buildsheet.bench import safety
from buildsheet.bench.evidence import Evidence
from buildsheet.bench.figures import Forces
from buildsheet.bench.readings import Pass, RunOut
from buildsheet.bench.task import Task
from buildsheet.errors import CannotCompute, CannotLace
from buildsheet.findings import Value
from buildsheet.wheel.spec import Side

if TYPE_CHECKING:
    from buildsheet.wheel.structure import StructureAnswer

Floats = NDArray[np.float64]
Step = tuple[int, int]
"""Hole (from 1) and eighths of a turn, positive tightens."""

_SAFE_SHARE: Final = 0.97
"""Share of the stop value that a spoke above it is brought down to: below it by a gauge's error [own
choice]."""


_MOST_EIGHTHS: Final = 24
"""Eighths that one nipple is slackened in a pass before it is read again [own choice]."""


@dataclass(frozen=True, slots=True)
class Turn:
    """One nipple: eighths of a turn, positive tightens."""

    hole: int
    side: Side
    eighths: int


@dataclass(frozen=True, slots=True)
class Round:
    """Once round the wheel from the valve: all of it tightens, or all of it slackens."""

    turns: tuple[Turn, ...]

    @property
    def tightens(self) -> bool:
        """Whether this round tightens."""
        return self.turns[0].eighths > 0


@dataclass(frozen=True, slots=True)
class Predicted:
    """What the readings should be after the rounds; None where nothing was read to predict from."""

    lateral_mm: float | None
    radial_mm: float | None
    dish_mm: float | None
    tension_n: Forces


@dataclass(frozen=True, slots=True)
class Advice:
    """What to do, in order, and what will come of it. ``why_not`` says why there is nothing to turn."""

    rounds: tuple[Round, ...]
    predicted: Predicted | None
    highest_n: float | None
    remarks: tuple[str, ...]
    why_not: str = ""

    def as_json(self) -> dict[str, Value]:
        """The advice as other programs read it."""
        predicted = self.predicted
        return {
            "rounds": [
                [
                    {"hole": turn.hole, "side": turn.side, "eighths": turn.eighths}
                    for turn in each.turns
                ]
                for each in self.rounds
            ],
            "predicted": None
            if predicted is None
            else {
                "lateral_mm": predicted.lateral_mm,
                "radial_mm": predicted.radial_mm,
                "dish_mm": predicted.dish_mm,
                "tension_n": list(predicted.tension_n),
            },
            "highest_n": self.highest_n,
            "remarks": list(self.remarks),
            "why_not": self.why_not,
        }


def advice(task: Task, read: Pass, proof: Evidence, *, wrong_ratio: bool) -> Advice:
    """The next pass of truing from whatever was read.

    What reads above the stop value comes down before anything else. ``wrong_ratio``: the sides stand as
    no wheel of this plan can; then nothing else is turned before the lacing was looked at. Never plans a
    spoke above the stop value, nor above what the gauge that was used can vouch for.
    """
    if proof.unit_doubted:
        return nothing("Say first whether the readings are newtons or kilogram-force.")
    stop_n = safety.stop_n(task, proof)
    too_high = any(each > stop_n for each in proof.at_least_n if each is not None)
    if wrong_ratio and not too_high:
        return nothing(
            "Look at the hints first: turning nipples cannot mend a wheel laced otherwise."
        )
    if not (too_high or any(_shape(read)) or any(each is not None for each in proof.likely_n)):
        return nothing("Nothing was read yet: read run-out, dish or tensions.")
    # scipy is slow to import: only a bench that asks what to turn pays for it.
    from buildsheet.wheel import structure

    try:
        wheel = structure.solve(task.spec)
        if too_high:
            return _slacken(task, proof, wheel.influence().tension_n)
        return _trued(task, read, proof, wheel)
    except (CannotCompute, CannotLace) as error:
        return nothing(f"{error}.")


def _trued(task: Task, read: Pass, proof: Evidence, wheel: StructureAnswer) -> Advice:
    """The plan of truing of a wheel on which no spoke reads above the stop value."""
    from buildsheet.wheel.truing import Goal, Readings, truing_plan

    sheet, stop_n, slack = task.house.sheet, safety.stop_n(task, proof), _slack_ones(proof)
    if slack:  # a spoke that is slacker than thought leads the estimate of the others astray
        stop_n *= _SAFE_SHARE
    slackest_n = min(task.target_n.left, task.target_n.right)
    goal = Goal(
        target_n=tuple(task.target_n[side] for side in task.sides),
        stop_n=stop_n,
        floor_n=task.house.bench.low_spoke_share * slackest_n,
        lateral_runout_mm=sheet.lateral_mm,
        radial_runout_mm=sheet.radial_mm,
        dish_mm=sheet.dish_offset_mm,
        band_share=task.house.tension.band_percent / 100.0,
    )
    readings = Readings(
        lateral_mm=_by_hole(read.lateral),
        radial_mm=_by_hole(read.radial),
        dish_mm=read.dish.offset_mm if read.dish else None,
        tension_n=proof.likely_n,
    )
    plan, blind = truing_plan(wheel, readings, goal), _figures_only(task, read)
    per_turn_n = wheel.influence().tension_n
    steps = _walked(plan.steps, proof.likely_n, per_turn_n, stop_n)
    return Advice(
        rounds=_rounds(task, steps),
        predicted=Predicted(
            plan.after.lateral_runout_mm,
            plan.after.radial_runout_mm,
            plan.after.dish_mm,
            tuple(
                None if was is None else will
                for was, will in zip(proof.forces_n, plan.after.tension_n, strict=True)
            ),
        ),
        highest_n=_highest_n(plan.highest_n, steps, proof.likely_n, per_turn_n),
        remarks=(*slack, *blind, *plan.remarks),
        why_not="" if plan.steps else "; ".join(blind or plan.remarks),
    )


def _figures_only(task: Task, read: Pass) -> tuple[str, ...]:
    """What is said of a run-out that is too large and known as one figure: where it is, nobody said."""
    sheet = task.house.sheet
    return tuple(
        f"{which} run-out is {run_out.full_mm:.2f} mm, but only as one figure: read it at every hole, then "
        "it can be said what to turn for it"
        for which, run_out, allowed_mm in (
            ("lateral", read.lateral, sheet.lateral_mm),
            ("radial", read.radial, sheet.radial_mm),
        )
        if run_out is not None
        and run_out.by_hole_mm is None
        and run_out.full_mm is not None
        and run_out.full_mm > allowed_mm
    )


def _slack_ones(proof: Evidence) -> tuple[str, ...]:
    """What is said of spokes that read less than the gauge is calibrated for."""
    slack = sum(
        force is None and likely is not None
        for force, likely in zip(proof.forces_n, proof.likely_n, strict=True)
    )
    if not slack:
        return ()
    return (
        f"{slack} of {len(proof.forces_n)} spokes read less than the gauge is calibrated for: they are "
        "planned as if they carried its least force, and want more turns on the next pass",
    )


def load_mechanics() -> None:
    """Loads what readings of any wheel need, some tenths of a second; nothing depends on it but the time
    that a worker's first pass takes."""
    from scipy import interpolate  # noqa: F401 - loaded for the curves of gauges

    from buildsheet.wheel import structure, truing  # noqa: F401 - loaded, not used


def make_ready(task: Task) -> None:
    """Loads what advice needs and solves this wheel, once: the answer to its readings then comes at once.

    For whoever opens a form of readings; nothing depends on it but the time that the first pass takes.
    """
    from buildsheet.wheel import structure

    load_mechanics()
    with suppress(CannotCompute, CannotLace):
        structure.solve(task.spec).influence()


def _slacken(task: Task, proof: Evidence, per_turn_n: Floats) -> Advice:
    """The spokes above the stop value brought down below it, and nothing else; what that does to the
    others is counted, and whoever it lifts above the stop value comes down too. A spoke beyond the
    gauge's table comes down by what it carries at least, and nothing is predicted of it."""
    from buildsheet.wheel.truing.rounds import tension_path_n

    stop_n = safety.stop_n(task, proof)
    read_n = np.array([0.0 if each is None else each for each in proof.at_least_n])
    now_n, eighths = read_n.copy(), np.zeros(len(read_n), dtype=int)
    for _ in range(len(now_n)):
        high = int(np.argmax(np.where(eighths <= -_MOST_EIGHTHS, 0.0, now_n)))
        own_n = float(per_turn_n[high, high]) / 8.0
        if now_n[high] <= stop_n or own_n <= 0.0:
            break
        wanted = ceil((now_n[high] - _SAFE_SHARE * stop_n) / own_n)
        down = min(wanted, _MOST_EIGHTHS + int(eighths[high]))
        eighths[high] -= down
        now_n -= per_turn_n[:, high] * down / 8.0
    steps = tuple((int(at) + 1, int(eighths[at])) for at in np.flatnonzero(eighths))
    after = tuple(
        None if was is None else float(will)
        for was, will in zip(proof.forces_n, now_n, strict=True)
    )
    return Advice(
        rounds=_rounds(task, steps),
        predicted=Predicted(None, None, None, after),
        highest_n=float(tension_path_n(steps, read_n, per_turn_n).max()),
        remarks=("slacken the spokes above the stop value first; then read every spoke again",),
        why_not="",
    )


def nothing(why: str) -> Advice:
    """Advice to turn nothing, and why."""
    return Advice((), None, None, (), why)


def _shape(read: Pass) -> tuple[object, ...]:
    return _by_hole(read.lateral), _by_hole(read.radial), read.dish


def _by_hole(run_out: RunOut | None) -> tuple[float | None, ...] | None:
    return run_out.by_hole_mm if run_out is not None else None


def _walked(
    steps: tuple[Step, ...], forces: Forces, per_turn_n: Floats, stop_n: float
) -> tuple[Step, ...]:
    """The same steps with neighbours that turn one way put in hole order, so that a hand walks round the
    wheel instead of to and fro; as planned where that would bring a spoke nearer to the stop value than
    a gauge's error, or where not all spokes were read."""
    from buildsheet.wheel.truing.rounds import tension_path_n

    if not steps or any(each is None for each in forces):
        return steps
    walked: list[Step] = []
    for _, group in groupby(steps, key=lambda step: step[1] > 0):
        turned: dict[int, int] = {}
        for hole, eighths in group:
            turned[hole] = turned.get(hole, 0) + eighths
        walked.extend(sorted(turned.items()))
    read_n = np.array([0.0 if each is None else each for each in forces])
    path_n = tension_path_n(tuple(walked), read_n, per_turn_n)
    return tuple(walked) if float(path_n.max()) <= _SAFE_SHARE * stop_n else steps


def _highest_n(
    planned_n: float | None, steps: tuple[Step, ...], forces: Forces, per_turn_n: Floats
) -> float | None:
    """The highest tension on the way, as planned or in the order in which it is walked, whichever is
    more; None where not every spoke was read."""
    from buildsheet.wheel.truing.rounds import tension_path_n

    if planned_n is None or not steps or any(each is None for each in forces):
        return planned_n
    read_n = np.array([0.0 if each is None else each for each in forces])
    return max(planned_n, float(tension_path_n(steps, read_n, per_turn_n).max()))


def _rounds(task: Task, steps: tuple[tuple[int, int], ...]) -> tuple[Round, ...]:
    """Steps cut into walks: a new one where the hand would have to go back, or turn the other way."""
    if not steps:
        return ()
    walks: list[list[tuple[int, int]]] = [[steps[0]]]
    for before, step in pairwise(steps):
        onward = step[0] > before[0] and (step[1] > 0) == (before[1] > 0)
        if onward:
            walks[-1].append(step)
        else:
            walks.append([step])
    sides = task.sides
    return tuple(
        Round(tuple(Turn(hole, sides[hole - 1], eighths) for hole, eighths in walk))
        for walk in walks
    )


@dataclass(frozen=True, slots=True)
class Prediction:
    """How good the last advice was, seen from the pass after it: differences measured less predicted;
    ``tension_n`` is their root mean square over all spokes read."""

    tension_n: float | None
    lateral_mm: float | None
    radial_mm: float | None
    dish_mm: float | None

    def as_json(self) -> dict[str, Value]:
        """The differences, for a record."""
        return {
            "tension_rms_n": self.tension_n,
            "lateral_mm": self.lateral_mm,
            "radial_mm": self.radial_mm,
            "dish_mm": self.dish_mm,
        }


def how_good(predicted: Predicted, read: Pass, proof: Evidence) -> Prediction:
    """The next pass against what was predicted for it."""
    pairs = [
        (was, is_)
        for was, is_ in zip(predicted.tension_n, proof.forces_n, strict=True)
        if was is not None and is_ is not None
    ]
    squares = [(is_ - was) ** 2 for was, is_ in pairs]
    return Prediction(
        tension_n=sqrt(sum(squares) / len(squares)) if squares else None,
        lateral_mm=_less(read.lateral.full_mm if read.lateral else None, predicted.lateral_mm),
        radial_mm=_less(read.radial.full_mm if read.radial else None, predicted.radial_mm),
        dish_mm=_less(read.dish.offset_mm if read.dish else None, predicted.dish_mm),
    )


def _less(is_: float | None, was: float | None) -> float | None:
    return None if is_ is None or was is None else is_ - was
