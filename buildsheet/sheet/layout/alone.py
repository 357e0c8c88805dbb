"""The lacing picture as a page of its own, for screens."""

from __future__ import annotations

from typing import Final

from buildsheet.plan.plan import Plan
from buildsheet.sheet.content.lacing import lacing_says
from buildsheet.sheet.layout.pen import READ, Pen
from buildsheet.sheet.layout.picture import draw_picture
from buildsheet.sheet.layout.primitives import Page

SIDE_MM: Final = 120.0
"""The picture is square; its legend stands below."""


def lacing_page(plan: Plan) -> Page:
    """The picture with the view and the legend in words."""
    says = lacing_says(plan)
    pen = Pen()
    draw_picture(pen, says, SIDE_MM / 2, SIDE_MM / 2 + 4.0, SIDE_MM / 2 - 5.0)
    top = SIDE_MM + 4.0
    for line in (says.view, says.near, says.far):
        top = pen.fitted(3.0, top, SIDE_MM - 6.0, line, READ, floor=3.0) + 1.2
    title = f"Lacing of {plan.rim} {plan.holes} holes, {plan.hub}: {says.view}"
    return Page(SIDE_MM, top + 2.0, title, tuple(pen.ink))
