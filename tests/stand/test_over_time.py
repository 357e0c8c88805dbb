"""Weeks of first judged passes, against a plain count."""

from __future__ import annotations

from datetime import date, timedelta

from hypothesis import given
from hypothesis import strategies as st

from buildsheet.bench.over_time import Judged, monday_of, over_weeks, reasons_by_weight

TODAY = date(2031, 5, 1)


def judged(serial: str, number: int, word: str, *reasons: str, ago: int = 0) -> Judged:
    return Judged(serial, number, TODAY - timedelta(days=ago), word, reasons)


def test_a_wheel_counts_once_in_the_week_of_its_first_judged_pass():
    passes = [
        judged("A", 1, "pass"),
        judged("B", 1, "rework", "bench.lateral", "bench.lateral", "bench.dish"),
        judged("B", 2, "pass"),
        judged("C", 1, "stop", "bench.above-stop", ago=7),
    ]
    *_, before, now = over_weeks(passes, TODAY, 3)
    assert (now.wheels, now.good) == (2, 1)
    assert now.reasons == {"bench.dish": 1, "bench.lateral": 1}
    assert (before.wheels, before.good, before.reasons) == (1, 0, {"bench.above-stop": 1})
    assert reasons_by_weight((before, now))[0] == ("bench.above-stop", 1)


def test_a_pass_with_missing_readings_is_no_verdict_on_the_wheel():
    passes = [judged("A", 1, "not-judged", "bench.reading-missing", ago=7), judged("A", 2, "pass")]
    *_, before, now = over_weeks(passes, TODAY, 2)
    assert (before.wheels, now.wheels, now.good) == (0, 1, 1)


def test_weeks_without_wheels_are_weeks_of_nothing():
    weeks = over_weeks([], TODAY, 12)
    assert [each.wheels for each in weeks] == [0] * 12
    assert weeks[-1].monday == monday_of(TODAY)
    assert weeks[0].monday == monday_of(TODAY) - timedelta(weeks=11)


@given(
    st.lists(
        st.builds(
            Judged,
            serial=st.sampled_from("ABCDEF"),
            number=st.integers(1, 4),
            day=st.dates(date(2031, 4, 1), date(2031, 5, 1)),
            word=st.sampled_from(["pass", "rework", "stop", "not-judged"]),
            reasons=st.lists(st.sampled_from(["x", "y"])).map(tuple),
        ),
        unique_by=lambda each: (each.serial, each.number),
    )
)
def test_no_wheel_is_counted_twice_and_good_ones_come_back_for_nothing(passes: list[Judged]):
    weeks = over_weeks(passes, TODAY, 12)
    assert sum(each.wheels for each in weeks) <= len({each.serial for each in passes})
    for week in weeks:
        assert 0 <= week.good <= week.wheels
        assert all(count <= week.wheels - week.good for count in week.reasons.values())
