"""The record side: every spoke twice, every figure beside its empty place, NOT JUDGED until signed."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from buildsheet.sheet.content.says import SheetSays
from buildsheet.sheet.layout.blocks.identity import draw_position
from buildsheet.sheet.layout.paper import SIZES_MM, Area, printable_area
from buildsheet.sheet.layout.pen import GOOD, Pen
from buildsheet.sheet.layout.primitives import Page
from buildsheet.sheet.layout.record import end, figures, spokes
from buildsheet.sheet.request import Paper

HEAD: Final = 17.0
GAP: Final = 2.0


def back_page(says: SheetSays, paper: Paper) -> Page:
    """The record side; the spokes' rows take what height is left."""
    pen, area = Pen(), printable_area(paper)
    _head(pen, says, Area(area.x, area.y, area.w, HEAD))
    bottom = _below(pen, says, area)
    _tables(pen, says, Area(area.x, area.y + HEAD + GAP, area.w, bottom - area.y - HEAD - GAP))
    return Page(*SIZES_MM[paper], f"{says.title}, record", tuple(pen.ink))


def _head(pen: Pen, says: SheetSays, area: Area) -> None:
    banner = says.banner
    draw_position(pen, banner.position, Area(area.x, area.y, HEAD, HEAD))
    x = area.x + HEAD + 3.0
    used = pen.say(x, area.y + 7.6, "RECORD", 8.6, "bold")
    w = area.right - x - used - 5.0
    pen.fitted(
        x + used + 5.0, area.y + 1.4, w, f"{banner.order} · issue {banner.issue}", 8.6, "bold", 3.4
    )
    identity = f"{banner.serial} · {banner.of} · edition {banner.edition}"
    pen.fitted(x, area.y + 11.0, area.right - x, identity, GOOD, "plain", 3.4)


def _tables(pen: Pen, says: SheetSays, area: Area) -> None:
    holes = says.record.holes
    most = max(len(holes.left), len(holes.right)) + len(spokes.ENDS)
    row = min(spokes.LARGEST_ROW, (area.h - spokes.TITLE - spokes.HEAD) / most)
    left, right = area.columns(1.0, 1.0, gap=3.0)
    stop = f"{says.stop.newtons} N"
    spokes.draw_readings(pen, says.sides.left, holes.left, stop, left, row)
    spokes.draw_readings(pen, says.sides.right, holes.right, stop, right, row)


def _below(pen: Pen, says: SheetSays, area: Area) -> float:
    """Everything under the tables, set from the foot of the page upward; its top edge comes back."""
    record, x, w = says.record, area.x, area.w
    y = area.bottom - end.VERDICT
    end.draw_verdict(pen, record, Area(x, y, w, end.VERDICT))
    y -= GAP + end.CUSTOMER
    end.draw_customer(pen, record.customer, Area(x, y, w, end.CUSTOMER))
    spare = y - area.y - HEAD - 2 * GAP - _needed(says)
    if says.note:
        note = end.fit_note(says.note, w, _between(end.NOTE, spare))
        y -= GAP + end.note_height(note)
        spare -= GAP + end.note_height(note)
        end.draw_note(pen, record.note_title, note, Area(x, y, w, end.note_height(note)))
    if record.asked:
        asked = end.fit_asked(record.asked, w, _between(end.ASKED, spare))
        y -= GAP + end.asked_height(asked)
        pen.set(asked, x, y)
    for h, draw in _grids(says):
        y -= GAP + h
        draw(pen, Area(x, y, w, h))
    return y - GAP


def _between(least_most: tuple[float, float], spare: float) -> float:
    """A height that gives way to the rows people write in, down to its least."""
    least, most = least_most
    return min(most, max(least, spare / 2))


def _needed(says: SheetSays) -> float:
    """Height of the tables, with rows to write in, and of the grids below them."""
    holes = says.record.holes
    rows = max(len(holes.left), len(holes.right)) + len(spokes.ENDS)
    tables = spokes.TITLE + spokes.HEAD + spokes.WRITTEN_ROW * rows
    return tables + sum(GAP + h for h, _ in _grids(says))


def _grids(says: SheetSays) -> tuple[tuple[float, Callable[[Pen, Area], None]], ...]:
    """What stands between tables and note, from below: height and how it is drawn."""
    record = says.record
    boxes = figures.rows_of(len(record.boxes), figures.BOX_COLUMNS)
    serials = figures.rows_of(len(record.serials), figures.SERIAL_COLUMNS)
    readings = figures.rows_of(len(record.readings), figures.COLUMNS)
    return (
        (
            end.FINISH_ROW * len(record.finish),
            lambda pen, area: end.draw_finish(pen, record.finish, area),
        ),
        (figures.BOX_ROW * boxes, lambda pen, area: figures.draw_boxes(pen, record.boxes, area)),
        (figures.ROW * serials, lambda pen, area: figures.draw_serials(pen, record.serials, area)),
        (
            figures.ROW * readings,
            lambda pen, area: figures.draw_figures(pen, record.readings, area),
        ),
    )
