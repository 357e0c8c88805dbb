"""How many wheels were good at their first judged pass, week by week, and what the others came back for.

Above, columns: outlined all wheels, black the good ones. Below, one line a reason: a disc a week, its area
the number of wheels that came back for it.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import sqrt
from typing import Final

from buildsheet.bench.over_time import Week, reasons_by_weight
from buildsheet.sheet.charts.bars import LETTER, Bars
from buildsheet.sheet.ink.svg import svg_text
from buildsheet.sheet.layout.paper import Area
from buildsheet.sheet.layout.pen import FINE, HAIR, Pen
from buildsheet.sheet.layout.primitives import Disc, Page

WIDTH_MM: Final = 160.0
MOST_REASONS: Final = 10
_BARS: Final = Area(44.0, 16.0, 102.0, 40.0)
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
    pen.say(2.0, 6.0, title(weeks), 4.6, "bold")
    pen.say(2.0, 11.0, "outlined: all wheels; black: good ones; figures: good of all", FINE)
    bars = Bars(_BARS, max(1, len(weeks)), max((each.wheels for each in weeks), default=0))
    bars.frame(pen)
    bars.draw(pen, [each.wheels for each in weeks], 0.8, ["white"] * len(weeks))
    bars.draw(pen, [each.good for each in weeks], 0.55, ["black"] * len(weeks))
    for place, each in enumerate(weeks):
        x = bars.middle_mm(place)
        pen.say(x, bars.foot_mm + 4.4, each.name[-3:], FINE, align="middle")
        if each.wheels:
            top = bars.foot_mm - bars.height_mm(each.wheels) - 0.8
            pen.say(x, top, f"{each.good}/{each.wheels}", 2.4, align="middle")
    y = _reasons(pen, weeks, bars, bars.foot_mm + 13.0)
    return Page(WIDTH_MM, y, title(weeks), tuple(pen.ink))


def _reasons(pen: Pen, weeks: Sequence[Week], bars: Bars, y: float) -> float:
    """One line a reason; the picture's lower edge comes back."""
    every = reasons_by_weight(weeks)
    if not every:
        pen.say(2.0, y, "No wheel came back.", LETTER)
        return y + 4.0
    pen.say(2.0, y, "Came back for", LETTER, "bold")
    pen.say(WIDTH_MM - 2.0, y, "in all", FINE, align="right")
    most = max(count for week in weeks for count in week.reasons.values())
    right = bars.area.x + bars.area.w
    for code, total in every[:MOST_REASONS]:
        y += _ROW_MM
        pen.fitted(2.0, y - 1.25, bars.area.x - 5.0, spoken(code), LETTER, floor=2.2)
        pen.lines([(bars.area.x, y, right, y)], HAIR / 2)
        for place, week in enumerate(weeks):
            count = week.reasons.get(code, 0)
            if count:
                radius = _LARGEST_MM * sqrt(count / most)
                pen.draw(Disc(bars.middle_mm(place), y, radius, fill="black"))
        pen.say(WIDTH_MM - 2.0, pen.middle(y, LETTER), str(total), LETTER, "bold", "right")
    if len(every) > MOST_REASONS:
        y += _ROW_MM
        pen.say(2.0, y, f"and {len(every) - MOST_REASONS} rarer reasons", FINE)
    return y + 5.0


def spoken(code: str) -> str:
    """A reason's code as a person says it.

    >>> spoken("bench.above-stop")
    'above stop'
    """
    return code.rpartition(".")[2].replace("-", " ")
