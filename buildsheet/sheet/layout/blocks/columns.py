"""The LEFT column and the RIGHT column: one frame each, from the bag of spokes to the tension.

LEFT stands at the left edge of the paper and RIGHT at the right edge, as on the wheel seen from the
saddle. LEFT is framed by a thin line with round corners, RIGHT by a thick one with square corners.
"""

from __future__ import annotations

from typing import Final

from buildsheet.sheet.content.says import FirstSpoke, LacingSays, SideSays
from buildsheet.sheet.layout.marks import hole_mark, rim_section, side_mark
from buildsheet.sheet.layout.paper import Area
from buildsheet.sheet.layout.pen import COUNT, GOOD, HAIR, KEY, READ, THIN, Pen, capital
from buildsheet.sheet.layout.picture import FAR_DASH, FAR_MM, NEAR_MM
from buildsheet.sheet.layout.primitives import Box, Strokes

WIDTH: Final = 50.0
TITLE: Final = 15.2
BAG: Final = 32.6
MEAN: Final = 38.0
LACE_LEAST: Final = 37.2
"""What the lacing row needs for its words, however little is left to the picture."""

BED: Final = 18.4
"""What an asymmetric rim's cue adds to them; with less room it is said without its picture."""

PAD: Final = 3.0

LACE_ROOMY: Final = 92.0
"""From this height on, the lacing words are set in the better size."""


def draw_column(pen: Pen, says: SideSays, lacing: LacingSays, area: Area) -> None:
    """The whole column."""
    left = says.side == "left"
    pen.box(area.x, area.y, area.w, area.h, 0.5 if left else 1.2, 6.0 if left else 0.0)
    _title(pen, says, area)
    lace_y, mean_y = area.y + TITLE + BAG, area.bottom - MEAN
    pen.lines(((area.x, y, area.right, y) for y in (lace_y, mean_y)), THIN)
    _bag(pen, says, Area(area.x + PAD, area.y + TITLE, area.w - 2 * PAD, BAG))
    _lace(pen, says, lacing, Area(area.x + PAD, lace_y, area.w - 2 * PAD, mean_y - lace_y))
    _mean(pen, says, Area(area.x + PAD, mean_y, area.w - 2 * PAD, MEAN))


def _title(pen: Pen, says: SideSays, area: Area) -> None:
    side_mark(pen, area.x + PAD - 0.4, area.y + 2.4, 10.4, says.side)
    x = area.x + PAD + 11.6
    pen.say(x, area.y + 2.4 + capital(7.6), says.word, 7.6, "bold")
    pen.fitted(x, area.y + 9.9, area.right - x - 1.5, says.feature, READ, "plain", 3.4)


def _bag(pen: Pen, says: SideSays, area: Area) -> None:
    """How many spokes of what length."""
    base = area.y + 0.6 + capital(COUNT)
    used = pen.say(area.x, base, says.count, COUNT, "bold")
    pen.say(area.x + used + 1.6, base, "spokes", GOOD)
    base += 2.6 + capital(KEY)
    used = pen.say(area.x, base, says.length, KEY, "bold")
    pen.say(area.x + used + 1.6, base, "mm", GOOD)
    base = pen.fitted(area.x, base + 2.2, area.w, says.type, READ, "plain", 3.6)
    pen.fitted(area.x, base + 2.0, area.w, f"computed {says.computed}", READ, "plain", 3.6)


def _lace(pen: Pen, says: SideSays, lacing: LacingSays, area: Area) -> None:
    """This side's two of the first four spokes, how they go on, and which way the rim lies."""
    size = GOOD if area.h >= LACE_ROOMY else READ
    y = area.y + 2.4
    for spoke in lacing.first:
        if spoke.side == says.side:
            y = _spoke(pen, spoke, Area(area.x, y, area.w, area.h), size) + 0.62 * size
    rule = lacing.repeat[says.side]
    y = pen.fitted(area.x, y, area.w, rule, READ, "plain", 3.8, 2) + 2.4
    if lacing.bed_toward == says.side:
        y = _bed(pen, says, lacing.bed_words, Area(area.x, y, area.w, area.bottom - y))
    if area.bottom - y > 5.0:
        dash = FAR_DASH if says.side == "left" else ()
        at = area.bottom - 3.4
        width_mm = FAR_MM if says.side == "left" else NEAR_MM
        pen.draw(Strokes(((area.x, at, area.x + 16.0, at),), width_mm, dash))
        pen.say(area.x + 18.0, pen.middle(at), "its spokes", READ)


def _bed(pen: Pen, says: SideSays, words: str, area: Area) -> float:
    """Which way an asymmetric rim lies, drawn where there is room; the lower edge comes back."""
    pen.lines(((area.x, area.y - 0.6, area.right, area.y - 0.6),), HAIR)
    if area.h < BED:
        return pen.fitted(area.x, area.y + 0.8, area.w, words, READ, "bold", READ, 2) + 1.2
    rim_section(pen, area.x, area.y + 1.0, says.side)
    pen.fitted(area.x + 22.0, area.y + 1.6, area.w - 22.0, words, READ, "bold", 3.6, 3)
    return area.y + BED


def _spoke(pen: Pen, spoke: FirstSpoke, area: Area, size: float) -> float:
    """One of the first four: rim hole in its side's shape, hub hole, run, head."""
    hole_mark(pen, area.x + 4.4, area.y + 4.2, spoke.hole, spoke.side, first=True, size=5.0)
    x, y = area.x + 9.0, area.y
    used = pen.say(x, y + capital(size), "hub hole", READ)
    pen.say(x + used + 1.4, y + capital(size) + 0.3, spoke.hub_hole, 7.2, "bold")
    y += capital(size) + 0.42 * size
    said = tuple(filter(None, (spoke.run, spoke.head)))
    for words in said if size > READ else (", ".join(said),):
        y = pen.fitted(x, y, area.right + 1.6 - x, words, size, "plain", 3.6) + 0.42 * size
    return y - 0.42 * size


def _mean(pen: Pen, says: SideSays, area: Area) -> None:
    """The side's mean to finish at, its band, and the place for this gauge's scale."""
    base = area.y + 2.2 + capital(KEY)
    used = pen.say(area.x, base, says.tension_n, KEY, "bold")
    pen.say(area.x + used + 1.2, base, "N", 6.4, "bold")
    base += 2.4 + capital(READ)
    pen.say(area.x, base, f"{says.tension_kgf} kgf, mean", READ, "bold")
    base = pen.fitted(area.x, base + 2.0, area.w, f"each {says.band_n}", READ, "plain", 3.6)
    y = base + 2.4
    label = pen.say(area.x, pen.middle(y + 3.8), "scale", READ)
    pen.draw(Box(area.x + label + 1.6, y, area.w - label - 1.6, 7.6, THIN))
