"""The truing plan of one pass: which nipples to turn, by how much, in which order, with what result."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from buildsheet.errors import CannotCompute
from buildsheet.wheel.structure import StructureAnswer, solve_layout
from buildsheet.wheel.structure.arc import Floats
from buildsheet.wheel.truing.eighths import STEP_TURNS, Worth, nearest_eighths
from buildsheet.wheel.truing.estimate import BentRim, Estimate, estimate
from buildsheet.wheel.truing.least_squares import bounded_least_squares
from buildsheet.wheel.truing.readings import Goal, ReadingNoise, Readings
from buildsheet.wheel.truing.rounds import Step, safe_rounds, tension_path_n
from buildsheet.wheel.truing.seen import Seen, runout_mm, seen, shape_rows

_UNIT_OF_GOAL: Final = 0.2
"""Share of a run-out goal that counts as one unit of shape: shape goes before evenness."""

_PRICE_OF_A_TURN: Final = 0.5
"""What a whole turn costs in those units. Turning leading against trailing spokes winds the rim up on
the hub and changes nothing that is read: without a price a plan follows the gauge's noise there [own
choice]."""

_MARGIN: Final = 2.5
"""Standard errors of a spoke's likely tension that are kept free below the stop value [own choice]."""

_SHARE_ON_THE_WAY: Final = 0.995
_SHARE_AT_THE_END: Final = 0.985
"""Shares of the stop value that a plan uses while turning and when done: the first leaves room for the
play of a hand that turns, the second for the order of turning [own choice]."""

_GAIN_ON_THE_WAY: Final = 0.02
"""Share of its target that a spoke of unread tension may gain while its neighbours are slackened."""

_USUAL_SPREAD: Final = 0.02
"""How far eighths of a turn and shape leave spokes from their mean."""

_LOWER_AIMS: Final = (1.0, 0.98, 0.96, 0.94)
"""Where no order of turning reaches the aim below the stop value, a lower one is tried."""

_LIKELY_SHARE: Final = 0.85
"""Share of the band within which likely tensions must lie to leave a wheel alone [own choice]."""

_BELOW_BUCKLING: Final = 0.9


_REFUSAL: Final = (
    "no order of turning keeps every spoke at or below the stop value: slacken all a little first"
)


@dataclass(frozen=True, slots=True)
class Expected:
    """The wheel as predicted; None where nothing was read to predict from."""

    lateral_runout_mm: float | None
    radial_runout_mm: float | None
    dish_mm: float | None
    tension_n: tuple[float | None, ...]
    spread_share: float | None


@dataclass(frozen=True, slots=True)
class TruingPlan:
    """``eighths`` (N,) of a turn in all, positive tightens; ``steps`` the same in the order of doing
    them; ``highest_n`` the highest likely tension before or after any step (None: tensions not read).

    ``now`` and ``after`` as read and as predicted; ``bent`` where the rim itself is out of true;
    ``remarks`` what a person has to know.
    """

    eighths: tuple[int, ...]
    steps: tuple[Step, ...]
    highest_n: float | None
    now: Expected
    after: Expected
    bent: BentRim | None
    remarks: tuple[str, ...]


def truing_plan(
    wheel: StructureAnswer, readings: Readings, goal: Goal, noise: ReadingNoise | None = None
) -> TruingPlan:
    """One pass of truing, from whatever was read.

    No step takes a spoke above ``goal.stop_n``; a spoke whose tension was not read gains none. What is
    in tolerance already is left alone. Raises CannotCompute for readings that do not belong to the wheel,
    or when nothing was read at all.
    """
    noise = noise or ReadingNoise()
    read = seen(readings, _at_read_tension(wheel, readings).influence())
    if len(goal.target_n) != read.count:
        raise CannotCompute(f"{len(goal.target_n)} targets for {read.count} spokes")
    values = (read.lateral_mm, read.radial_mm, read.tension_n)
    if all(np.isnan(each).all() for each in values) and read.dish_mm is None:
        raise CannotCompute("nothing was read: a truing plan needs run-out, dish or tensions")
    target = np.asarray(goal.target_n)
    right = wheel.layout.direction[:, 0] > 0.0
    now = _expected(read, np.zeros(read.count), right)
    state = estimate(read, target, noise)
    if in_tolerance(read, goal, right) and _likely_even(read, state, goal, right):
        said = (*_remarks(read, None), "in tolerance: nothing to turn")
        return _planned(read, right, now, (), None, None, said)
    bent, most_likely = state.bent_rim(), _at_most(read, state, goal)
    remarks = _remarks(read, bent)
    ceiling_n = _SHARE_ON_THE_WAY * goal.stop_n
    unread_n = ceiling_n - _GAIN_ON_THE_WAY * target
    room = np.where(np.isnan(most_likely), unread_n, most_likely)
    steps: tuple[Step, ...] | None = None
    complete = False
    for lower in _LOWER_AIMS:
        aim = target * _share_to_aim_at(goal, state) * lower
        turns = _turns(read, goal, aim, most_likely)
        if turns is None:
            continue
        found = safe_rounds(turns, room, read.turned.tension_n, ceiling_n)
        done = _sum_of(found, read.count)
        complete = bool(np.abs(done - turns).max() < 1e-9)
        if complete or (steps is None and _is_better(read, goal, aim, done)):
            steps = found
        if complete:
            break
    if steps is None:
        return _planned(read, right, now, (), None, bent, (*remarks, _REFUSAL))
    if not complete:
        remarks = (*remarks, "turned only as far as the stop value lets it; read again and go on")
    highest_n = None
    if not np.isnan(read.tension_n).any():
        highest_n = float(tension_path_n(steps, state.tension_n, read.turned.tension_n).max())
    return _planned(read, right, now, steps, highest_n, bent, remarks)


