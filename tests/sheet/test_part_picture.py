"""The picture beside a part's form: from full, half-filled and foolish values alike."""

from __future__ import annotations

from xml.etree import ElementTree as ET

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from buildsheet.catalog.clone import as_values
from buildsheet.catalog.parts import Hub, Rim
from buildsheet.sheet.layout.primitives import Page, Strokes, Text
from buildsheet.sheet.part_picture import PICTURED, part_page, part_picture
from tests.catalog.demo_texts import demo_edition

DEMO = demo_edition()
PARTS = [*DEMO.rims.values(), *DEMO.hubs.values()]
SVG = "{http://www.w3.org/2000/svg}"
TAGS = {SVG + name for name in ("svg", "title", "rect", "path", "circle", "text")}


def kind_of(part: Rim | Hub) -> str:
    return "rims" if isinstance(part, Rim) else "hubs"


def drawn(kind: str, values: object) -> Page:
    assert isinstance(values, dict)
    page = part_page(kind, values)
    assert page is not None
    return page


def words(page: Page) -> list[str]:
    return [each.text for each in page.ink if isinstance(each, Text)]


def dashed(page: Page) -> int:
    return sum(isinstance(each, Strokes) and each.dash_mm == (1.6, 1.2) for each in page.ink)


@pytest.mark.parametrize("part", PARTS, ids=lambda part: part.code)
def test_a_part_of_the_demo_is_drawn_with_its_figures_and_nothing_in_doubt(part: Rim | Hub):
    page = drawn(kind_of(part), as_values(part))
    said = " ".join(words(page))
    wanted: list[float] = []
    if isinstance(part, Rim):
        wanted = [part.depth_mm, part.inner_width_mm, part.outer_width_mm, part.seat_diameter_mm]
    else:
        wanted = [part.over_locknut_mm]
        for side in (part.left_flange, part.right_flange, part.left_seats, part.right_seats):
            wanted += [side.from_centre_mm] if side else []
    assert all(f"{each:g}" in said.split() for each in wanted), said
    assert "?" not in said
    assert dashed(page) == 0
    assert "not on the bed" not in said


@pytest.mark.parametrize("part", PARTS, ids=lambda part: part.code)
def test_no_word_leaves_the_picture_and_none_lies_on_another(part: Rim | Hub):
    page = drawn(kind_of(part), as_values(part))
    frames = [each.frame for each in page.ink if isinstance(each, Text)]
    for left, top, right, bottom in frames:
        assert left >= 0.0
        assert top >= 0.0
        assert right <= page.w_mm
        assert bottom <= page.h_mm
    for row, one in enumerate(frames):
        for other in frames[:row]:
            apart = one[0] >= other[2] or other[0] >= one[2]
            assert apart or one[1] >= other[3] - 1.2 or other[1] >= one[3] - 1.2


@pytest.mark.parametrize("kind", PICTURED)
def test_an_empty_form_has_a_picture_that_says_it_knows_nothing(kind: str):
    page = drawn(kind, {})
    assert dashed(page) > 3
    assert sum(each.endswith("?") for each in words(page)) >= 5


def test_text_with_a_decimal_comma_draws_as_the_number():
    values = as_values(DEMO.rims["OR33D"])
    typed = {**values, "depth_mm": "33,0", "outer_width_mm": "27.0"}
    assert part_picture("rims", typed) == part_picture("rims", values)


def test_a_seat_that_is_not_on_the_bed_shows():
    values = as_values(DEMO.rims["OR33D"])
    page = drawn("rims", {**values, "seat_diameter_mm": 590.0})
    assert "nipple seat Ø 590: not on the bed" in words(page)
    page = drawn("rims", {**values, "seat_diameter_mm": 500.0})
    assert "nipple seat Ø 500: below the rim" in words(page)


def test_centimetres_are_drawn_as_a_question():
    page = drawn("rims", {**as_values(DEMO.rims["OR33D"]), "seat_diameter_mm": 57.36})
    assert "nipple seat Ø 57.36?" in words(page)


def test_the_other_kinds_have_no_picture():
    assert part_picture("spokes", as_values(DEMO.spokes["SJ18"])) is None


def test_it_can_stand_in_a_page_under_a_strict_policy():
    for kind in PICTURED:
        found = part_picture(kind, {}) or ""
        assert found.startswith("<svg ")
        assert ' class="part-picture"' in found
        for word in (" id=", "href", "style=", "<style", "<script", "url(", " on"):
            assert word not in found


ANYTHING = st.recursive(
    st.one_of(
        st.none(),
        st.booleans(),
        st.integers(-(10**400), 10**400),
        st.floats(),
        st.text(max_size=12),
        st.sampled_from(["0", "1e309", "-33", "33,0", "<b>", "rear", "disc", "nan"]),
    ),
    lambda inner: st.one_of(
        st.lists(inner, max_size=3), st.dictionaries(st.text(max_size=5), inner, max_size=3)
    ),
    max_leaves=4,
)
KEYS = {
    "rims": [*Rim.model_fields],
    "hubs": [*Hub.model_fields],
}
INNER = ["circle_mm", "from_centre_mm", "thickness_mm", "line_from_axis_mm", "seat_ahead_mm"]


@settings(max_examples=150, deadline=None)
@given(st.data())
def test_whatever_is_typed_there_is_a_well_formed_picture_of_fixed_size(data: st.DataObject):
    kind = data.draw(st.sampled_from(PICTURED))
    inner = st.dictionaries(st.sampled_from(INNER), ANYTHING, max_size=5)
    values = data.draw(
        st.dictionaries(st.sampled_from(KEYS[kind]), st.one_of(ANYTHING, inner), max_size=12)
    )
    found = part_picture(kind, values)
    assert found is not None
    root = ET.fromstring(found)
    assert {each.tag for each in root.iter()} <= TAGS
    assert root.attrib["viewBox"] == ET.fromstring(part_picture(kind, {}) or "").attrib["viewBox"]
    assert found == part_picture(kind, values)
    assert "nan" not in found
    assert "inf" not in found


@settings(max_examples=150, deadline=None)
@given(st.data())
def test_whatever_a_rim_may_measure_its_drawing_stays_inside(data: st.DataObject):
    def within(low: float, high: float) -> float:
        return data.draw(st.floats(low, high))

    page = drawn(
        "rims",
        {
            "depth_mm": within(8.0, 120.0),
            "inner_width_mm": within(10.0, 80.0),
            "outer_width_mm": within(14.0, 110.0),
            "bed_mm": within(0.5, 8.0),
            "seat_diameter_mm": within(200.0, 680.0),
        },
    )
    for each in page.ink:
        if isinstance(each, Strokes):
            for x1, y1, x2, y2 in each.segments:
                assert all(-0.01 <= x <= page.w_mm + 0.01 for x in (x1, x2))
                assert all(-0.01 <= y <= page.h_mm + 0.01 for y in (y1, y2))
