"""Gauge scales become newtons by a monotone curve through the table, and by nothing else."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildsheet.bench.gauges import Mark, force_n
from buildsheet.errors import CannotCompute
from tests.stand.wheels import table

TABLE = table("G1", "SJB9")


@pytest.mark.parametrize("mark", TABLE.marks)
def test_the_curve_goes_through_every_mark(mark: Mark):
    assert force_n(mark.shown, "scale", TABLE) == pytest.approx(mark.force_n, rel=1e-12)


@given(st.lists(st.floats(8.0, 22.5), min_size=2, max_size=2, unique=True))
def test_more_on_the_scale_is_never_less_force(places: list[float]):
    low, high = sorted(places)
    assert force_n(low, "scale", TABLE) <= force_n(high, "scale", TABLE)


def test_a_scale_that_falls_with_force_is_read_as_well():
    falling = replace(
        TABLE, marks=tuple(Mark(30.0 - each.shown, each.force_n) for each in TABLE.marks)
    )
    assert force_n(30.0 - 19.0, "scale", falling) == pytest.approx(950.0)
    assert force_n(30.0 - 20.0, "scale", falling) > 950.0


@pytest.mark.parametrize(
    ("typed", "unit"),
    [(7.9, "scale"), (22.6, "scale"), (249.0, "n"), (1451.0, "n"), (148.0, "kgf")],
)
def test_nothing_is_said_beyond_the_table(typed: float, unit: str):
    with pytest.raises(CannotCompute, match=r"lies beyond table G1 / SJB9 v4"):
        force_n(typed, unit, TABLE)  # type: ignore[arg-type]


def test_kilogram_force_is_standard_gravity():
    assert force_n(117.0, "kgf", TABLE) == pytest.approx(117.0 * 9.80665)


@pytest.mark.parametrize(
    ("marks", "why"),
    [
        (((1.0, 400.0), (2.0, 500.0)), "needs 3 marks"),
        (((1.0, 400.0), (2.0, 500.0), (2.0, 600.0)), "one place of the scale"),
        (((1.0, 400.0), (2.0, 900.0), (3.0, 600.0)), "must rise, or fall"),
    ],
)
def test_marks_that_make_no_curve_are_refused(marks: tuple[tuple[float, float], ...], why: str):
    with pytest.raises(ValueError, match=why):
        replace(TABLE, marks=tuple(Mark(*each) for each in marks))


def test_a_table_counts_from_the_day_it_was_made_to_the_day_it_is_due():
    days = [date(2031, 1, 9), date(2031, 1, 10), date(2032, 1, 10), date(2032, 1, 11)]
    assert [TABLE.valid_on(day) for day in days] == [False, True, True, False]
