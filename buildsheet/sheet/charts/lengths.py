"""One spoke type's store as a picture: lengths needed, lengths planned, what is on the shelf, errors."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from buildsheet.sheet.charts.bars import LETTER, Bars
from buildsheet.sheet.ink.svg import svg_text
from buildsheet.sheet.layout.paper import Area
from buildsheet.sheet.layout.pen import FINE, HAIR, Pen
from buildsheet.sheet.layout.primitives import Disc, Page

WIDTH_MM: Final = 190.0
HEIGHT_MM: Final = 84.0
_LENGTHS: Final = Area(14.0, 13.0, 114.0, 46.0)
_ERRORS: Final = Area(142.0, 13.0, 44.0, 46.0)
_MARKS_MM: Final = 3.0
"""How far below the axis the shelf's marks stand."""


@dataclass(frozen=True, slots=True)
class LengthColumn:
    """One millimetre. ``needed`` sides have their length to make nearest to it; ``taken`` sides get it
    in the plan; ``planned`` and ``stocked`` say where it stands."""

    length_mm: int
    needed: int
    taken: int
    planned: bool
    stocked: bool


@dataclass(frozen=True, slots=True)
class LengthChart:
    """What one picture shows. ``errors`` are steps of stock less target: from (mm), sides; ``share`` the
    part of all sides, 0 to 1, that finds a length on today's shelf, None where no shelf is known."""

    spoke: str
    sides: int
    columns: tuple[LengthColumn, ...]
    errors: tuple[tuple[float, int], ...]
    share: float | None


def length_chart_svg(chart: LengthChart) -> str:
    """The picture as one ``svg`` element."""
    return svg_text(length_chart(chart))


def length_chart(chart: LengthChart) -> Page:
    """Left the lengths: outlined what is needed, black what is taken, dots what is on the shelf.
    Right the errors that are left."""
    pen = Pen()
    planned = sum(each.planned for each in chart.columns)
    title = f"{chart.spoke}: {planned} lengths serve {chart.sides} sides"
    pen.say(2.0, 6.0, title, 4.6, "bold")
    if chart.share is not None:
        said = f"{_percent(chart.share)} of the sides find a length on the shelf"
        pen.say(WIDTH_MM - 2.0, 6.0, said, LETTER, align="right")
    if chart.columns:
        _lengths(pen, chart.columns)
    if chart.errors:
        _errors(pen, chart.errors)
    _legend(pen)
    return Page(WIDTH_MM, HEIGHT_MM, title, tuple(pen.ink))


def _lengths(pen: Pen, columns: Sequence[LengthColumn]) -> None:
    most = max(max(each.needed, each.taken) for each in columns)
    bars = Bars(_LENGTHS, len(columns), most)
    bars.frame(pen)
    bars.draw(pen, [each.needed for each in columns], 0.9, ["white"] * len(columns))
    bars.draw(pen, [each.taken for each in columns], 0.4, ["black"] * len(columns))
    y = bars.foot_mm + _MARKS_MM
    radius = min(0.9, 0.32 * bars.step_mm)
    for place, each in enumerate(columns):
        x = bars.middle_mm(place)
        if each.stocked:
            fill = "black" if each.planned else ""
            pen.draw(Disc(x, y, radius, HAIR, fill))
        elif each.planned:
            pen.lines([(x - radius, y - radius, x + radius, y + radius)], HAIR)
            pen.lines([(x - radius, y + radius, x + radius, y - radius)], HAIR)
        if each.length_mm % 5 == 0:
            pen.lines([(x, bars.foot_mm, x, bars.foot_mm + 1.2)], HAIR)
            pen.say(x, y + 5.0, str(each.length_mm), LETTER, align="middle")
    pen.say(_LENGTHS.x, 11.5, "sides by spoke length in mm", FINE)


def _errors(pen: Pen, errors: Sequence[tuple[float, int]]) -> None:
    bars = Bars(_ERRORS, len(errors), max(sides for _, sides in errors))
    bars.frame(pen)
    bars.draw(pen, [sides for _, sides in errors], 0.8, ["black"] * len(errors))
    for place, (from_mm, _) in enumerate(errors):
        if round(from_mm * 10) % 5 == 0:
            x = bars.area.x + place * bars.step_mm
            pen.lines([(x, bars.foot_mm, x, bars.foot_mm + 1.2)], HAIR)
            pen.say(
                x, bars.foot_mm + 5.0, f"{from_mm:+.1f}" if from_mm else "0", LETTER, align="middle"
            )
    pen.say(_ERRORS.x, 11.5, "sides by stock less target, mm", FINE)


def _legend(pen: Pen) -> None:
    lines = (
        "outlined: sides whose length to make is nearest to that millimetre; black: sides that take "
        "that stock length",
        "below the axis: full dot planned and on the shelf, open dot on the shelf only, cross planned "
        "and missing",
    )
    for place, line in enumerate(lines):
        pen.say(2.0, 75.0 + 5.0 * place, line, FINE)


def _percent(share: float) -> str:
    """A share as a percentage that says 100 only for all of it.

    >>> _percent(0.9996), _percent(1.0)
    ('99.9 %', '100 %')
    """
    tenths = int(share * 1000.0)
    return f"{tenths / 10.0:g} %"
