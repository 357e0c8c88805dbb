"""A wheel that needs a release says so across the page, and offers the places to sign."""

from __future__ import annotations

import pytest

from buildsheet.sheet.layout.primitives import Box
from buildsheet.sheet.render import pages
from tests.sheet.pictures import finding, pdf_text, texts
from tests.sheet.wheels import request_of

APPROVAL = finding(
    "approval", "Spokes pass the next head by 3.0 mm.", "A leaning spoke breaks early."
)


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("name", ["asymmetric front", "radial front", "hidden-nipple rear"])
def test_a_release_is_printed_with_its_reason_and_places_to_sign(name, paper):
    found = pdf_text(request_of(name, paper=paper, findings=(APPROVAL,)))
    for words in ("RELEASE NEEDED", "3.0 mm", "reason", "name", "signature"):
        assert words in found


def test_the_words_are_white_on_a_black_box():
    page = pages(request_of(findings=(APPROVAL,)))[0]
    (words,) = [text for text in texts(page) if text.text.startswith("RELEASE NEEDED")]
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
    assert "RELEASE" not in found


def test_every_release_stands_in_full_on_the_record_side():
    many = tuple(
        finding("approval", f"Limit {n} is passed.", f"Reason number {n} of this order.")
        for n in range(4)
    )
    found = pdf_text(request_of(findings=many), page=1)
    for n in range(4):
        assert f"Limit {n} is passed." in found
        assert f"Reason number {n} of this order." in found
