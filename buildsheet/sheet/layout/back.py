"""The record side (first cut)."""

from __future__ import annotations

from buildsheet.sheet.content.says import SheetSays
from buildsheet.sheet.layout.paper import SIZES_MM, printable_area
from buildsheet.sheet.layout.pen import Pen
from buildsheet.sheet.layout.primitives import Page
from buildsheet.sheet.request import Paper


def back_page(says: SheetSays, paper: Paper) -> Page:
    """The record side."""
    pen, area = Pen(), printable_area(paper)
    pen.say(area.x, area.y + 8, f"RECORD · {says.banner.position}", 8.0, "bold")
    return Page(*SIZES_MM[paper], says.title, tuple(pen.ink))
