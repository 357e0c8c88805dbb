"""The page for the rider: what to check, what to keep to, what to order; limits in big figures."""

from __future__ import annotations

from typing import Final

from buildsheet.sheet.as_built import customer_words, identity, rider
from buildsheet.sheet.as_built.document import Recorded, words
from buildsheet.sheet.as_built.record_page import BANNER, draw_banner, draw_foot
from buildsheet.sheet.layout.paper import SIZES_MM, Area, printable_area
from buildsheet.sheet.layout.pen import BOLD, HAIR, HEAVY, THIN, Pen, capital
from buildsheet.sheet.layout.primitives import Box, Page
from buildsheet.sheet.request import Paper

SIZE: Final = 3.7
BIG: Final = 8.0
GAP: Final = 3.4


def customer_page(record: Recorded, paper: Paper) -> Page:
    """Law first, then limits, first ride, spares, cautions."""
    pen, area = Pen(), printable_area(paper)
    draw_banner(pen, record, Area(area.x, area.y, area.w, BANNER), "FOR THE RIDER")
    y = area.y + BANNER + GAP
    if identity.verdict(record) == identity.NO_CERTIFICATE:
        y = _loud(pen, customer_words.NOT_FOR_RIDING, Area(area.x, y, area.w, 0.0)) + GAP
    y = pen.fitted(area.x, y, area.w, customer_words.LAW_FIRST, SIZE, "bold", lines=2) + GAP
    left, right = Area(area.x, y, area.w, 0.0).columns(1, 1, gap=5.0)
    y = max(_limits(pen, record, left), _pressure(pen, record, right)) + GAP
    y = _list(pen, "First ride, and every ride", customer_words.FIRST_RIDE, _from(area, y)) + GAP
    y = _spares(pen, record, _from(area, y)) + GAP
    _list(pen, "Mind", customer_words.CAUTIONS, _from(area, y))
    draw_foot(pen, record, area, "page 2 of 2")
    title = f"For the rider of {record.text('serial')}"
    return Page(*SIZES_MM[paper], title, tuple(pen.ink))


def _from(area: Area, y: float) -> Area:
    return Area(area.x, y, area.w, 0.0)


def _title(pen: Pen, text: str, area: Area) -> float:
    pen.say(area.x, area.y + 4.0, text, 4.6, "bold")
    pen.lines([(area.x, area.y + 5.6, area.right, area.y + 5.6)], BOLD)
    return area.y + 7.4


def _loud(pen: Pen, text: str, area: Area) -> float:
    inner = Pen()
    last = inner.fitted(area.x + 3.0, area.y + 2.6, area.w - 6.0, text, 4.6, "bold", lines=3)
    pen.draw(Box(area.x, area.y, area.w, last + 2.6 - area.y, HEAVY), *inner.ink)
    return last + 2.6


def _limits(pen: Pen, record: Recorded, area: Area) -> float:
    """Mass, tyre range, classes: the figures big, the words under them."""
    y = _title(pen, "Limits of this wheel", area)
    for figure, text in rider.limit_rows(record):
        size = 4.6 if words(None) in figure else BIG
        y = pen.fitted(area.x, y, area.w, figure, size, "bold", 4.0) + 2.3
        y = pen.fitted(area.x, y, area.w, text, SIZE, floor=2.8) + 2.4
    return pen.fitted(area.x, y, area.w, customer_words.CLASSES, 2.9, lines=3)


def _pressure(pen: Pen, record: Recorded, area: Area) -> float:
    """Highest pressure by tyre width."""
    y = _title(pen, "Highest tyre pressure", area)
    rows = rider.pressure_rows(record)
    if not rows:
        return pen.fitted(area.x, y, area.w, rider.NO_PRESSURE, SIZE, "bold", lines=2)
    columns = area.columns(1.0, 1.5, 1.5)
    for column, text in zip(columns, rider.pressure_head(record), strict=False):
        pen.fitted(column.x, y, column.w, text, 3.1)
    y = _big_rows(pen, Area(area.x, y + 4.6, area.w, 0.0), rows, columns)
    return pen.fitted(area.x, y + 1.4, area.w, rider.WIDER, 2.9)


def _big_rows(
    pen: Pen, area: Area, rows: tuple[tuple[str, ...], ...], columns: tuple[Area, ...]
) -> float:
    """Rows to be read at the bicycle; their lower edge comes back."""
    y = area.y
    for cells in rows:
        for column, text in zip(columns, cells, strict=False):
            pen.fitted(column.x, y + 0.8, column.w, text, 4.6, "bold", 3.0)
        y += 6.2
        pen.lines([(area.x, y - 0.6, area.right, y - 0.6)], HAIR)
    return y


def _list(pen: Pen, title: str, lines: tuple[str, ...], area: Area) -> float:
    y = _title(pen, title, area)
    for line in lines:
        pen.draw(Box(area.x, y + 0.2, 2.2, 2.2, THIN))
        y = pen.fitted(area.x + 5.0, y, area.w - 5.0, line, SIZE, lines=3) + 2.3
    return y - capital(SIZE) + 0.9


def _spares(pen: Pen, record: Recorded, area: Area) -> float:
    """What to order when a spoke breaks, by side."""
    y = _title(pen, "Spares to order", area)
    columns = area.columns(0.8, 2.0, 2.0)
    y = _big_rows(pen, Area(area.x, y, area.w, 0.0), rider.spare_rows(record), columns)
    y = pen.fitted(area.x, y + 1.4, area.w, rider.in_the_bag(record), SIZE, floor=2.8)
    return pen.fitted(area.x, y + 2.0, area.w, customer_words.SPARES, 2.9, lines=2)
