"""LEFT and RIGHT: the same words, the same sign, the same edge of the page, wherever they stand."""

from __future__ import annotations

from buildsheet.sheet.content.says import SideSays, StopSays
from buildsheet.sheet.layout.marks import side_mark
from buildsheet.sheet.layout.paper import Area
from buildsheet.sheet.layout.pen import FINE, GOOD, KEY, READ, THIN, Pen, capital
from buildsheet.sheet.layout.primitives import Box


def draw_frame(pen: Pen, area: Area, says: SideSays) -> float:
    """The panel's outline and title; the y below the title comes back.

    LEFT has round corners and a thin line, RIGHT square corners and a thick one.
    """
    left = says.side == "left"
    pen.box(area.x, area.y, area.w, area.h, 0.5 if left else 1.1, 5.0 if left else 0.0)
    side_mark(pen, area.x + 2.2, area.y + 2.0, 8.4, says.side)
    wide = pen.say(area.x + 12.4, area.y + 8.4, says.word, 7.6, "bold")
    pen.fitted(
        area.x + 14.2 + wide,
        area.y + 8.4 - capital(GOOD),
        area.w - wide - 17.0,
        says.feature,
        GOOD,
        floor=3.2,
    )
    return area.y + 11.6


def draw_spokes(pen: Pen, says: SideSays, area: Area) -> None:
    """How many spokes of what length: the bag to take."""
    y = draw_frame(pen, area, says) + 1.2
    x = area.x + 3.5
    size = KEY
    count_w = pen.say(x, y + capital(size), says.count, size, "bold")
    times_w = pen.say(x + count_w + 1.5, y + capital(size) - 0.8, "×", 7.0, "plain")
    at = x + count_w + times_w + 3.0
    length_w = pen.say(at, y + capital(size), says.length, size, "bold")
    pen.say(at + length_w + 1.2, y + capital(size), "mm", GOOD)
    y += capital(size) + 2.8
    y = pen.fitted(
        x, y, area.w - 7.0, f"{says.type} · {says.type_name}", READ, face="plain", floor=3.4
    )
    pen.fitted(x, y + 0.8, area.w - 7.0, f"computed {says.computed} mm", READ, floor=3.4)


def draw_tension(pen: Pen, says: SideSays, area: Area) -> None:
    """The side's mean to finish at, its band, and the place for this gauge's scale."""
    y = draw_frame(pen, area, says) + 0.6
    x = area.x + 3.5
    wide = pen.say(x, y + capital(KEY), says.tension_n, KEY, "bold")
    pen.say(x + wide + 1.2, y + capital(KEY), "N", 7.6, "bold")
    pen.say(area.right - 3.0, y + capital(KEY), f"{says.tension_kgf} kgf", GOOD, "bold", "right")
    y += capital(KEY) + 2.4
    y = pen.fitted(x, y, area.w - 7.0, f"each {says.band_n} N", READ, floor=3.4)
    draw_scale(pen, Area(x, y + 0.7, area.w - 6.5, area.bottom - y - 2.6))


def draw_scale(pen: Pen, area: Area, white: bool = False) -> None:
    """An empty box for the reading of this gauge on this spoke."""
    label = pen.say(
        area.x, area.y + area.h / 2 + capital(READ) / 2, "gauge scale", READ, white=white
    )
    x = area.x + label + 1.5
    pen.draw(Box(x, area.y, area.right - x, area.h, THIN, "white"))


def draw_stop(pen: Pen, says: StopSays, area: Area) -> None:
    """The one number that is white on black."""
    pen.draw(Box(area.x, area.y, area.w, area.h, fill="black"))
    middle = area.x + area.w / 2
    pen.say(middle, area.y + 2.6 + capital(10.0), "STOP", 10.0, "bold", "middle", True)
    y = area.y + 4.6 + capital(10.0) + capital(KEY)
    wide = pen.say(middle - 4.0, y, says.newtons, KEY, "bold", "middle", True)
    pen.say(middle - 4.0 + wide / 2 + 1.4, y, "N", 7.6, "bold", "left", True)
    pen.say(
        middle,
        y + 2.2 + capital(GOOD),
        f"{says.kgf} kgf · no spoke above",
        READ,
        "bold",
        "middle",
        True,
    )
    y += 2.2 + capital(GOOD) + 2.0
    draw_scale(
        pen, Area(area.x + 3.0, y, area.w - 6.0, max(6.0, area.bottom - y - 2.2)), white=True
    )


def draw_set_by(pen: Pen, says: StopSays, x: float, y: float, w: float) -> None:
    """Who set the limit."""
    pen.fitted(x, y, w, says.set_by, FINE)
