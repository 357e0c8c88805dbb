"""What to turn next: below the stop value on every step, nothing where nothing helps, and honest after."""

from __future__ import annotations

from math import cos, pi

import pytest

from buildsheet.bench.advice import Advice, advice, how_good
from buildsheet.bench.evidence import evidence
from buildsheet.bench.readings import Pass, RunOut
from tests.stand.wheels import TODAY, at_target, demo_task, good_pass, tables

FRONT = demo_task()
WAVY = tuple(0.2 * cos(4.0 * pi * hole / 24.0) for hole in range(24))
"""Twice round the wheel: 0.4 mm from crest to trough."""


def advised(read: Pass, *, wrong_ratio: bool = False) -> Advice:
    return advice(FRONT, read, evidence(FRONT, read, tables(), TODAY), wrong_ratio=wrong_ratio)


def test_a_wheel_in_tolerance_is_left_alone():
    said = advised(good_pass(FRONT))
    assert said.rounds == ()
    assert "in tolerance" in said.why_not


def test_a_wheel_that_runs_out_is_turned_and_no_step_passes_the_stop_value():
    said = advised(good_pass(FRONT, lateral=RunOut("full", by_hole_mm=WAVY)))
    assert said.rounds
    assert said.highest_n is not None
    assert said.highest_n <= FRONT.stop_n
    assert said.predicted is not None
    assert said.predicted.lateral_mm is not None
    assert said.predicted.lateral_mm < 0.4


def test_every_round_walks_onward_and_turns_one_way():
    said = advised(good_pass(FRONT, lateral=RunOut("full", by_hole_mm=WAVY)))
    for each in said.rounds:
        holes = [turn.hole for turn in each.turns]
        assert holes == sorted(set(holes))
        assert {turn.eighths > 0 for turn in each.turns} == {each.tightens}


def test_a_spoke_above_stop_is_slackened_first():
    typed = (at_target(FRONT)[0], 1240.0, *at_target(FRONT)[2:])
    said = advised(good_pass(FRONT, typed))
    assert [[(turn.hole, turn.eighths < 0) for turn in each.turns] for each in said.rounds] == [
        [(2, True)]
    ]
    assert said.predicted is not None
    assert max(each for each in said.predicted.tension_n if each is not None) <= FRONT.stop_n


def test_nothing_is_turned_on_a_wheel_that_may_be_laced_otherwise():
    said = advised(good_pass(FRONT, lateral=RunOut("full", by_hole_mm=WAVY)), wrong_ratio=True)
    assert (said.rounds, said.predicted) == ((), None)
    assert "hints first" in said.why_not


def test_without_any_reading_there_is_nothing_to_advise():
    assert "Nothing was read" in advised(Pass(issue="A")).why_not


def test_a_prediction_that_came_true_is_off_by_nothing():
    before = advised(good_pass(FRONT, lateral=RunOut("full", by_hole_mm=WAVY)))
    assert before.predicted is not None
    after = good_pass(
        FRONT, before.predicted.tension_n, lateral=RunOut("full", before.predicted.lateral_mm)
    )
    good = how_good(before.predicted, after, evidence(FRONT, after, tables(), TODAY))
    assert good.tension_n == pytest.approx(0.0, abs=1e-9)
    assert good.lateral_mm == pytest.approx(0.0, abs=1e-9)
