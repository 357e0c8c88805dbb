"""Finish, the order's note, the words to the rider, and the verdict."""

from __future__ import annotations

from typing import Final

from buildsheet.sheet.content.says import RecordSays
from buildsheet.sheet.layout.fit import LEADING, Fitted, fit_block
from buildsheet.sheet.layout.marks import tick_box
from buildsheet.sheet.layout.paper import Area
from buildsheet.sheet.layout.pen import BOLD, FINE, READ, THIN, Pen
from buildsheet.sheet.layout.primitives import Box
from buildsheet.sheet.layout.record.figures import WORDS

VERDICT: Final = 16.0
CUSTOMER: Final = 8.4
FINISH_ROW: Final = 5.2
NOTE: Final = (12.0, 25.0)
ASKED: Final = (12.0, 20.0)
"""The least and the most that the order's note, and its releases and cautions, take."""


def draw_finish(pen: Pen, says: tuple[str, ...], area: Area) -> None:
    """Decals by hand, spares, label."""
    for place, line in enumerate(says):
        pen.fitted(area.x, area.y + place * FINISH_ROW + 1.0, area.w, line, WORDS, "plain", 2.8)


def fit_asked(says: str, w: float, h: float) -> Fitted:
    """Every release and caution of the order, as large as they fit."""
    return fit_block(says, w, h, WORDS, 2.6)


def asked_height(found: Fitted) -> float:
    """Height of these lines."""
    return LEADING * found.size_mm * len(found.lines)


def fit_note(note: str, w: float, h: float) -> Fitted:
    """The order's free text, as large as it fits into a box of this height."""
    return fit_block(note, w - 4.0, h - 7.4, WORDS, 3.1)


def note_height(found: Fitted) -> float:
    """Height of the box round these lines."""
    return 7.4 + LEADING * found.size_mm * len(found.lines)


def draw_note(pen: Pen, title: str, found: Fitted, area: Area) -> None:
    """The order's free text in a box that says what it is; a cut shows, the rest is at the bench."""
    pen.box(area.x, area.y, area.w, area.h, THIN)
    pen.draw(Box(area.x, area.y, area.w, 5.2, fill="black"))
    pen.say(area.x + 2.0, pen.middle(area.y + 2.6, WORDS), title, WORDS, "bold", "left", True)
    words = "… = more at the bench address"
    pen.say(area.right - 2.0, pen.middle(area.y + 2.6, FINE), words, FINE, "plain", "right", True)
    pen.set(found, area.x + 2.0, area.y + 6.6)


def draw_customer(pen: Pen, words: str, area: Area) -> None:
    """What goes to the rider with the wheel."""
    pen.fitted(area.x, area.y + 0.4, area.w, words, 3.4, "plain", 2.8, 2)


def draw_verdict(pen: Pen, says: RecordSays, area: Area) -> None:
    """NOT JUDGED, printed; anything else has to be ticked and signed."""
    pen.box(area.x, area.y, area.w, area.h, BOLD)
    pen.draw(Box(area.x, area.y, 56.0, area.h, fill="black"))
    pen.say(area.x + 28.0, area.y + 9.0, says.verdict, 8.0, "bold", "middle", True)
    pen.say(area.x + 28.0, area.y + 14.0, "until ticked and signed", FINE, "plain", "middle", True)
    x = area.x + 59.0
    for words in says.verdicts:
        tick_box(pen, x, area.y + 2.2, 4.6)
        x += 6.0 + pen.say(x + 6.0, pen.middle(area.y + 4.5), words, READ, "bold") + 4.0
    base = area.bottom - 2.4
    x = area.x + 59.0
    for words, wide in (("judged by", 60.0), ("date, time", 60.0)):
        used = pen.say(x, base, words, FINE)
        pen.lines(((x + used + 1.0, base + 0.4, x + wide - 3.0, base + 0.4),), THIN)
        x += wide
