"""How the bench does, out of the workshop's file."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from buildsheet.actions.bench.passes import take_pass
from buildsheet.actions.bench.reissue import reissue
from buildsheet.actions.bench.statistics import bench_statistics
from buildsheet.actions.workshop import Workshop
from tests.actions.bench.day import pass_of, taken, view_of


def test_a_wheel_counts_at_its_first_judged_pass_only(stand: Workshop):
    front, rear = taken(stand)["front"], taken(stand, "D-1009")["rear"]
    take_pass(stand, front, pass_of(stand, front, "k-pass-0001", mass_g=None))
    take_pass(stand, front, pass_of(stand, front, "k-pass-0002", twisted=True))
    take_pass(stand, front, pass_of(stand, front, "k-pass-0003"))
    take_pass(stand, rear, pass_of(stand, rear, rim_serial="X1"))
    *before, now = bench_statistics(stand).weeks
    assert len(before) == 11
    assert (now.wheels, now.good, dict(now.reasons)) == (2, 1, {"bench.twist": 1})
    assert sum(each.wheels for each in before) == 0


def test_a_wheel_that_was_judged_before_the_weeks_shown_is_not_counted_again(stand: Workshop):
    front = taken(stand)["front"]
    take_pass(stand, front, pass_of(stand, front, "k-pass-0001", twisted=True))
    later = replace(stand, clock=lambda: stand.clock() + timedelta(weeks=30))
    take_pass(later, front, pass_of(later, front, "k-pass-0002"))
    assert sum(each.wheels for each in bench_statistics(later).weeks) == 0
    assert sum(each.wheels for each in bench_statistics(later, 31).weeks) == 1


def test_a_wheel_is_weighed_by_its_newest_mass_against_the_sheet_it_was_read_under(stand: Workshop):
    front = taken(stand)["front"]
    planned_g = view_of(stand, front).plan.mass_g
    take_pass(stand, front, pass_of(stand, front, "k-pass-0001", mass_g=600.0))
    take_pass(stand, front, pass_of(stand, front, "k-pass-0002", mass_g=641.0))
    reissue(stand, front, because="rim measured", erd_mm=view_of(stand, front).plan.erd_mm + 0.9)
    take_pass(stand, front, pass_of(stand, front, "k-pass-0003", mass_g=None))
    (wheel,) = bench_statistics(stand).weighed
    assert (wheel.serial, wheel.planned_g, wheel.measured_g) == (front, planned_g, 641.0)
    assert bench_statistics(stand).mass_percent == 3.0