def in_tolerance(
    read: Seen, goal: Goal, right: np.ndarray[tuple[int, ...], np.dtype[np.bool_]]
) -> bool:
    """Whether everything that was read is where it should be."""
    now = _expected(read, np.zeros(read.count), right)
    if (now.lateral_runout_mm or 0.0) > goal.lateral_runout_mm:
        return False
    if (now.radial_runout_mm or 0.0) > goal.radial_runout_mm:
        return False
    if abs(now.dish_mm or 0.0) > goal.dish_mm or (now.spread_share or 0.0) > goal.band_share:
        return False
    known = ~np.isnan(read.tension_n)
    if known.any() and read.tension_n[known].max() > goal.stop_n:
        return False
    target = np.asarray(goal.target_n)
    for side in (right, ~right):
        both = side & known
        if both.any():
            off = abs(read.tension_n[both].mean() / target[both].mean() - 1.0)
            if off > goal.band_share / 2.0:
                return False
    return True


def _likely_even(
    read: Seen,
    state: Estimate,
    goal: Goal,
    right: np.ndarray[tuple[int, ...], np.dtype[np.bool_]],
) -> bool:
    """Whether the likely tensions are even too: a single reading may flatter its spoke."""
    known = ~np.isnan(read.tension_n)
    for side in (right & known, ~right & known):
        likely = state.tension_n[side]
        if (
            len(likely)
            and np.abs(likely / likely.mean() - 1.0).max() > _LIKELY_SHARE * goal.band_share
        ):
            return False
    return True


def _at_read_tension(wheel: StructureAnswer, readings: Readings) -> StructureAnswer:
    """The wheel at the mean tension that was read, for what its nipples do there."""
    read = [each for each in readings.tension_n or () if each is not None]
    if not read:
        return wheel
    most = _BELOW_BUCKLING * wheel.figures.buckling_tension_n
    mean = min(max(sum(read) / len(read), 0.0), most)
    return solve_layout(wheel.layout.tensioned(mean))


def _at_most(read: Seen, state: Estimate, goal: Goal) -> Floats:
    """The most that each spoke is likely to carry; not-a-number where its tension was not read. A
    reading above the stop value is believed."""
    upper = state.tension_n + _MARGIN * state.error_n
    believed = np.where(read.tension_n > goal.stop_n, read.tension_n, upper)
    return np.where(np.isnan(read.tension_n), np.nan, np.maximum(upper, believed))


def _share_to_aim_at(goal: Goal, state: Estimate) -> float:
    """Share of the target that leaves the tightest spokes their margin below the stop value: a mean a
    little low is evener than a mean at target with its highest spokes cut off."""
    free_n = _SHARE_AT_THE_END * goal.stop_n - _MARGIN * float(np.median(state.error_n))
    return min(1.0, free_n / ((1.0 + _USUAL_SPREAD) * max(goal.target_n)))


def _is_better(read: Seen, goal: Goal, aim: Floats, turns: Floats) -> bool:
    """Whether turning only this far is worth more than turning nothing."""
    rows, values = _goal_rows(read, goal, aim)
    after = rows @ turns + values
    return float(after @ after) < float(values @ values)


