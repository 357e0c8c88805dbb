"""One spoke type's store as a picture: lengths needed, lengths planned, what it is held against, errors."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from buildsheet.sheet.charts.bars import LETTER, PHONE_MM, Bars
from buildsheet.sheet.fonts import width_share
from buildsheet.sheet.ink.svg import svg_text
from buildsheet.sheet.layout.paper import Area
from buildsheet.sheet.layout.pen import HAIR, Pen
from buildsheet.sheet.layout.primitives import Disc, Page

WIDTH_MM: Final = PHONE_MM
HEIGHT_MM: Final = 155.0
_LENGTHS: Final = Area(14.0, 21.0, 102.0, 46.0)
_ERRORS: Final = Area(14.0, 108.0, 70.0, 36.0)
_EVERY_MM: Final = (5, 10, 20, 50, 100)
"""Which lengths are named at the axis: the first of these that leaves their names apart."""

_MARKS_MM: Final = 3.0
"""How far below the axis the marks stand."""


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
    part of all sides, 0 to 1, that finds a length on today's shelf. None where no shelf is known: then the
    plan is held against the lengths that the type is listed with."""

    spoke: str
    sides: int
    columns: tuple[LengthColumn, ...]
    errors: tuple[tuple[float, int], ...]
    share: float | None


def length_chart_svg(chart: LengthChart) -> str:
    """The picture as one ``svg`` element."""
    return svg_text(length_chart(chart))


def length_chart(chart: LengthChart) -> Page:
    """Above the lengths: outlined what is needed, black what is taken, dots what is on the shelf or listed.
    Below the errors that are left."""
    pen = Pen()
    planned = sum(each.planned for each in chart.columns)
    title = f"{chart.spoke}: {planned} lengths serve {chart.sides} sides"
    pen.say(2.0, 6.0, title, 4.6, "bold")
    if chart.share is not None:
        said = f"{_percent(chart.share)} of the sides find a length on the shelf"
        pen.say(2.0, 12.0, said, LETTER)
    if chart.columns:
        _lengths(pen, chart.columns)
    if chart.errors:
        _errors(pen, chart.errors)
    _legend(pen, "listed" if chart.share is None else "on the shelf")
    return Page(WIDTH_MM, HEIGHT_MM, title, tuple(pen.ink))


def _lengths(pen: Pen, columns: Sequence[LengthColumn]) -> None:
    most = max(max(each.needed, each.taken) for each in columns)
    bars = Bars(_LENGTHS, len(columns), most)
    bars.frame(pen, LETTER)
    bars.draw(pen, [each.needed for each in columns], 0.9, ["white"] * len(columns))
    bars.draw(pen, [each.taken for each in columns], 0.4, ["black"] * len(columns))
    y = bars.foot_mm + _MARKS_MM
    every = _named_every(columns, bars.step_mm)
    radius = min(0.9, 0.32 * bars.step_mm)
    for place, each in enumerate(columns):
        x = bars.middle_mm(place)
        if each.stocked:
            fill = "black" if each.planned else ""
            pen.draw(Disc(x, y, radius, HAIR, fill))
        elif each.planned:
            pen.lines([(x - radius, y - radius, x + radius, y + radius)], HAIR)
            pen.lines([(x - radius, y + radius, x + radius, y - radius)], HAIR)
        if each.length_mm % every == 0:
            pen.lines([(x, bars.foot_mm, x, bars.foot_mm + 1.2)], HAIR)
            pen.say(x, y + 5.0, str(each.length_mm), LETTER, align="middle")
    pen.say(2.0, _LENGTHS.y - 2.0, "sides by spoke length in mm", LETTER)


def _named_every(columns: Sequence[LengthColumn], step_mm: float) -> int:
    """Every how many millimetres a length is named."""
    widest_mm = LETTER * max(width_share(str(each.length_mm), "plain") for each in columns) + 1.0
    return next((each for each in _EVERY_MM if each * step_mm >= widest_mm), _EVERY_MM[-1])


def _errors(pen: Pen, errors: Sequence[tuple[float, int]]) -> None:
    bars = Bars(_ERRORS, len(errors), max(sides for _, sides in errors))
    bars.frame(pen, LETTER)
    bars.draw(pen, [sides for _, sides in errors], 0.8, ["black"] * len(errors))
    for place, (from_mm, _) in enumerate(errors):
        if round(from_mm * 10) % 5 == 0:
            x = bars.area.x + place * bars.step_mm
            pen.lines([(x, bars.foot_mm, x, bars.foot_mm + 1.2)], HAIR)
            pen.say(
                x, bars.foot_mm + 5.0, f"{from_mm:+.1f}" if from_mm else "0", LETTER, align="middle"
            )
    pen.say(2.0, _ERRORS.y - 2.0, "sides by stock less target, mm", LETTER)


def _legend(pen: Pen, there: str) -> None:
    lines = (
        "outlined: sides whose length to make is nearest to that millimetre; black: sides that take that "
        "stock length",
        f"dots below the axis: full planned and {there}, open {there} only, cross planned and not {there}",
    )
    top = _LENGTHS.bottom + 11.0
    for line in lines:
        top = pen.fitted(2.0, top, WIDTH_MM - 4.0, line, LETTER, floor=LETTER, lines=2) + 2.0


def _percent(share: float) -> str:
    """A share as a percentage that says 100 only for all of it.

    >>> _percent(0.9996), _percent(1.0)
    ('99.9 %', '100 %')
    """
    tenths = int(share * 1000.0)
    return f"{tenths / 10.0:g} %"
