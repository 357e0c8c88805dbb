"""Pictures of many wheels, and of one: what stands where, and that a picture says what it shows."""

from __future__ import annotations

from datetime import date, timedelta
from math import hypot
from xml.etree import ElementTree as ET

from hypothesis import given, settings
from hypothesis import strategies as st

from buildsheet.bench.over_time import Week, Weighed
from buildsheet.sheet.charts.mass import mass_chart, mass_svg, outside
from buildsheet.sheet.charts.run_out_round import RunOutStrip, run_out_round
from buildsheet.sheet.charts.tension_round import SIZE_MM, TensionRound, tension_round
from buildsheet.sheet.charts.yield_over_time import yield_over_time, yield_over_time_svg
from buildsheet.sheet.layout.primitives import Box, Disc, Outline, Page, Text
from buildsheet.wheel.spec import Side, Sides
from tests.sheet.test_as_built import apart

PHONE_PX = 354.0
"""How wide a picture is on a phone of 390 px, without the page's margins."""

LEAST_PX = 11.0
MONDAY = date(2031, 4, 28)
TWENTY_FOUR: tuple[Side, ...] = ("right", "left") * 12


def tensions(**changed: float | None) -> TensionRound:
    """A wheel at 760 and 1150 N, with single holes changed: ``hole_6=1400.0``."""
    forces: list[float | None] = [760.0 if side == "right" else 1150.0 for side in TWENTY_FOUR]
    for name, force_n in changed.items():
        forces[int(name.rpartition("_")[2]) - 1] = force_n
    return TensionRound(TWENTY_FOUR, tuple(forces), Sides(1150.0, 760.0), 1210.0, 8.0)


def words(page: Page) -> list[str]:
    return [each.text for each in page.ink if isinstance(each, Text)]


def black_marks(page: Page) -> list[Disc | Box]:
    marks = (each for each in page.ink if isinstance(each, Disc | Box))
    return [each for each in marks if each.fill == "black"]


def from_middle(mark: Disc) -> float:
    return hypot(mark.x_mm - SIZE_MM / 2.0, mark.y_mm - SIZE_MM / 2.0)


def small_discs(page: Page) -> list[Disc]:
    """Marks, not lanes."""
    return [each for each in page.ink if isinstance(each, Disc) and each.r_mm < 4.0]


def test_an_even_wheel_has_every_mark_on_the_mean_and_none_black():
    page = tension_round(tensions())
    assert black_marks(page) == []
    lefts = small_discs(page)
    assert len(lefts) == 12
    assert max(map(from_middle, lefts)) - min(map(from_middle, lefts)) < 1e-9
    assert "every spoke in the band" in page.title


def test_a_tight_spoke_stands_further_out_and_is_black_with_its_number():
    page = tension_round(tensions(hole_6=1400.0))
    mark, label = black_marks(page)
    assert isinstance(mark, Disc)
    assert isinstance(label, Disc)
    others = [each for each in small_discs(page) if each.fill == "white"]
    assert from_middle(mark) > max(map(from_middle, others))
    assert any(isinstance(each, Outline) for each in page.ink)
    assert "holes 6" in page.title


def test_a_spoke_above_stop_is_black_though_it_lies_in_the_band():
    chart = tensions(hole_2=1215.0)
    off = chart.bands_off(2)
    assert off is not None
    assert off < 1.0
    assert len(black_marks(tension_round(chart))) == 2


def test_a_spoke_that_was_not_read_is_crossed_out_and_named():
    page = tension_round(tensions(hole_9=None))
    assert "holes 9" in page.title
    assert len(small_discs(page)) == 12
    assert len(black_marks(page)) == 1


def test_a_loose_wheel_is_a_picture_too():
    chart = TensionRound(TWENTY_FOUR, (0.0,) * 24, Sides(0.0, 0.0), 0.0, 8.0)
    assert "outside the band or not read" in tension_round(chart).title


def test_the_rim_rolled_out_marks_what_leaves_the_channel():
    quiet = [0.0] * 23
    strip = RunOutStrip("lateral", "RIGHT", "LEFT", (0.5, *quiet), 0.5, 0.2)
    page = run_out_round((strip,))
    discs = [each for each in page.ink if isinstance(each, Disc)]
    assert discs[0].y_mm < min(each.y_mm for each in discs[1:])
    # About the middle of 0 and 0.5 all of it lies outside: the rim does not know what is true.
    assert all(each.fill == "black" for each in discs)
    # Highest and lowest, side by side here.
    assert "1 2" in words(page)


