"""The building side, from what the paper is down to the cautions."""

from __future__ import annotations

from buildsheet.sheet.content.says import SheetSays
from buildsheet.sheet.layout.blocks.identity import draw_banner, draw_release_strip
from buildsheet.sheet.layout.blocks.lacing import draw_cues, draw_first, draw_gate, draw_legend
from buildsheet.sheet.layout.blocks.lists import (
    draw_cautions,
    draw_checks,
    draw_limits,
    draw_parts,
    draw_releases,
    draw_steps,
    draw_title,
    draw_warned,
)
from buildsheet.sheet.layout.blocks.sides import draw_spokes, draw_stop, draw_tension
from buildsheet.sheet.layout.paper import SIZES_MM, Area, printable_area
from buildsheet.sheet.layout.pen import Pen
from buildsheet.sheet.layout.picture import draw_picture
from buildsheet.sheet.layout.primitives import Page
from buildsheet.sheet.request import Paper


def front_page(says: SheetSays, paper: Paper) -> Page:
    """The building side."""
    pen, area = Pen(), printable_area(paper)
    y = area.y
    draw_banner(pen, says.banner, Area(area.x, y, area.w, 33.0))
    y += 34.5
    if says.banner.release:
        draw_release_strip(pen, Area(area.x, y, area.w, 9.0))
        y += 10.5
    y = _pick(pen, says, Area(area.x, y, area.w, 35.0))
    y = draw_title(pen, area.x, y, area.w, "2", "CHECK BEFORE YOU START")
    draw_checks(pen, says.checks, Area(area.x, y, area.w, 11.0))
    y += 12.0
    bottom = area.bottom
    draw_cautions(pen, says.cautions, Area(area.x, bottom - 27.0, area.w, 27.0))
    bottom -= 28.0
    limits, steps = Area(area.x, bottom - 42.0, area.w, 42.0).columns(1.0, 1.0)
    draw_limits(
        pen,
        says.limits,
        Area(
            limits.x, draw_title(pen, limits.x, limits.y, limits.w, "5", "LIMITS"), limits.w, 34.0
        ),
    )
    draw_steps(
        pen,
        says.steps,
        Area(steps.x, draw_title(pen, steps.x, steps.y, steps.w, "6", "STEPS"), steps.w, 34.0),
    )
    bottom -= 43.0
    tension = Area(area.x, bottom - 35.0, area.w, 35.0)
    left, middle, right = tension.columns(64.0, 60.0, 64.0)
    draw_tension(pen, says.sides.left, left)
    draw_stop(pen, says.stop, middle)
    draw_tension(pen, says.sides.right, right)
    bottom -= 37.0
    _lacing(pen, says, Area(area.x, y, area.w, bottom - y))
    return Page(*SIZES_MM[paper], says.title, tuple(pen.ink))


def _pick(pen: Pen, says: SheetSays, area: Area) -> float:
    left, middle, right = area.columns(64.0, 60.0, 64.0)
    draw_spokes(pen, says.sides.left, left)
    draw_parts(pen, says.pick, middle)
    draw_spokes(pen, says.sides.right, right)
    return area.bottom + 2.0


def _lacing(pen: Pen, says: SheetSays, area: Area) -> None:
    top = draw_title(
        pen, area.x, area.y, area.w, "3", f"LACING · {says.lacing.pattern} · {says.lacing.view}"
    )
    size = min(area.bottom - top, 104.0)
    radius = (size - 6.0) / 2
    draw_picture(pen, says.lacing, area.x + radius + 1.0, top + 6.0 + radius, radius)
    words = Area(area.x + 2 * radius + 5.0, top, area.w - 2 * radius - 5.0, size)
    y = draw_first(pen, says.lacing, words)
    y = draw_legend(pen, says.lacing, Area(words.x, y + 1.0, words.w, 10.0))
    y = draw_cues(pen, says.lacing, Area(words.x, y + 1.0, words.w, 10.0))
    draw_gate(pen, says.gate, Area(words.x, area.bottom - 27.0, words.w, 26.0))
    if says.releases:
        draw_releases(pen, says.releases, Area(words.x, y, words.w, 30.0))
    elif says.warned:
        draw_warned(pen, says.warned, Area(words.x, y, words.w, area.bottom - 28.0 - y))
