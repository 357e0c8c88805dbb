"""The two ways out: PDF for the printer, SVG for a page; and the lacing picture alone."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from buildsheet.errors import CannotCompute
from buildsheet.plan.plan import Plan
from buildsheet.sheet.content.sheet import sheet_says
from buildsheet.sheet.ink.pdf import pdf_bytes
from buildsheet.sheet.ink.svg import svg_text
from buildsheet.sheet.layout.alone import lacing_page
from buildsheet.sheet.layout.back import back_page
from buildsheet.sheet.layout.front import front_page
from buildsheet.sheet.layout.primitives import Page
from buildsheet.sheet.request import SheetRequest


def pages(request: SheetRequest) -> tuple[Page, Page]:
    """Building side and record side as primitives.

    Raises CannotCompute where the bench address is too long for a readable QR code.
    """
    says = sheet_says(request)
    return front_page(says, request.paper), back_page(says, request.paper)


def pdf(requests: Sequence[SheetRequest]) -> bytes:
    """Two pages for each wheel, building side first. The same requests give the same bytes.

    Raises as `pages`; CannotCompute also where there is nothing to print.
    """
    if not requests:
        raise CannotCompute("no wheel was given to print; hand in one request for each wheel")
    found = [page for request in requests for page in pages(request)]
    return pdf_bytes(found, found[0].title)


def svg(request: SheetRequest, page: Literal[1, 2]) -> str:
    """One page as an SVG element: 1 the building side, 2 the record side. Raises as `pages`."""
    return svg_text(pages(request)[page - 1])


def lacing_svg(plan: Plan) -> str:
    """The lacing picture of one wheel alone, with its legend."""
    return svg_text(lacing_page(plan))
