"""A wheel that needs an approval by name says so across the page, and offers the places to sign."""

from __future__ import annotations

from dataclasses import replace

import pytest

from buildsheet.sheet.layout.primitives import Box
from buildsheet.sheet.render import pages
from buildsheet.sheet.request import Released
from tests.sheet.pictures import finding, pdf_text, texts
from tests.sheet.wheels import request_of

APPROVAL = finding(
    "approval", "Spokes pass the next head by 3.0 mm.", "A leaning spoke breaks early."
)


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("name", ["asymmetric front", "radial front", "hidden-nipple rear"])
def test_a_release_is_printed_with_its_reason_and_places_to_sign(name, paper):
    found = pdf_text(request_of(name, paper=paper, findings=(APPROVAL,)))
    for words in ("APPROVAL NEEDED", "3.0 mm", "reason", "name", "signature"):
        assert words in found


def test_the_words_are_white_on_a_black_box():
    page = pages(request_of(findings=(APPROVAL,)))[0]
    (words,) = [text for text in texts(page) if text.text.startswith("APPROVAL NEEDED")]
    assert words.white
    assert words.size_mm >= 4.6
    left, top, right, bottom = words.frame
    assert any(
        isinstance(box, Box)
        and box.fill == "black"
        and box.x_mm <= left
        and box.y_mm <= top
        and box.x_mm + box.w_mm >= right
        and box.y_mm + box.h_mm >= bottom
        for box in page.ink
    )


def test_a_caution_alone_asks_for_no_release():
    found = pdf_text(request_of(findings=(finding("caution", "Mind the bags."),)))
    assert "APPROV" not in found


def test_every_release_stands_in_full_on_the_record_side():
    many = tuple(
        finding("approval", f"Limit {n} is passed.", f"Reason number {n} of this order.")
        for n in range(4)
    )
    found = pdf_text(request_of(findings=many), page=1)
    for n in range(4):
        assert f"Limit {n} is passed." in found
        assert f"Reason number {n} of this order." in found


RELEASED = Released("A. Maker", "2031-05-01", "Checked on a built sample, the elbows stand free.")


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("name", ["asymmetric front", "radial front", "hidden-nipple rear"])
def test_a_release_that_was_given_is_printed_with_name_day_and_reason(name, paper):
    request = request_of(name, paper=paper, findings=(APPROVAL,))
    front = pdf_text(replace(request, released=RELEASED))
    for words in ("APPROVED", "by A. Maker, 2031-05-01", "the elbows stand free."):
        assert words in front
    assert "APPROVAL NEEDED" not in front
    assert "SIGN TO APPROVE" not in front
    back = pdf_text(replace(request, released=RELEASED), page=1)
    assert "APPROVED by A. Maker, 2031-05-01: Spokes pass the next head by 3.0 mm." in " ".join(
        back.split()
    )


def test_a_name_where_nothing_had_to_be_released_is_not_printed():
    assert "APPROVED" not in pdf_text(replace(request_of(), released=RELEASED))


def test_a_long_name_and_a_long_reason_stay_inside_the_page():
    long = Released("M" * 40, "2031-05-01", "reason " * 70)
    for page in pages(replace(request_of(findings=(APPROVAL,)), released=long)):
        for text in texts(page):
            left, top, right, bottom = text.frame
            assert left >= 0.0
            assert top >= 0.0
            assert right <= page.w_mm
            assert bottom <= page.h_mm
