"""The lacing picture as a page of its own, for screens."""

from __future__ import annotations

from typing import Final

from buildsheet.plan.plan import Plan
from buildsheet.sheet.content.lacing import lacing_says
from buildsheet.sheet.layout.paper import Area
from buildsheet.sheet.layout.pen import READ, Pen
from buildsheet.sheet.layout.picture import draw_picture, draw_view
from buildsheet.sheet.layout.primitives import Page

SIDE_MM: Final = 120.0
"""The picture is square; its legend stands below."""


def lacing_page(plan: Plan) -> Page:
    """The picture with the view and the legend in words."""
    says = lacing_says(plan)
    pen = Pen()
    radius = SIDE_MM / 2 - 2.0
    draw_picture(pen, says, SIDE_MM / 2, SIDE_MM / 2 + 7.0, radius)
    draw_view(pen, says, Area(2.0, 2.0, SIDE_MM - 4.0, SIDE_MM + 4.0), radius)
    top = SIDE_MM + 9.0
    for line in legend(plan):
        top = pen.fitted(3.0, top, SIDE_MM - 6.0, line, READ, floor=3.0) + 2.6
    title = f"Lacing of {plan.rim} {plan.holes} holes, {plan.hub}, seen from {says.view}"
    return Page(SIDE_MM, top + 2.0, title, tuple(pen.ink))


def legend(plan: Plan) -> tuple[str, ...]:
    """What the shapes and lines mean."""
    return (
        f"RIGHT ({plan.spokes.right.feature}): solid lines, square numbers",
        f"LEFT ({plan.spokes.left.feature}): dashed lines, round numbers",
        "bold, white on black: the first four spokes, in lacing order",
    )
