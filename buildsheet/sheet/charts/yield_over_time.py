"""How many wheels were good at their first judged pass, week by week, and what the others came back for.

Above, columns: outlined all wheels, black the good ones. Below, one line a reason: a disc a week, its area
the number of wheels that came back for it.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil, sqrt
from typing import Final

from buildsheet.bench.over_time import Week, reasons_by_weight
from buildsheet.sheet.charts.bars import LETTER, PHONE_MM, Bars
from buildsheet.sheet.fonts import width_share
from buildsheet.sheet.ink.svg import svg_text
from buildsheet.sheet.layout.paper import Area
from buildsheet.sheet.layout.pen import HAIR, Pen
from buildsheet.sheet.layout.primitives import Disc, Page

WIDTH_MM: Final = PHONE_MM
MOST_REASONS: Final = 10
_BARS: Final = Area(32.0, 24.0, 77.0, 40.0)
_ROW_MM: Final = 6.4
_LARGEST_MM: Final = 2.8
"""Radius of the disc of the highest count."""


def yield_over_time_svg(weeks: Sequence[Week], css_class: str = "") -> str:
    """The picture as one ``svg`` element."""
    return svg_text(yield_over_time(weeks), css_class)


def title(weeks: Sequence[Week]) -> str:
    """The picture in words."""
    wheels, good = sum(each.wheels for each in weeks), sum(each.good for each in weeks)
    return f"Good at the first judged pass: {good} of {wheels} wheels in {len(weeks)} weeks"


def yield_over_time(weeks: Sequence[Week]) -> Page:
    """Columns above, reasons below."""
    pen = Pen()
    width = WIDTH_MM - 4.0
    below = pen.fitted(2.0, 2.0, width, title(weeks), 4.6, "bold", LETTER, lines=2)
    said = "outlined: all wheels; black: good ones; below: weeks"
    pen.fitted(2.0, below + 2.0, width, said, LETTER, floor=LETTER, lines=2)
    bars = Bars(_BARS, max(1, len(weeks)), max((each.wheels for each in weeks), default=0))
    bars.frame(pen, LETTER)
    bars.draw(pen, [each.wheels for each in weeks], 0.8, ["white"] * len(weeks))
    bars.draw(pen, [each.good for each in weeks], 0.55, ["black"] * len(weeks))
    names = [each.name[-2:] for each in weeks]
    for place in _labelled(names, bars.step_mm):
        pen.say(bars.middle_mm(place), bars.foot_mm + 4.8, names[place], LETTER, align="middle")
    y = _reasons(pen, weeks, bars, bars.foot_mm + 13.0)
    return Page(WIDTH_MM, y, title(weeks), tuple(pen.ink))


def _labelled(names: Sequence[str], step_mm: float) -> range:
    """The places of the weeks that are named: every one, or every so many where they would touch."""
    widest_mm = max((LETTER * width_share(each, "plain") for each in names), default=0.0)
    return range(0, len(names), max(1, ceil((widest_mm + 0.8) / step_mm)))


def _reasons(pen: Pen, weeks: Sequence[Week], bars: Bars, y: float) -> float:
    """One line a reason; the picture's lower edge comes back."""
    every = reasons_by_weight(weeks)
    if not every:
        pen.say(2.0, y, "No wheel came back.", LETTER)
        return y + 4.0
    pen.say(2.0, y, "Came back for", LETTER, "bold")
    pen.say(WIDTH_MM - 2.0, y, "all", LETTER, align="right")
    most = max(count for week in weeks for count in week.reasons.values())
    right = bars.area.x + bars.area.w
    for code, total in every[:MOST_REASONS]:
        y += _ROW_MM
        pen.fitted(2.0, y - 1.4, bars.area.x - 3.0, spoken(code), LETTER, floor=LETTER)
        pen.lines([(bars.area.x, y, right, y)], HAIR / 2)
        for place, week in enumerate(weeks):
            count = week.reasons.get(code, 0)
            if count:
                radius = _LARGEST_MM * sqrt(count / most)
                pen.draw(Disc(bars.middle_mm(place), y, radius, fill="black"))
        pen.say(WIDTH_MM - 2.0, pen.middle(y, LETTER), str(total), LETTER, "bold", "right")
    if len(every) > MOST_REASONS:
        y += _ROW_MM
        pen.say(2.0, y, f"and {len(every) - MOST_REASONS} rarer reasons", LETTER)
    return y + 5.0


def spoken(code: str) -> str:
    """A reason's code as a person says it.

    >>> spoken("bench.above-stop")
    'above stop'
    """
    return code.rpartition(".")[2].replace("-", " ")
