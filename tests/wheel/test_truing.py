"""Truing plans, judged on random wheels with noisy gauges and unsteady hands."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache

import numpy as np
import pytest

from buildsheet.errors import CannotCompute
from buildsheet.units import SPOKE_THREAD_PITCH_MM
from buildsheet.wheel import structure
from buildsheet.wheel.spec import (
    FlangeSide,
    HubSpec,
    RimSpec,
    Sides,
    SpokeSection,
    SpokeSideSpec,
    WheelSpec,
)
from buildsheet.wheel.structure import StructureAnswer
from buildsheet.wheel.truing import Goal, Readings, TruingPlan, truing_plan
from buildsheet.wheel.truing.least_squares import bounded_least_squares

TIGHT_N, STOP_N, FLOOR_N = 1150.0, 1210.0, 150.0
"""The demo workshop's rim: 1250 N limit, 0.92 of it as target, less 3 % gauge error as stop value."""

KINDS = (
    (28, 3, 33.5, 18.5, 1.7),
    (24, 2, 22.5, 34.0, 1.7),
    (32, 3, 30.0, 21.0, 2.5),
    (20, 0, 35.5, 35.5, 2.5),
    (36, 3, 35.0, 35.0, 2.5),
)
"""Rear and front, dished and even, crossed and radial: spokes, crossings, flanges, section."""

LATERAL_NOISE_MM, RADIAL_NOISE_MM, DISH_NOISE_MM, TENSION_NOISE, HAND_TURNS = (
    0.03,
    0.04,
    0.1,
    0.02,
    0.01,
)


