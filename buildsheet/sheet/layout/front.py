"""The building side: banner, the two columns with the picture between them, limits, steps, cautions.

Everything stands in the order of use. The picture takes what height is left; where an order brings
so many warnings that little would be left, the last ones are counted: the record side has them all.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from buildsheet.sheet.content.says import SheetSays
from buildsheet.sheet.layout.blocks import columns, foot, identity, middle
from buildsheet.sheet.layout.fit import Fitted
from buildsheet.sheet.layout.paper import SIZES_MM, Area, printable_area
from buildsheet.sheet.layout.pen import Pen
from buildsheet.sheet.layout.picture import draw_picture, draw_view
from buildsheet.sheet.layout.primitives import Page
from buildsheet.sheet.request import Paper

BANNER: Final = 31.0
GAP: Final = 1.9
BESIDE: Final = 2.6
"""Between a column and the middle."""

PICTURE_LEAST: Final = 74.0
"""Height that warnings leave to the picture: below it hole numbers become too small."""

VALVE: Final = 7.0
"""Room for the valve's mark above the ring."""


@dataclass(frozen=True, slots=True)
class Bands:
    """Where the bands of the page begin and end."""

    frame: Area
    warned: tuple[Fitted, ...]
    left_out: int
    warned_at: Area
    limits: Area
    cautions: Area


def front_page(says: SheetSays, paper: Paper) -> Page:
    """The building side."""
    pen, area = Pen(), printable_area(paper)
    bands = _bands(says, area)
    identity.draw_banner(pen, says.banner, Area(area.x, area.y, area.w, BANNER))
    _frame(pen, says, bands.frame)
    foot.draw_warned(pen, bands.warned, bands.left_out, bands.warned_at)
    limits, steps = bands.limits.columns(90.0, 100.0, gap=4.0)
    if says.releases:
        identity.draw_release(pen, says.releases, limits)
    else:
        foot.draw_limits(pen, says.limits, limits)
    foot.draw_steps(pen, says.steps, steps)
    foot.draw_cautions(pen, says.cautions, bands.cautions)
    return Page(*SIZES_MM[paper], says.title, tuple(pen.ink))


def _bands(says: SheetSays, area: Area) -> Bands:
    """Fixed bands from both ends, the frame between them."""
    cautions = Area(area.x, area.bottom - foot.CAUTIONS, area.w, foot.CAUTIONS)
    high = foot.limits_height(says.limits)
    limits = Area(area.x, cautions.y - GAP - high, area.w, high)
    y = area.y + BANNER + GAP
    words = columns.LACE_LEAST + (columns.BED if says.lacing.bed_toward else 0.0)
    lace = max(words, PICTURE_LEAST)
    least = columns.TITLE + columns.BAG + lace + columns.MEAN
    warned, left_out = _warned(says.warned, area.w, limits.y - GAP - y - least - GAP)
    warned_h = foot.warned_height(warned) + (foot.ROW if left_out else 0.0)
    bottom = limits.y - GAP - (warned_h + GAP if warned_h else 0.0)
    frame = Area(area.x, y, area.w, bottom - y)
    warned_at = Area(area.x, limits.y - GAP - warned_h, area.w, warned_h)
    return Bands(frame, warned, left_out, warned_at, limits, cautions)


def _warned(says: tuple[str, ...], w: float, room: float) -> tuple[tuple[Fitted, ...], int]:
    """As many warnings as there is room for, and how many are left out."""
    found = foot.fit_warned(says, w)
    if foot.warned_height(found) <= room:
        return found, 0
    for count in range(len(found) - 1, 0, -1):
        if foot.warned_height(found[:count]) + foot.ROW <= room:
            return found[:count], len(found) - count
    return (), len(found)


def _frame(pen: Pen, says: SheetSays, area: Area) -> None:
    left = Area(area.x, area.y, columns.WIDTH, area.h)
    right = Area(area.right - columns.WIDTH, area.y, columns.WIDTH, area.h)
    columns.draw_column(pen, says.sides.left, says.lacing, left)
    columns.draw_column(pen, says.sides.right, says.lacing, right)
    x = left.right + BESIDE
    w = right.x - BESIDE - x
    top = columns.TITLE + columns.BAG
    parts, checks = Area(x, area.y, w, top - 1.0).columns(46.4, 40.4, gap=2.0)
    middle.draw_parts(pen, says.pick, parts)
    middle.draw_checks(pen, says.checks, checks)
    mean_y = area.bottom - columns.MEAN
    _picture(pen, says, Area(x, area.y + top, w, mean_y - area.y - top))
    middle.draw_gate(pen, says.gate, Area(x, mean_y, w, middle.GATE))
    stop_y = mean_y + middle.GATE + GAP
    middle.draw_stop(pen, says.stop, Area(x, stop_y, w, area.bottom - stop_y))


def _picture(pen: Pen, says: SheetSays, area: Area) -> None:
    radius = min(area.w, area.h - VALVE - 1.0) / 2
    x, y = area.x + area.w / 2, area.y + VALVE + (area.h - VALVE - 1.0) / 2
    draw_picture(pen, says.lacing, x, y, radius)
    top = y - radius - VALVE
    draw_view(pen, says.lacing, Area(area.x, top, area.w, y + radius + 0.8 - top), radius, "3")
