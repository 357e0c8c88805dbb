"""The same primitives as SVG: well-formed, escaped, without anything that could clash with a page."""

from __future__ import annotations

from xml.etree import ElementTree as ET

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from buildsheet.sheet import lacing_svg, svg
from tests.sheet.pictures import words
from tests.sheet.wheels import WHEELS, plan_of, request_of

SVG = "{http://www.w3.org/2000/svg}"
TAGS = {SVG + name for name in ("svg", "title", "rect", "path", "circle", "text")}


@pytest.mark.parametrize("name", WHEELS)
@pytest.mark.parametrize("page", [1, 2])
def test_a_page_is_well_formed_and_says_what_the_paper_says(name, page):
    request = request_of(name, note='<b>bold</b> & "quoted" ]]> Huế')
    root = ET.fromstring(svg(request, page))
    assert [each.text or "" for each in root.iter(SVG + "text")] == words(request, page - 1)


@pytest.mark.parametrize("name", WHEELS)
def test_the_lacing_picture_alone_is_well_formed_and_numbers_every_hole(name):
    root = ET.fromstring(lacing_svg(plan_of(name)))
    found = {each.text for each in root.iter(SVG + "text")}
    assert {str(hole) for hole in range(1, plan_of(name).holes + 1)} <= found


@settings(max_examples=25)
@given(st.text(max_size=60), st.text(max_size=60), st.text(max_size=200))
def test_no_text_from_outside_breaks_the_markup(number, serial, note):
    request = request_of(order_number=number, serial=serial, note=note)
    for page in (1, 2):
        root = ET.fromstring(svg(request, page))
        assert {each.tag for each in root.iter()} <= TAGS


def test_nothing_in_it_has_a_name_a_link_or_a_style():
    found = svg(request_of(), 1)
    for word in (" id=", "href", "style=", "<style", "<script", "class="):
        assert word not in found