def test_highest_and_lowest_side_by_side_are_named_together():
    wave = [0.0] * 70 + [-0.1, 0.1]
    page = run_out_round((RunOutStrip("radial", "out", "in", tuple(wave), 0.2, 0.3),))
    assert "71 72" in words(page)
    apart(page)


def test_a_run_out_read_as_one_figure_draws_no_line():
    strip = RunOutStrip("radial", "out", "in", (), 0.22, 0.3)
    page = run_out_round((strip,))
    assert [each for each in page.ink if not isinstance(each, Text)] == []
    assert "where is not recorded" in page.title


def test_good_wheels_fill_their_column_and_reasons_their_line():
    weeks = [Week(MONDAY, 4, 1, {"bench.lateral": 3}), Week(MONDAY + timedelta(7), 0, 0, {})]
    page = yield_over_time(weeks)
    white, black = (each for each in page.ink if isinstance(each, Box))
    assert round(white.h_mm / black.h_mm, 6) == 4.0
    assert {"lateral", "3", "18", "19"} <= {*words(page)}
    assert len([each for each in page.ink if isinstance(each, Disc)]) == 1
    assert page.title == "Good at the first judged pass: 1 of 4 wheels in 2 weeks"


def test_a_bench_without_wheels_is_a_picture_too():
    ET.fromstring(yield_over_time_svg([]))
    ET.fromstring(mass_svg([], 3.0))


def test_a_wheel_beyond_the_funnel_is_black_and_named():
    wheels = [Weighed("W31-00001-S", 640.0, 641.0), Weighed("W31-00002-T", 640.0, 700.0)]
    page = mass_chart(wheels, 3.0)
    good, bad = (each for each in page.ink if isinstance(each, Disc))
    assert (good.fill, bad.fill) == ("white", "black")
    assert bad.y_mm < good.y_mm
    assert "W31-00002-T +9.4 %" in words(page)
    assert page.title == "2 wheels weighed, 1 off by more than 3 %"
    assert outside(wheels, None) == ()


mass_g = st.floats(50.0, 9000.0)


@settings(max_examples=40)
@given(
    st.lists(st.builds(Weighed, st.just("W31-00001-S"), mass_g, mass_g), max_size=12),
    st.lists(
        st.builds(
            Week,
            st.just(MONDAY),
            st.integers(100, 900),
            st.integers(0, 100),
            st.dictionaries(st.sampled_from(["a.b", "a.c-d"]), st.integers(1, 99)),
        ),
        max_size=12,
    ),
)
def test_ink_stays_on_the_picture(wheels: list[Weighed], weeks: list[Week]):
    for page in (mass_chart(wheels, 3.0), yield_over_time(weeks)):
        for each in page.ink:
            if isinstance(each, Text):
                left, top, right, bottom = each.frame
                assert 0.0 <= left <= right <= page.w_mm, each
                assert 0.0 <= top <= bottom <= page.h_mm + 1.0, each
                assert each.size_mm / page.w_mm * PHONE_PX >= LEAST_PX, each
            if isinstance(each, Disc):
                assert 0.0 <= each.x_mm <= page.w_mm
                assert 0.0 <= each.y_mm <= page.h_mm


@settings(max_examples=40)
@given(
    st.integers(8, 48).filter(lambda holes: holes % 4 == 0),
    st.floats(0.0, 2000.0),
    st.booleans(),
)
def test_every_letter_of_a_wheels_pictures_is_read_on_a_phone(
    holes: int, force_n: float, by_hole: bool
):
    sides: tuple[Side, ...] = ("right", "left") * (holes // 2)
    forces = (force_n, *(800.0 for _ in sides[1:]))
    chart = TensionRound(sides, forces, Sides(1150.0, 760.0), 1210.0, 8.0)
    read = tuple(force_n / 4000.0 if hole == holes // 3 else 0.0 for hole in range(holes))
    strip = RunOutStrip("lateral", "RIGHT", "LEFT", read if by_hole else (), 0.5, 0.2)
    for page in (tension_round(chart), run_out_round((strip, strip))):
        for each in page.ink:
            if isinstance(each, Text):
                left, top, right, bottom = each.frame
                assert 0.0 <= left <= right <= page.w_mm, each
                assert 0.0 <= top <= bottom <= page.h_mm + 1.0, each
                assert each.size_mm / page.w_mm * PHONE_PX >= LEAST_PX, each
