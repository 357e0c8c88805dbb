"""What this paper is: wheel, order, issue, code; and the strip that forbids building."""

from __future__ import annotations

from typing import Final

from buildsheet.sheet.code import QUIET_MODULES, dark_runs
from buildsheet.sheet.content.says import Banner, Release
from buildsheet.sheet.layout.paper import Area
from buildsheet.sheet.layout.pen import BOLD, FINE, GOOD, READ, THIN, Pen
from buildsheet.sheet.layout.primitives import Box, Cells

RELEASE_MM: Final = 24.0
"""Height of the strip and the box below it."""


def draw_code(pen: Pen, url: str, x: float, y: float, side_mm: float) -> None:
    """The QR code with its quiet zone in a square."""
    modules, runs = dark_runs(url)
    module_mm = side_mm / (modules + 2 * QUIET_MODULES)
    left, top = x + QUIET_MODULES * module_mm, y + QUIET_MODULES * module_mm
    pen.draw(
        Cells(
            tuple(
                (
                    left + column * module_mm,
                    top + row * module_mm,
                    length * module_mm,
                    module_mm,
                )
                for row, column, length in runs
            )
        )
    )


def draw_position(pen: Pen, position: str, area: Area) -> None:
    """A big white letter on black, and the word."""
    pen.draw(Box(area.x, area.y, area.w, area.h, fill="black"))
    middle = area.x + area.w / 2
    pen.say(middle, area.y + area.h * 0.66, position[:1], area.h * 0.74, "bold", "middle", True)
    pen.say(middle, area.bottom - 2.2, position, 0.2 * area.h, "bold", "middle", True)


def draw_banner(pen: Pen, says: Banner, area: Area) -> None:
    """Position in white on black, order, issue, serial, dates, code."""
    draw_position(pen, says.position, Area(area.x, area.y, area.h - 3.0, area.h))
    draw_code(pen, says.bench_url, area.right - area.h, area.y, area.h)
    x = area.x + area.h
    w = area.w - 2 * area.h - 1.0
    _issue(pen, says.issue, Area(x + w - 29.0, area.y, 29.0, 10.6))
    pen.fitted(x, area.y + 0.8, w - 32.0, says.order, 11.4, "bold", 4.6)
    y = pen.fitted(x, area.y + 12.6, w, f"{says.of} · {says.serial}", GOOD, "bold", 3.6)
    dates = f"wanted by {says.wanted_by} · edition {says.edition}"
    cue = pen.say(x + w, y + 2.4 + 3.35, says.note_cue, READ, "bold", "right") + 2.0
    y = pen.fitted(x, y + 2.4, w - cue, dates, READ, "plain", 3.4)
    y = pen.fitted(x, y + 2.0, w, says.use, 3.7, "plain", FINE)
    pen.fitted(x, y + 1.8, w, says.origin, FINE, "plain", 2.4)


def _issue(pen: Pen, issue: str, area: Area) -> None:
    pen.box(area.x, area.y, area.w, area.h, BOLD)
    pen.say(area.x + 2.0, pen.middle(area.y + area.h / 2), "issue", READ)
    pen.fitted(area.x + 16.0, area.y + 1.8, 11.0, issue, 9.6, "bold", 3.4)


def draw_release(pen: Pen, says: tuple[Release, ...], area: Area) -> None:
    """Black from edge to edge, then the reasons and the places to sign."""
    pen.draw(Box(area.x, area.y, area.w, 8.4, fill="black"))
    words = "RELEASE NEEDED · DO NOT BUILD UNSIGNED"
    pen.say(area.x + area.w / 2, pen.middle(area.y + 4.2, 6.8), words, 6.8, "bold", "middle", True)
    pen.box(area.x, area.y + 8.4, area.w, area.h - 8.4, BOLD)
    reasons = "  ".join(f"{each.says} {each.reason}" for each in says)
    pen.fitted(area.x + 2.5, area.y + 9.8, area.w - 5.0, reasons, READ, "plain", 3.8, 2)
    base = area.bottom - 2.0
    x = area.x + 2.5
    for label, w in (("reason", 62.0), ("name", 50.0), ("signature, date", 70.0)):
        used = pen.say(x, base, label, FINE) + 1.0
        pen.lines(((x + used, base, x + w - 3.0, base),), THIN)
        x += w
