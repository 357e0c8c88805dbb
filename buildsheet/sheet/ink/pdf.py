"""Primitives as PDF: raw canvas calls, embedded subsets of two faces, no dates, the same bytes again."""

from __future__ import annotations

from collections.abc import Sequence
from io import BytesIO
from typing import Any, Final

from reportlab.pdfbase.pdfdoc import PDFDictionary, PDFInfo, PDFString
from reportlab.pdfgen.canvas import Canvas

from buildsheet.sheet.fonts import REGISTERED, Face, font, printable
from buildsheet.sheet.layout.primitives import (
    Box,
    Cells,
    Dash,
    Disc,
    Outline,
    Page,
    Strokes,
    Text,
)

POINTS_PER_MM: Final = 72.0 / 25.4


class TitleOnly(PDFInfo):
    """Document information that says what the paper is and nothing about when or where."""

    def format(self, document: Any) -> Any:
        """The dictionary as the file holds it."""
        named = {"Title": PDFString(self.title), "Creator": PDFString("buildsheet")}
        return PDFDictionary(named).format(document)


def pdf_bytes(pages: Sequence[Page], title: str) -> bytes:
    """The pages as one PDF file."""
    for face in REGISTERED:
        font(face)
    buffer = BytesIO()
    canvas = Canvas(buffer, invariant=1, pageCompression=1)
    info = TitleOnly()
    info.title = printable(title)
    # The library has no public way to leave the dates out.
    canvas._doc.info = info  # type: ignore[attr-defined]  # noqa: SLF001
    for page in pages:
        canvas.setPageSize((page.w_mm * POINTS_PER_MM, page.h_mm * POINTS_PER_MM))
        _Ink(canvas, page.h_mm).page(page)
        canvas.showPage()
    canvas.save()
    return buffer.getvalue()


class _Ink:
    """One page's canvas with what is set on it, so that nothing is set twice."""

    def __init__(self, canvas: Canvas, h_mm: float) -> None:
        self.canvas = canvas
        self.h_mm = h_mm
        self.width_mm = -1.0
        self.dash_mm: Dash = ()
        self.fill = "black"
        self.font: tuple[Face, float] | None = None

    def page(self, page: Page) -> None:
        """Draw every primitive in its order."""
        for each in page.ink:
            match each:
                case Text():
                    self.text(each)
                case Strokes():
                    self.strokes(each)
                case Box():
                    self.box(each)
                case Disc():
                    self.disc(each)
                case Outline():
                    self.outline(each)
                case Cells():
                    self.cells(each)

    def text(self, text: Text) -> None:
        self._filled("white" if text.white else "black")
        if self.font != (text.face, text.size_mm):
            self.font = (text.face, text.size_mm)
            self.canvas.setFont(REGISTERED[text.face], text.size_mm * POINTS_PER_MM)
        self.canvas.drawString(*self._at(text.x_mm, text.y_mm), text.text)

    def strokes(self, strokes: Strokes) -> None:
        self._stroked(strokes.width_mm, strokes.dash_mm)
        path = self.canvas.beginPath()
        for x1, y1, x2, y2 in strokes.segments:
            path.moveTo(*self._at(x1, y1))
            path.lineTo(*self._at(x2, y2))
        self.canvas.drawPath(path, stroke=1, fill=0)

    def box(self, box: Box) -> None:
        self._painted(box.width_mm, box.fill)
        x, y = self._at(box.x_mm, box.y_mm + box.h_mm)
        w, h = box.w_mm * POINTS_PER_MM, box.h_mm * POINTS_PER_MM
        paint = {"stroke": int(box.width_mm > 0), "fill": int(bool(box.fill))}
        if box.radius_mm:
            self.canvas.roundRect(x, y, w, h, box.radius_mm * POINTS_PER_MM, **paint)
        else:
            self.canvas.rect(x, y, w, h, **paint)

    def disc(self, disc: Disc) -> None:
        self._painted(disc.width_mm, disc.fill, disc.dash_mm)
        x, y = self._at(disc.x_mm, disc.y_mm)
        self.canvas.circle(
            x,
            y,
            disc.r_mm * POINTS_PER_MM,
            stroke=int(disc.width_mm > 0),
            fill=int(bool(disc.fill)),
        )

    def outline(self, outline: Outline) -> None:
        self._painted(outline.width_mm, outline.fill, outline.dash_mm)
        path = self.canvas.beginPath()
        first, *others = outline.points
        path.moveTo(*self._at(*first))
        for point in others:
            path.lineTo(*self._at(*point))
        if outline.closed:
            path.close()
        self.canvas.drawPath(path, stroke=int(outline.width_mm > 0), fill=int(bool(outline.fill)))

    def cells(self, cells: Cells) -> None:
        self._filled("black")
        path = self.canvas.beginPath()
        for x, y, w, h in cells.cells:
            left, bottom = self._at(x, y + h)
            path.rect(left, bottom, w * POINTS_PER_MM, h * POINTS_PER_MM)
        self.canvas.drawPath(path, stroke=0, fill=1)

    def _at(self, x_mm: float, y_mm: float) -> tuple[float, float]:
        return x_mm * POINTS_PER_MM, (self.h_mm - y_mm) * POINTS_PER_MM

    def _painted(self, width_mm: float, fill: str, dash_mm: Dash = ()) -> None:
        if width_mm:
            self._stroked(width_mm, dash_mm)
        if fill:
            self._filled(fill)

    def _stroked(self, width_mm: float, dash_mm: Dash) -> None:
        if width_mm != self.width_mm:
            self.width_mm = width_mm
            self.canvas.setLineWidth(width_mm * POINTS_PER_MM)
        if dash_mm != self.dash_mm:
            self.dash_mm = dash_mm
            self.canvas.setDash([each * POINTS_PER_MM for each in dash_mm])

    def _filled(self, fill: str) -> None:
        if fill != self.fill:
            self.fill = fill
            self.canvas.setFillGray(1.0 if fill == "white" else 0.0)
