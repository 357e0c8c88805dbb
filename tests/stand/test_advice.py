"""What to turn next: below the stop value on every step, nothing where nothing helps, and honest after."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from math import cos, pi

import pytest

from buildsheet.bench.advice import Advice, advice, how_good
from buildsheet.bench.evidence import evidence
from buildsheet.bench.gauges import Unit
from buildsheet.bench.readings import Pass, RunOut, Tensions
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


def test_a_spoke_beyond_the_table_is_slackened_and_nothing_tightened():
    typed = (at_target(FRONT)[0], 1600.0, *at_target(FRONT)[2:])
    said = advised(good_pass(FRONT, typed))
    turned = {turn.hole: turn.eighths for each in said.rounds for turn in each.turns}
    assert min(turned, key=turned.__getitem__) == 2
    assert not any(each.tightens for each in said.rounds)
    assert said.predicted is not None
    assert said.predicted.tension_n[1] is None


@pytest.mark.parametrize(("unit", "times"), [("n", 1.0 / 9.80665), ("kgf", 1.0)])
def test_where_the_unit_seems_mistaken_nothing_is_turned_nor_passed(unit: Unit, times: float):
    typed = tuple(None if each is None else times * each for each in at_target(FRONT))
    read = good_pass(FRONT, tensions=Tensions("G1", unit, typed))
    said = advised(read)
    assert said.rounds == ()
    assert "newtons or kilogram-force" in said.why_not
    assert "/tension/unit" in [each.at for each in evidence(FRONT, read, tables(), TODAY).missing]


@pytest.mark.parametrize(("unit", "times"), [("kgf", 1.0 / 9.80665), ("n", 0.4), ("n", 1.2)])
def test_readings_in_the_unit_that_was_said_raise_no_doubt(unit: Unit, times: float):
    typed = tuple(None if each is None else times * each for each in at_target(FRONT))
    proof = evidence(FRONT, good_pass(FRONT, tensions=Tensions("G1", unit, typed)), tables(), TODAY)
    assert not proof.unit_doubted


def test_no_nipple_is_slackened_out_of_its_spoke_in_one_pass():
    typed = tuple(None if each is None else 4.0 * each for each in at_target(FRONT))
    turned: Counter[int] = Counter()
    for each in advised(good_pass(FRONT, typed)).rounds:
        for turn in each.turns:
            turned[turn.hole] += turn.eighths
    assert turned
    assert all(-24 <= eighths < 0 for eighths in turned.values())


def test_what_is_above_stop_comes_down_before_the_lacing_is_looked_at():
    typed = (at_target(FRONT)[0], 1240.0, *at_target(FRONT)[2:])
    said = advised(good_pass(FRONT, typed), wrong_ratio=True)
    assert [turn.hole for each in said.rounds for turn in each.turns] == [2]


def test_a_coarse_gauge_is_planned_lower_than_the_printed_stop_value():
    coarse = {key: replace(each, error_share=0.10) for key, each in tables().items()}
    typed = tuple(None if each is None else 0.9 * each for each in at_target(FRONT))
    read = good_pass(FRONT, typed)
    proof = evidence(FRONT, read, coarse, TODAY)
    said = advice(FRONT, read, proof, wrong_ratio=False)
    assert said.predicted is not None
    assert said.highest_n is not None
    assert said.highest_n * 1.10 <= FRONT.limit_n
    over = good_pass(FRONT, (at_target(FRONT)[0], 1160.0, *at_target(FRONT)[2:]))
    said = advice(FRONT, over, evidence(FRONT, over, coarse, TODAY), wrong_ratio=False)
    assert said.rounds
    assert not any(each.tightens for each in said.rounds)


def test_spokes_slacker_than_the_gauge_can_read_are_tightened():
    typed = tuple(200.0 if hole in (3, 8) else each for hole, each in enumerate(at_target(FRONT)))
    said = advised(good_pass(FRONT, typed))
    turned: Counter[int] = Counter()
    for each in said.rounds:
        for turn in each.turns:
            turned[turn.hole] += turn.eighths
    assert turned[4] > 1
    assert turned[9] > 1
    assert any("less than the gauge" in each for each in said.remarks)
    assert said.predicted is not None
    assert said.predicted.tension_n[3] is None


def test_a_run_out_of_one_figure_is_asked_for_hole_by_hole():
    said = advised(good_pass(FRONT, lateral=RunOut("full", 0.9)))
    assert said.rounds == ()
    assert "read it at every hole" in said.why_not
    assert "in tolerance" not in said.why_not


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
