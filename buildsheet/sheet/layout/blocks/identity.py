"""What this paper is: wheel, order, issue, code; and the strip that forbids building."""

from __future__ import annotations

from buildsheet.sheet.code import QUIET_MODULES, dark_runs
from buildsheet.sheet.content.says import Banner
from buildsheet.sheet.layout.paper import Area
from buildsheet.sheet.layout.pen import BOLD, FINE, GOOD, READ, Pen, capital
from buildsheet.sheet.layout.primitives import Box, Cells

CODE_MM = 33.0


def draw_code(pen: Pen, url: str, x: float, y: float, side_mm: float = CODE_MM) -> None:
    """The QR code with its quiet zone in a square."""
    modules, runs = dark_runs(url)
    module_mm = side_mm / (modules + 2 * QUIET_MODULES)
    start_x, start_y = x + QUIET_MODULES * module_mm, y + QUIET_MODULES * module_mm
    cells = tuple(
        (
            start_x + column * module_mm,
            start_y + row * module_mm,
            length * module_mm,
            module_mm,
        )
        for row, column, length in runs
    )
    pen.draw(Cells(cells))


def draw_banner(pen: Pen, says: Banner, area: Area) -> None:
    """Position in white on black, order, issue, serial, dates, code."""
    side = area.h
    pen.draw(Box(area.x, area.y, side, side, fill="black"))
    pen.say(
        area.x + side / 2,
        area.y + side * 0.66,
        says.position[0],
        side * 0.74,
        "bold",
        "middle",
        True,
    )
    pen.say(area.x + side / 2, area.y + side - 2.2, says.position, 6.2, "bold", "middle", True)
    draw_code(pen, says.bench_url, area.right - side, area.y, side)
    x, w = area.x + side + 3.5, area.w - 2 * side - 5.0
    _names(pen, says, Area(x, area.y, w, side))


def _names(pen: Pen, says: Banner, area: Area) -> None:
    issue_w = 27.0
    order_w = area.w - issue_w - 3.0
    pen.fitted(area.x, area.y + 0.5, order_w, says.order, 11.0, face="bold", floor=5.0)
    pen.box(area.right - issue_w, area.y, issue_w, 10.5, BOLD)
    pen.say(area.right - issue_w + 2.0, area.y + 7.2, "issue", READ)
    pen.fitted(
        area.right - 13.0,
        area.y + 1.6,
        11.0,
        says.issue,
        10.0,
        face="bold",
        floor=4.0,
        align="right",
    )
    y = area.y + 13.0
    y = (
        pen.fitted(area.x, y, area.w, f"{says.of} · {says.serial}", GOOD, face="bold", floor=4.0)
        + 0.9
    )
    y = pen.fitted(
        area.x, y, area.w, f"wanted by {says.wanted_by} · edition {says.edition}", READ, floor=3.6
    )
    y = pen.fitted(area.x, y + 0.9, area.w, says.use, 3.6, floor=FINE)
    fine = f"{says.workshop} · from {says.source}, revision {says.revision} · {says.fingerprint}"
    pen.fitted(area.x, y + 0.9, area.w, fine, FINE, floor=2.4)


def draw_release_strip(pen: Pen, area: Area) -> None:
    """Black from edge to edge: nobody builds past this by mistake."""
    pen.draw(Box(area.x, area.y, area.w, area.h, fill="black"))
    words = "RELEASE NEEDED  ·  DO NOT BUILD BEFORE IT IS SIGNED"
    pen.say(
        area.x + area.w / 2,
        area.y + area.h / 2 + capital(7.0) / 2,
        words,
        6.6,
        "bold",
        "middle",
        True,
    )
