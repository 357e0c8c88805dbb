"""Sheets as greyscale rasters and as the text that a PDF reader finds in them."""

from __future__ import annotations

import re
from typing import Any

import pypdfium2
import zxingcpp
from PIL.Image import Image

from buildsheet.findings import Finding
from buildsheet.sheet import SheetRequest, pdf
from buildsheet.sheet.layout.primitives import Page, Text
from buildsheet.sheet.render import pages

MM_PER_INCH = 25.4


def finding(severity: Any, says: str, reason: str = "Invented for a test.") -> Finding:
    return Finding("lacing.head-clearance", severity, "/front/hub", says, reason, "invented")


def raster(request: SheetRequest, page: int = 0, dpi: int = 150) -> Image:
    """One page in grey; its size in pixels is the paper's at this resolution."""
    document = pypdfium2.PdfDocument(pdf([request]))
    try:
        image: Image = document[page].render(scale=dpi / 72.0, grayscale=True).to_pil()
        return image.convert("L")
    finally:
        document.close()


def codes(image: Image) -> list[str]:
    """What an independent reader finds in a picture."""
    return [found.text for found in zxingcpp.read_barcodes(image)]


def pdf_text(request: SheetRequest, page: int = 0) -> str:
    """The text of a page as extracted from the file, blanks made single."""
    document = pypdfium2.PdfDocument(pdf([request]))
    try:
        return re.sub(r"\s+", " ", document[page].get_textpage().get_text_range())
    finally:
        document.close()


def texts(page: Page) -> list[Text]:
    return [each for each in page.ink if isinstance(each, Text)]


def words(request: SheetRequest, page: int = 0) -> list[str]:
    """Every string of a page, as one piece each."""
    return [each.text for each in texts(pages(request)[page])]
