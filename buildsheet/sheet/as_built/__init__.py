"""The as-built record on paper: one page for the file, one for the rider, from the document alone.

``document``      the record's members by path; what is missing says so
``identity``      order, parts, people, steps as rows; ``figures`` planned against measured
``table``         rows on paper
``rider``         limits, pressure and spares in words; ``says`` all of it for a page on a screen
``record_page``   the page for the file; ``customer_page`` the page for the rider, in ``customer_words``

The same document gives the same bytes: nothing else enters, no clock, no file.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from buildsheet.bench.record import faults
from buildsheet.errors import CannotCompute
from buildsheet.sheet.as_built.customer_page import customer_page
from buildsheet.sheet.as_built.document import Recorded
from buildsheet.sheet.as_built.figures import strips
from buildsheet.sheet.as_built.record_page import chart_of, record_page
from buildsheet.sheet.as_built.says import RecordSays, record_says
from buildsheet.sheet.charts.run_out_round import run_out_round_svg
from buildsheet.sheet.charts.tension_round import tension_round_svg
from buildsheet.sheet.ink.pdf import pdf_bytes
from buildsheet.sheet.layout.primitives import Page
from buildsheet.sheet.request import Paper

__all__ = [
    "RecordSays",
    "as_built_pages",
    "as_built_pdf",
    "as_built_run_out",
    "as_built_says",
    "as_built_tension",
]


def as_built_pages(document: Mapping[str, Any], paper: Paper = "A4") -> tuple[Page, Page]:
    """Both pages. Raises CannotCompute for a document that is not whole: none is printed as if it were."""
    wrong = faults(dict(document))
    if wrong:
        raise CannotCompute(f"this is no record to print: {' '.join(wrong)}")
    record = Recorded(document)
    return record_page(record, paper), customer_page(record, paper)


def as_built_pdf(document: Mapping[str, Any], paper: Paper = "A4") -> bytes:
    """Both pages as one file; the same document gives the same bytes. Raises as `as_built_pages`."""
    found = as_built_pages(document, paper)
    return pdf_bytes(found, found[0].title)


def as_built_tension(document: Mapping[str, Any], css_class: str = "") -> str:
    """Tension round the wheel as SVG; '' where no spoke was read."""
    chart = chart_of(Recorded(document))
    if all(each is None for each in chart.tension_n):
        return ""
    return tension_round_svg(chart, css_class)


def as_built_run_out(document: Mapping[str, Any], css_class: str = "") -> str:
    """Run-out round the wheel as SVG; '' where none was read."""
    found = tuple(each for each in strips(Recorded(document)) if each.full_mm is not None)
    return run_out_round_svg(found, css_class) if found else ""


def as_built_says(document: Mapping[str, Any]) -> RecordSays:
    """The same in words, for a page on a screen."""
    return record_says(Recorded(document))
