"""The page that says what is checked against the outside is what the cases say."""

from __future__ import annotations

from tests.published.validation_page import PAGE, page, published_modules


def test_the_committed_page_is_up_to_date() -> None:
    assert PAGE.read_text(encoding="utf-8") == page(), (
        "make it anew: python -m tests.published.validation_page"
    )


def test_every_case_on_the_page_names_its_source_and_the_reason_of_its_tolerance() -> None:
    for name, _, cases in published_modules():
        for case in cases:
            assert case.source, f"{name}: {case.what}"
            assert case.why, f"{name}: {case.what}"
            assert case.within > 0.0, f"{name}: {case.what}"
            assert abs(case.difference()) <= case.within, f"{name}: {case.what}"
