"""In which order nipples are turned: safe all the way, and in walks that a hand can walk."""

from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

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
from buildsheet.wheel.truing.eighths import STEP_TURNS
from buildsheet.wheel.truing.rounds import safe_rounds, tension_path_n

CEILING_N = 1210.0


def rear() -> structure.StructureAnswer:
    """A dished rear wheel of 28 spokes, tight side at 1150 N."""
    side = SpokeSideSpec(14, 3, (SpokeSection(1.7),), 195.0)
    hub = HubSpec(FlangeSide(48.0, 33.5, 2.6), FlangeSide(52.0, 18.5, 2.6))
    rim = RimSpec(28, 576.8, 0.0, 0.0, 298.0, 7.5e6, 280.0, 340.0, 90.0)
    return structure.solve(WheelSpec(rim, hub, Sides(side, side), 1150.0))


WHEEL = rear()
PER_TURN_N = WHEEL.influence().tension_n
EIGHTHS = st.lists(st.integers(-12, 12), min_size=28, max_size=28)


@given(EIGHTHS)
def test_no_spoke_passes_the_ceiling_on_the_way_and_nothing_is_turned_in_vain(wanted: list[int]):
    turns = np.array(wanted) * STEP_TURNS
    tension_n = np.asarray(WHEEL.tension_n, dtype=float)
    steps = safe_rounds(turns, tension_n, PER_TURN_N, CEILING_N)
    if steps:
        assert tension_path_n(steps, tension_n, PER_TURN_N).max() <= CEILING_N + 1e-6
    for hole, each in enumerate(wanted, start=1):
        done = [eighths for at, eighths in steps if at == hole]
        assert all(eighths * each > 0 for eighths in done)
        assert abs(sum(done)) <= abs(each)


def test_a_wheel_near_its_stop_value_is_walked_and_not_turned_eighth_by_eighth():
    # What evens out a wheel whose spokes stand a tenth off by turns, a step below the stop value.
    chance = np.random.default_rng(3)
    off_n = np.asarray(WHEEL.tension_n) * chance.uniform(-0.1, 0.04, 28)
    wanted = -np.linalg.lstsq(PER_TURN_N, off_n, rcond=1e-3)[0]
    eighths = np.round(wanted / STEP_TURNS).astype(int)
    tension_n = np.asarray(WHEEL.tension_n) + off_n
    steps = safe_rounds(eighths * STEP_TURNS, tension_n, PER_TURN_N, CEILING_N)
    done = np.zeros(28, dtype=int)
    for hole, each in steps:
        done[hole - 1] += each
    assert np.array_equal(done, eighths)
    assert np.abs(eighths).sum() > 100
    assert len(steps) <= np.abs(eighths).sum() / 8