@cache
def _wheel(kind: int) -> StructureAnswer:
    holes, crossings, left, right, area = KINDS[kind]
    side = SpokeSideSpec(holes // 2, crossings, (SpokeSection(area),), 195.0)
    hub = HubSpec(FlangeSide(48.0, left, 2.6), FlangeSide(52.0, right, 2.6))
    rim = RimSpec(holes, 576.8, 0.0, 0.0, 298.0, 7.5e6, 280.0, 340.0, 90.0)
    return structure.solve(WheelSpec(rim, hub, Sides(side, side), TIGHT_N))


def _goal(wheel: StructureAnswer) -> Goal:
    return Goal(tuple(wheel.tension_n), STOP_N, FLOOR_N)


@dataclass
class Stand:
    """A real wheel on the stand: its rim is up to a tenth stiffer or softer than the plan believes."""

    wheel: StructureAnswer
    chance: np.random.Generator
    level: float
    off_turns: np.ndarray
    bend_mm: np.ndarray

    def __post_init__(self) -> None:
        layout, section = self.wheel.layout, self.wheel.layout.section
        shares = self.chance.uniform(0.9, 1.1, 3)
        real = replace(
            section,
            radial_bending_nmm2=section.radial_bending_nmm2 * shares[0],
            lateral_bending_nmm2=section.lateral_bending_nmm2 * shares[1],
            torsion_nmm2=section.torsion_nmm2 * shares[2],
        )
        tensioned = replace(layout, section=real).tensioned(self.level * layout.mean_tension_n)
        self.turned = structure.solve_layout(tensioned).influence()
        # a bent rim reaches its spokes less or more far: as if their nipples stood off
        reach = layout.direction[:, 0] * self.bend_mm / SPOKE_THREAD_PITCH_MM
        off = self.off_turns - reach
        self.lateral_mm = self.bend_mm + self.turned.lateral_mm @ off
        self.radial_mm = self.turned.radial_mm @ off
        self.tension_n = self.wheel.tension_n * self.level + self.turned.tension_n @ off
        self.highest_n = float(self.tension_n.max())

    def read(self) -> Readings:
        noise, count = self.chance.normal, len(self.tension_n)
        return Readings(
            lateral_mm=list(self.lateral_mm + noise(0.0, LATERAL_NOISE_MM, count)),
            radial_mm=list(self.radial_mm + noise(0.0, RADIAL_NOISE_MM, count)),
            dish_mm=float(self.lateral_mm.mean() + noise(0.0, DISH_NOISE_MM)),
            tension_n=list(self.tension_n * (1.0 + noise(0.0, TENSION_NOISE, count))),
        )

    def turn(self, plan: TruingPlan) -> None:
        for hole, eighths in plan.steps:
            turns = eighths / 8.0 + self.chance.normal(0.0, HAND_TURNS)
            self.lateral_mm = self.lateral_mm + self.turned.lateral_mm[:, hole - 1] * turns
            self.radial_mm = self.radial_mm + self.turned.radial_mm[:, hole - 1] * turns
            self.tension_n = self.tension_n + self.turned.tension_n[:, hole - 1] * turns
            self.highest_n = max(self.highest_n, float(self.tension_n.max()))

    def runout_mm(self) -> float:
        return float(np.ptp(self.lateral_mm))

    def spread(self) -> float:
        right = self.wheel.layout.direction[:, 0] > 0.0
        sides = (self.tension_n[right], self.tension_n[~right])
        return max(float(np.abs(each / each.mean() - 1.0).max()) for each in sides)


def _stand(seed: int, bend_mm: float = 0.0, *, most_mm: float = 0.5) -> Stand:
    """A wheel after lacing: at 60 to 90 % of its tension, spokes off by up to half a millimetre, up to 3 mm
    out of true; drawn again where a spoke would be slack or already above the stop value."""
    chance = np.random.default_rng(seed)
    wheel = _wheel(seed % len(KINDS))
    count = wheel.layout.count
    angle = wheel.layout.rim_angle_rad
    while True:
        level = chance.uniform(0.6, 0.9)
        off = chance.uniform(-most_mm, most_mm, count) * chance.uniform(0.2, 1.0)
        around = np.cos(angle - chance.uniform(0.0, 2.0 * np.pi))
        bump = np.exp(4.0 * (around - 1.0))
        bend = bend_mm * (bump - bump.mean())
        stand = Stand(wheel, chance, level, off / SPOKE_THREAD_PITCH_MM, bend)
        upright = stand.tension_n.min() > 30.0 and stand.highest_n < STOP_N
        if upright and (bend_mm or stand.runout_mm() < 3.0):
            return stand


def test_two_hundred_wheels_come_true_and_none_is_ever_over_tensioned() -> None:
    first, second, spreads, highest, second_eighths = [], [], [], [], []
    for seed in range(200):
        stand = _stand(seed)
        stand.turn(truing_plan(stand.wheel, stand.read(), _goal(stand.wheel)))
        first.append(stand.runout_mm())
        again = truing_plan(stand.wheel, stand.read(), _goal(stand.wheel))
        stand.turn(again)
        second_eighths.append(sum(map(abs, again.eighths)))
        second.append(stand.runout_mm())
        spreads.append(stand.spread())
        highest.append(stand.highest_n)
    assert np.median(first) <= 0.20
    assert np.median(second) <= 0.15
    assert max(highest) <= STOP_N
    assert max(spreads) <= 0.08
    # a second pass is small: nothing is wound up against what nobody reads
    assert max(second_eighths) <= 300


def test_the_predicted_run_out_is_what_comes_out() -> None:
    apart = []
    for seed in range(20):
        stand = _stand(seed)
        plan = truing_plan(stand.wheel, stand.read(), _goal(stand.wheel))
        stand.turn(plan)
        assert plan.after.lateral_runout_mm is not None
        apart.append(abs(plan.after.lateral_runout_mm - stand.runout_mm()))
    assert np.median(apart) < 0.1  # gauge noise of 0.03 mm a point, and a rim a tenth off


def test_a_wheel_in_tolerance_is_left_alone() -> None:
    wheel = _wheel(0)
    count = wheel.layout.count
    even = Readings([0.02] * count, [0.0] * count, 0.05, list(wheel.tension_n))
    plan = truing_plan(wheel, even, _goal(wheel))
    assert plan.steps == ()
    assert plan.eighths == (0,) * count
    assert "in tolerance: nothing to turn" in plan.remarks


def test_one_nipple_that_is_off_is_found_and_hardly_another_turned() -> None:
    wheel = _wheel(2)
    turned = wheel.influence()
    off = np.zeros(wheel.layout.count)
    off[10] = -0.75
    lower = 0.97 * wheel.tension_n
    readings = Readings(
        list(turned.lateral_mm @ off),
        list(turned.radial_mm @ off),
        0.0,
        list(lower + turned.tension_n @ off),
    )
    goal = replace(_goal(wheel), target_n=tuple(lower))
    plan = truing_plan(wheel, readings, goal)
    assert plan.eighths[10] == 6
    assert sum(1 for each in plan.eighths if each) == 1


def test_steps_add_up_to_the_eighths_and_stay_below_the_stop_on_the_way() -> None:
    for seed in range(10):
        stand = _stand(seed)
        readings = stand.read()
        plan = truing_plan(stand.wheel, readings, _goal(stand.wheel))
        done = np.zeros(len(plan.eighths), dtype=int)
        for hole, eighths in plan.steps:
            done[hole - 1] += eighths
        assert tuple(done) == plan.eighths
        assert plan.highest_n is not None
        assert plan.highest_n <= STOP_N


def test_a_spoke_above_the_stop_value_is_brought_down() -> None:
    wheel = _wheel(0)
    tension = list(0.95 * wheel.tension_n)
    tension[0] = 1300.0
    count = wheel.layout.count
    plan = truing_plan(wheel, Readings([0.0] * count, [0.0] * count, 0.0, tension), _goal(wheel))
    assert plan.eighths[0] < 0
    after = plan.after.tension_n[0]
    assert after is not None
    assert after <= STOP_N


def test_without_tension_readings_no_spoke_gains_tension() -> None:
    stand = _stand(3)
    readings = replace(stand.read(), tension_n=None)
    plan = truing_plan(stand.wheel, readings, _goal(stand.wheel))
    gained = stand.wheel.influence().tension_n @ (np.array(plan.eighths) / 8.0)
    assert gained.max() <= 1e-9
    assert plan.highest_n is None
    assert plan.after.spread_share is None
    assert any("were not read" in remark for remark in plan.remarks)
    before, after = plan.now.lateral_runout_mm, plan.after.lateral_runout_mm
    assert before is not None
    assert after is not None
    assert after < 0.6 * before


@pytest.mark.parametrize("missing", ["lateral_mm", "radial_mm", "dish_mm"])
def test_any_reading_may_be_missing(missing: str) -> None:
    stand = _stand(7)
    plan = truing_plan(stand.wheel, replace(stand.read(), **{missing: None}), _goal(stand.wheel))
    stand.turn(plan)
    assert stand.highest_n <= STOP_N
    if missing != "lateral_mm":
        assert stand.runout_mm() < 0.4
        assert plan.after.lateral_runout_mm is not None
    else:
        assert plan.after.lateral_runout_mm is None


def test_some_spokes_may_be_unread() -> None:
    stand = _stand(12)
    read = stand.read()
    assert read.tension_n is not None
    assert read.lateral_mm is not None
    tension = [None if place % 7 == 3 else each for place, each in enumerate(read.tension_n)]
    lateral = [None if place % 5 == 1 else each for place, each in enumerate(read.lateral_mm)]
    plan = truing_plan(
        stand.wheel, replace(read, tension_n=tension, lateral_mm=lateral), _goal(stand.wheel)
    )
    unread = [place for place, each in enumerate(tension) if each is None]
    mean_n = float(np.mean([each for each in tension if each is not None]))
    as_read = structure.solve_layout(stand.wheel.layout.tensioned(mean_n))
    gained = as_read.influence().tension_n @ (np.array(plan.eighths) / 8.0)
    assert gained[unread].max() <= 1e-6
    assert all(plan.after.tension_n[place] is None for place in unread)


def test_a_bent_rim_is_told_apart_from_uneven_tension() -> None:
    """Bends of 2.5 mm are found in nine wheels of ten and placed; 200 straight rims with uneven spokes are
    not accused."""
    found = 0
    for seed in range(40):
        stand = _stand(seed, bend_mm=2.5, most_mm=0.2)
        plan = truing_plan(stand.wheel, stand.read(), _goal(stand.wheel))
        if plan.bent is None:
            continue
        found += 1
        assert any("the rim itself is bent" in remark for remark in plan.remarks)
        count = stand.wheel.layout.count
        away = abs(plan.bent.at_hole - 1 - int(stand.bend_mm.argmax()))
        assert min(away, count - away) <= count / 8
    assert found >= 36
    for seed in range(200):
        stand = _stand(seed)
        assert truing_plan(stand.wheel, stand.read(), _goal(stand.wheel)).bent is None


def test_a_gauge_s_zero_is_nobody_s_business() -> None:
    stand = _stand(5)
    read = stand.read()
    assert read.lateral_mm is not None
    assert read.radial_mm is not None
    moved = replace(
        read,
        lateral_mm=[(each or 0.0) + 5.0 for each in read.lateral_mm],
        radial_mm=[(each or 0.0) - 3.0 for each in read.radial_mm],
    )
    goal = _goal(stand.wheel)
    assert (
        truing_plan(stand.wheel, moved, goal).eighths
        == truing_plan(stand.wheel, read, goal).eighths
    )


def test_readings_of_another_wheel_are_refused() -> None:
    wheel = _wheel(0)
    with pytest.raises(CannotCompute, match="3 readings for 28 spokes"):
        truing_plan(wheel, Readings(lateral_mm=[0.0] * 3), _goal(wheel))
    with pytest.raises(CannotCompute, match="nothing was read"):
        truing_plan(wheel, Readings(), _goal(wheel))
    with pytest.raises(CannotCompute, match="not a number"):
        truing_plan(wheel, Readings(lateral_mm=[float("inf")] * 28), _goal(wheel))


def test_bounded_least_squares_finds_the_corner() -> None:
    """min (x - 3)2 + (y - 1)2 with x + y <= 2 and x <= 1.2: at (1.2, 0.8) by hand."""
    limits = np.array([[1.0, 1.0], [1.0, 0.0]])
    found = bounded_least_squares(np.eye(2), np.array([3.0, 1.0]), limits, np.array([2.0, 1.2]))
    assert found == pytest.approx([1.2, 0.8])
    slack = bounded_least_squares(np.eye(2), np.array([0.5, 0.5]), limits, np.array([2.0, 1.2]))
    assert slack == pytest.approx([0.5, 0.5])
    nowhere = np.array([[1.0, 0.0], [-1.0, 0.0]])
    assert bounded_least_squares(np.eye(2), np.ones(2), nowhere, np.array([-1.0, -1.0])) is None
