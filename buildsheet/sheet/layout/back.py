"""The record side: every spoke twice, every figure beside its empty place, NOT JUDGED until signed."""

from __future__ import annotations

from typing import Final

from buildsheet.sheet.content.says import SheetSays
from buildsheet.sheet.layout.blocks.identity import draw_position
from buildsheet.sheet.layout.paper import SIZES_MM, Area, printable_area
from buildsheet.sheet.layout.pen import GOOD, Pen
from buildsheet.sheet.layout.primitives import Page
from buildsheet.sheet.layout.record import end, figures, spokes
from buildsheet.sheet.request import Paper

HEAD: Final = 17.0
GAP: Final = 2.2


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
    if says.note:
        y -= GAP + end.NOTE
        end.draw_note(pen, record.note_title, says.note, Area(x, y, w, end.NOTE))
    if record.asked:
        found = end.fit_asked(record.asked, w)
        y -= GAP + end.asked_height(found)
        pen.set(found, x, y)
    if record.finish:
        h = end.FINISH_ROW * len(record.finish)
        y -= GAP / 2 + h
        end.draw_finish(pen, record.finish, Area(x, y, w, h))
    h = figures.BOX_ROW * figures.rows_of(len(record.boxes), figures.BOX_COLUMNS)
    y -= GAP + h
    figures.draw_boxes(pen, record.boxes, Area(x, y, w, h))
    h = figures.ROW * figures.rows_of(len(record.serials), figures.SERIAL_COLUMNS)
    y -= GAP + h
    figures.draw_serials(pen, record.serials, Area(x, y, w, h))
    h = figures.ROW * figures.rows_of(len(record.readings), figures.COLUMNS)
    y -= GAP + h
    figures.draw_figures(pen, record.readings, Area(x, y, w, h))
    return y - GAP
