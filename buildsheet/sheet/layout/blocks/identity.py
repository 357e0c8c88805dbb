"""What this paper is: wheel, order, issue, code; and the strip that forbids building."""

from __future__ import annotations

from buildsheet.sheet.code import QUIET_MODULES, dark_runs
from buildsheet.sheet.content.says import Banner, Release
from buildsheet.sheet.layout.fit import fit, fit_block
from buildsheet.sheet.layout.paper import Area
from buildsheet.sheet.layout.pen import BOLD, FINE, GOOD, READ, THIN, Pen, capital
from buildsheet.sheet.layout.primitives import Box, Cells


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
    """Position in white on black, order, issue, serial, dates, code.

    A wheel that needs an approval by name, or has one, carries a black strip instead of the lines about
    its use and origin.
    """
    draw_position(pen, says.position, Area(area.x, area.y, area.h - 3.0, area.h))
    draw_code(pen, says.bench_url, area.right - area.h, area.y, area.h)
    x = area.x + area.h
    w = area.w - 2 * area.h - 1.0
    _issue(pen, says.issue, Area(x + w - 29.0, area.y, 29.0, 10.0))
    pen.fitted(x, area.y + 0.4, w - 32.0, says.order, 11.0, "bold", 4.6)
    y = pen.fitted(x, area.y + 11.2, w, f"{says.of} · {says.serial}", GOOD, "bold", 3.6)
    cue = pen.say(x + w, y + 1.9 + capital(READ), says.note_cue, READ, "bold", "right") + 2.0
    dates = f"wanted by {says.wanted_by} · edition {says.edition}"
    y = pen.fitted(x, y + 1.9, w - cue, dates, READ, "plain", 3.4)
    if says.release:
        _strip(pen, "APPROVAL NEEDED", "do not build unsigned", _below(y, x, w, area))
        return
    if says.released:
        _strip(pen, "APPROVED", says.released, _below(y, x, w, area))
        return
    y = pen.fitted(x, y + 1.8, w, says.use, 3.6, "plain", FINE)
    pen.fitted(x, y + 1.5, w, says.origin, FINE, "plain", 2.4)


def _below(y: float, x: float, w: float, area: Area) -> Area:
    return Area(x, y + 1.8, w, area.bottom - y - 1.8)


def _strip(pen: Pen, word: str, more: str, area: Area) -> None:
    """White on black: a word to see from afar, and what it means, as large as there is room for."""
    pen.draw(Box(area.x, area.y, area.w, area.h, fill="black"))
    middle = area.y + area.h / 2
    used = pen.say(area.x + 2.0, pen.middle(middle, 6.4), word, 6.4, "bold", "left", True)
    found = fit(more, area.w - used - 8.0, READ, face="bold", floor_mm=FINE)
    base = pen.middle(middle, found.size_mm)
    pen.say(area.right - 2.0, base, found.lines[0], found.size_mm, "bold", "right", True)


def _issue(pen: Pen, issue: str, area: Area) -> None:
    pen.box(area.x, area.y, area.w, area.h, BOLD)
    pen.say(area.x + 2.0, pen.middle(area.y + area.h / 2), "issue", READ)
    pen.fitted(area.x + 16.0, area.y + 1.8, 11.0, issue, 9.6, "bold", 3.4)


def draw_release(pen: Pen, says: tuple[Release, ...], area: Area) -> None:
    """What is to be approved, and the places to sign; it stands where the limits stand.

    The record side repeats the limits, and has every reason at full length.
    """
    pen.box(area.x, area.y, area.w, area.h, BOLD)
    pen.draw(Box(area.x, area.y, area.w, 5.6, fill="black"))
    words = "SIGN TO APPROVE · limits: see back"
    pen.say(area.x + 2.0, pen.middle(area.y + 2.8, 4.4), words, 4.4, "bold", "left", True)
    reasons = "\n".join(each.says for each in says)
    found = fit_block(reasons, area.w - 4.0, area.h - 21.4, READ, FINE)
    pen.set(found, area.x + 2.0, area.y + 7.0)
    for place, label in enumerate(("signature, date", "name", "reason")):
        base = area.bottom - 1.8 - 4.6 * place
        used = pen.say(area.x + 2.0, base, label, FINE) + 1.0
        pen.lines(((area.x + 2.0 + used, base + 0.3, area.right - 2.0, base + 0.3),), THIN)