def _turns(read: Seen, goal: Goal, target: Floats, likely: Floats) -> Floats | None:
    rows, values = _goal_rows(read, goal, target)
    limits, most = _limits(read, goal, likely)
    exact = bounded_least_squares(rows, -values, limits, most)
    if exact is None:  # the floor cannot be kept by everything at once; the stop value can
        limits, most = _limits(read, goal, likely, floor=False)
        exact = bounded_least_squares(rows, -values, limits, most)
    if exact is None:
        return None
    worth = Worth(rows, values, limits, most, touch_factor=0.3, turn_factor=0.1)
    return nearest_eighths(worth, exact)


def _goal_rows(read: Seen, goal: Goal, target: Floats) -> tuple[Floats, Floats]:
    """What is to become small: shape, dish, distance from target tension, and turning itself."""
    rows, values = shape_rows(
        read, _UNIT_OF_GOAL * goal.lateral_runout_mm, _UNIT_OF_GOAL * goal.radial_runout_mm
    )
    known = ~np.isnan(read.tension_n)
    unit = goal.band_share / 9.0 * target[known]
    more = [read.turned.tension_n[known] / unit[:, None], _PRICE_OF_A_TURN * np.eye(read.count)]
    last = [(read.tension_n - target)[known] / unit, np.zeros(read.count)]
    if read.dish_mm is not None:
        unit_mm = goal.dish_mm / 3.0
        more.append(read.turned.lateral_mm.mean(axis=0)[None] / unit_mm)
        last.append(np.array([read.dish_mm / unit_mm]))
    return np.vstack([rows, *more]), np.concatenate([values, *last])


def _limits(read: Seen, goal: Goal, likely: Floats, *, floor: bool = True) -> tuple[Floats, Floats]:
    """Rows and most: no spoke above the stop, none that was not read gains, none below the floor unless it
    is there already, no nipple turned too far."""
    per_turn = read.turned.tension_n
    room = np.where(np.isnan(likely), 0.0, _SHARE_AT_THE_END * goal.stop_n - likely)
    rows, most = [per_turn], [room]
    if floor:
        known = ~np.isnan(read.tension_n)
        spare = read.tension_n[known] - goal.floor_n
        rows.append(-per_turn[known])
        most.append(np.maximum(spare, 0.0))
    reach = np.eye(read.count)
    rows.extend([reach, -reach])
    most.extend([np.full(read.count, goal.most_eighths * STEP_TURNS)] * 2)
    return np.vstack(rows), np.concatenate(most)


def _expected(
    read: Seen, turns: Floats, right: np.ndarray[tuple[int, ...], np.dtype[np.bool_]]
) -> Expected:
    tension = read.tension_after_n(turns)
    spreads = []
    for side in (right, ~right):
        known = tension[side & ~np.isnan(tension)]
        if len(known):
            spreads.append(float(np.abs(known / known.mean() - 1.0).max()))
    return Expected(
        lateral_runout_mm=runout_mm(read.lateral_after_mm(turns)),
        radial_runout_mm=runout_mm(read.radial_after_mm(turns)),
        dish_mm=read.dish_after_mm(turns),
        tension_n=tuple(None if np.isnan(each) else float(each) for each in tension),
        spread_share=max(spreads) if spreads else None,
    )


def _remarks(read: Seen, bent: BentRim | None) -> tuple[str, ...]:
    said = []
    unread = int(np.isnan(read.tension_n).sum())
    if unread:
        said.append(
            f"{unread} of {read.count} tensions were not read: no such spoke ends with more tension than "
            f"it has, nor gains more than {_GAIN_ON_THE_WAY:.0%} of its target on the way"
        )
    if np.isnan(read.lateral_mm).all():
        said.append("lateral run-out was not read: nothing is promised of it")
    if read.dish_mm is None:
        said.append("dish was not read: check it after the pass")
    if bent is not None:
        said.append(
            f"the rim itself is bent sideways by {bent.runout_mm:.1f} mm (give or take "
            f"{bent.error_mm:.1f}), most near hole {bent.at_hole}: even tension cannot mend that"
        )
    return tuple(said)


def _sum_of(steps: tuple[Step, ...], count: int) -> Floats:
    turns = np.zeros(count)
    for hole, eighths in steps:
        turns[hole - 1] += eighths * STEP_TURNS
    return turns


def _planned(
    read: Seen,
    right: np.ndarray[tuple[int, ...], np.dtype[np.bool_]],
    now: Expected,
    steps: tuple[Step, ...],
    highest_n: float | None,
    bent: BentRim | None,
    remarks: tuple[str, ...],
) -> TruingPlan:
    turns = _sum_of(steps, read.count)
    eighths = tuple(int(each) for each in np.round(turns / STEP_TURNS))
    after = _expected(read, turns, right) if steps else now
    return TruingPlan(eighths, steps, highest_n, now, after, bent, remarks)
