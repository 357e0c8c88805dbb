"""Measured mass against the computed one: each wheel a dot, right the heavier wheels, up the ones that
came out heavier than computed. The allowed share opens like a funnel, for it is a share."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil, floor
from typing import Final

from buildsheet.bench.over_time import Weighed
from buildsheet.sheet.charts.bars import LETTER, PHONE_MM, round_steps
from buildsheet.sheet.ink.svg import svg_text
from buildsheet.sheet.layout.paper import Area
from buildsheet.sheet.layout.pen import BOLD, HAIR, THIN, Align, Pen
from buildsheet.sheet.layout.primitives import Disc, Page

WIDTH_MM: Final = PHONE_MM
HEIGHT_MM: Final = 100.0
_FRAME: Final = Area(16.0, 24.0, 98.0, 62.0)
_STEP_G: Final = 100
MOST_NAMED: Final = 6


def mass_svg(wheels: Sequence[Weighed], allowed_percent: float | None, css_class: str = "") -> str:
    """The picture as one ``svg`` element."""
    return svg_text(mass_chart(wheels, allowed_percent), css_class)


def outside(wheels: Sequence[Weighed], allowed_percent: float | None) -> tuple[Weighed, ...]:
    """Wheels off by more than is allowed, the worst first."""
    if allowed_percent is None:
        return ()
    found = (each for each in wheels if abs(each.off_percent) > allowed_percent)
    return tuple(sorted(found, key=lambda each: (-abs(each.off_percent), each.serial)))


def title(wheels: Sequence[Weighed], allowed_percent: float | None) -> str:
    """The picture in words."""
    count = f"{len(wheels)} {'wheel' if len(wheels) == 1 else 'wheels'} weighed"
    if allowed_percent is None or not wheels:
        return count
    off = len(outside(wheels, allowed_percent))
    return f"{count}, {off} off by more than {allowed_percent:g} %"


def mass_chart(wheels: Sequence[Weighed], allowed_percent: float | None) -> Page:
    """The dots with the funnel round them; wheels outside are black and the worst are named."""
    pen, said = Pen(), title(wheels, allowed_percent)
    width = WIDTH_MM - 4.0
    below = pen.fitted(2.0, 2.0, width, said, 4.6, "bold", LETTER, lines=2)
    axes = "up: measured less computed mass, g; across: computed mass, g"
    pen.fitted(2.0, below + 2.0, width, axes, LETTER, floor=LETTER, lines=2)
    if not wheels:
        return Page(WIDTH_MM, 24.0, said, tuple(pen.ink))
    place = _Place(wheels, allowed_percent)
    _axes(pen, place)
    named = set(outside(wheels, allowed_percent))
    for each in wheels:
        x, y = place.at(each.planned_g, each.measured_g - each.planned_g)
        pen.draw(Disc(x, y, 1.0, THIN, "black" if each in named else "white"))
    for each in outside(wheels, allowed_percent)[:MOST_NAMED]:
        x, y = place.at(each.planned_g, each.measured_g - each.planned_g)
        late = x > _FRAME.x + _FRAME.w / 2.0
        text = f"{each.serial} {each.off_percent:+.1f} %"
        align: Align = "right" if late else "left"
        pen.say(x - 1.8 if late else x + 1.8, y + 1.0, text, LETTER, align=align)
    return Page(WIDTH_MM, HEIGHT_MM, said, tuple(pen.ink))


class _Place:
    """Where grams stand on paper."""

    def __init__(self, wheels: Sequence[Weighed], allowed_percent: float | None) -> None:
        planned = [each.planned_g for each in wheels]
        self.from_g = floor(min(planned) / _STEP_G) * _STEP_G
        self.to_g = max(self.from_g + _STEP_G, ceil(max(planned) / _STEP_G) * _STEP_G)
        self.allowed_share = (allowed_percent or 0.0) / 100.0
        off = max(abs(each.measured_g - each.planned_g) for each in wheels)
        self.most_g = 1.08 * max(off, self.allowed_share * self.to_g, 1.0)

    def at(self, planned_g: float, off_g: float) -> tuple[float, float]:
        """A point of the picture."""
        across = (planned_g - self.from_g) / (self.to_g - self.from_g)
        up = 0.5 * (1.0 - off_g / self.most_g)
        return _FRAME.x + across * _FRAME.w, _FRAME.y + up * _FRAME.h


def _axes(pen: Pen, place: _Place) -> None:
    (x1, y0), (x2, _) = place.at(place.from_g, 0.0), place.at(place.to_g, 0.0)
    pen.lines([(x1, y0, x2, y0)], HAIR)
    pen.lines([(x1, _FRAME.y, x1, _FRAME.bottom)], THIN)
    if place.allowed_share:
        for sign in (1.0, -1.0):
            near = place.at(place.from_g, sign * place.allowed_share * place.from_g)
            far = place.at(place.to_g, sign * place.allowed_share * place.to_g)
            pen.lines([(*near, *far)], BOLD)
    for value in round_steps(floor(place.most_g)):
        for off_g in {value, -value}:
            y = place.at(place.from_g, off_g)[1]
            text = f"{off_g:+d}" if off_g else "0"
            pen.say(x1 - 1.2, pen.middle(y, LETTER), text, LETTER, align="right")
    every = max(_STEP_G, _STEP_G * ceil((place.to_g - place.from_g) / _STEP_G / 8))
    for planned_g in range(place.from_g, place.to_g + 1, every):
        x = place.at(planned_g, 0.0)[0]
        pen.lines([(x, _FRAME.bottom, x, _FRAME.bottom + 1.2)], HAIR)
        pen.say(x, _FRAME.bottom + 5.2, str(planned_g), LETTER, align="middle")
