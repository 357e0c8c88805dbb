"""The chart of a spoke store: every length has its column, and the shelf its marks."""

from __future__ import annotations

from dataclasses import replace
from xml.etree import ElementTree as ET

from hypothesis import given, settings
from hypothesis import strategies as st

from buildsheet.sheet.charts import LengthChart, LengthColumn, length_chart, length_chart_svg
from buildsheet.sheet.charts.bars import round_steps
from buildsheet.sheet.layout.primitives import Box, Disc, Text

COLUMNS = (
    LengthColumn(265, needed=4, taken=0, planned=False, stocked=True),
    LengthColumn(266, needed=6, taken=10, planned=True, stocked=True),
    LengthColumn(267, needed=2, taken=2, planned=True, stocked=False),
)
CHART = LengthChart("SJ18", 12, COLUMNS, ((-0.1, 3), (0.0, 9)), 0.99964)


def black(chart: LengthChart) -> list[Box]:
    return [
        each for each in length_chart(chart).ink if isinstance(each, Box) and each.fill == "black"
    ]


def test_columns_are_as_high_as_what_they_count():
    lengths = [each for each in black(CHART) if each.y_mm < 100.0]
    assert len(lengths) == 2
    assert round(lengths[0].h_mm / lengths[1].h_mm, 6) == 5.0
    assert all(abs(each.y_mm + each.h_mm - 67.0) < 1e-9 for each in lengths)


def test_the_shelf_stands_below_the_axis():
    dots = [each for each in length_chart(CHART).ink if isinstance(each, Disc)]
    assert [dot.fill for dot in dots] == ["", "black"]


def test_a_picture_says_what_the_plan_is_held_against():
    shelf = " ".join(each.text for each in length_chart(CHART).ink if isinstance(each, Text))
    assert CHART.share is not None
    assert "full planned and on the shelf" in shelf
    beside_list = length_chart(replace(CHART, share=None))
    listed = " ".join(each.text for each in beside_list.ink if isinstance(each, Text))
    assert "full planned and listed, open listed only, cross planned and not listed" in listed
    assert "shelf" not in listed


def test_a_share_just_below_all_is_not_rounded_up_to_all():
    words = [each.text for each in length_chart(CHART).ink if isinstance(each, Text)]
    assert "SJ18: 2 lengths serve 12 sides" in words
    assert "99.9 % of the sides find a length on the shelf" in words


def test_a_store_of_nothing_is_a_picture_too():
    root = ET.fromstring(length_chart_svg(LengthChart("SSB9", 0, (), (), None)))
    assert root.tag.endswith("svg")


@settings(max_examples=30)
@given(
    st.lists(
        st.builds(
            LengthColumn,
            length_mm=st.integers(60, 340),
            needed=st.integers(0, 5000),
            taken=st.integers(0, 5000),
            planned=st.booleans(),
            stocked=st.booleans(),
        ),
        max_size=60,
    )
)
def test_all_ink_stays_on_the_picture(columns: list[LengthColumn]):
    page = length_chart(LengthChart("SJ18", 3, tuple(columns), ((0.0, 3),), None))
    for each in page.ink:
        if isinstance(each, Box):
            assert each.x_mm >= 0
            assert each.x_mm + each.w_mm <= page.w_mm
            assert each.y_mm >= 0
            assert each.y_mm + each.h_mm <= page.h_mm
        if isinstance(each, Text):
            assert each.x_mm >= 0
            assert each.x_mm + each.width_mm <= page.w_mm
            # On a phone a picture is 354 CSS px wide, and its letters are 11 px at least.
            assert each.size_mm / page.w_mm * 354.0 >= 11.0
    ET.fromstring(length_chart_svg(LengthChart("SJ18", 3, tuple(columns), ((0.0, 3),), 1.0)))


@given(st.integers(1, 10**6))
def test_an_axis_has_few_round_figures(most: int):
    steps = round_steps(most)
    assert steps[0] == 0
    assert steps[-1] <= most
    assert 2 <= len(steps) <= 6
