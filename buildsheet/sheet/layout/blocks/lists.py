"""Parts, checks, limits, steps, cautions, warnings."""

from __future__ import annotations

from buildsheet.sheet.content.says import Named, PickSays, Release
from buildsheet.sheet.layout.fit import fit
from buildsheet.sheet.layout.marks import tick_box
from buildsheet.sheet.layout.paper import Area
from buildsheet.sheet.layout.pen import BOLD, FINE, LEADING, READ, THIN, Pen, capital
from buildsheet.sheet.layout.primitives import Box

ROW = 5.9


def draw_title(pen: Pen, x: float, y: float, w: float, number: str, words: str) -> float:
    """A block's number and name over a rule; the y to go on from comes back."""
    pen.draw(Box(x, y, w, 0.7, fill="black"))
    pen.draw(Box(x, y, 6.4, 6.4, fill="black"))
    pen.say(x + 3.2, y + 3.2 + capital(READ) / 2, number, READ, "bold", "middle", True)
    pen.say(x + 8.2, y + 1.9 + capital(READ), words, READ, "bold")
    return y + 7.4


def draw_parts(pen: Pen, says: tuple[PickSays, ...], area: Area) -> None:
    """One row for each part: box, count, code in bold, name, spare, place."""
    row = min(ROW, area.h / max(1, len(says)))
    for place, part in enumerate(says):
        y = area.y + place * row
        tick_box(pen, area.x, y + (row - 4.2) / 2, 4.2)
        base = y + (row + capital(READ)) / 2
        pen.say(area.x + 6.0, base, f"{part.count} ×", READ, "bold")
        words = f"{part.code}  {part.spare}" if part.spare else part.code
        wide = fit(words, area.w - 20.0, READ, face="bold", floor_mm=3.4)
        pen.set(wide, area.x + 19.0, base - capital(wide.size_mm), area.w - 20.0, "bold")


def draw_checks(pen: Pen, says: tuple[Named, ...], area: Area) -> None:
    """Side by side: a box to tick, the name, the value to find."""
    for check, cell in zip(says, area.columns(*[1.0] * len(says), gap=2.0), strict=True):
        tick_box(pen, cell.x, cell.y, 4.6)
        pen.fitted(cell.x + 6.0, cell.y + 0.4, cell.w - 6.0, check.name, READ, floor=3.0)
        pen.fitted(
            cell.x + 6.0, cell.y + 6.0, cell.w - 6.0, check.value, READ, face="bold", floor=3.2
        )


def draw_limits(pen: Pen, says: tuple[Named, ...], area: Area) -> None:
    """Name, value, how it is read."""
    row = area.h / len(says)
    for place, limit in enumerate(says):
        base = area.y + place * row + capital(READ)
        pen.say(area.x, base, limit.name, READ)
        pen.say(area.x + 18.0, base, limit.value, READ, "bold")
        x = area.x + 45.0
        pen.fitted(x, base - capital(READ), area.right - x, limit.meant, READ, floor=3.2)


def draw_steps(pen: Pen, says: tuple[str, ...], area: Area) -> float:
    """Numbered, in the order of work."""
    y = area.y
    for number, step in enumerate(says, start=1):
        pen.say(area.x, y + capital(READ), str(number), READ, "bold")
        y = pen.fitted(area.x + 5.0, y, area.w - 5.0, step, READ, lines=2, floor=3.6) + 0.9
    return y


def draw_cautions(pen: Pen, says: tuple[str, ...], area: Area) -> None:
    """The house's cautions, always the same words in the same place."""
    row = area.h / len(says)
    for place, caution in enumerate(says):
        y = area.y + place * row
        pen.draw(Box(area.x, y + 0.6, 2.0, 2.0, fill="black"))
        pen.fitted(area.x + 4.0, y, area.w - 4.0, caution, READ, floor=3.4)


def draw_warned(pen: Pen, says: tuple[str, ...], area: Area) -> None:
    """What this order was warned of; what does not fit is counted aloud."""
    room = int((area.h - 6.0) / (LEADING * READ))
    if not says or room < 1:
        return
    pen.say(area.x, area.y + capital(READ), "CAUTION for this wheel", READ, "bold")
    y, used = area.y + 6.4, 0
    for place, words in enumerate(says):
        left = len(says) - place - 1
        lines = max(1, min(3, room - used - (1 if left else 0)))
        if used >= room - (1 if left else 0) and left:
            pen.say(
                area.x, y + capital(READ), f"… {left + 1} more at the bench address", READ, "bold"
            )
            return
        found = fit(words, area.w, READ, floor_mm=3.6, lines=lines)
        y = pen.set(found, area.x, y, area.w) + 1.0
        used += len(found.lines)


def draw_releases(pen: Pen, says: tuple[Release, ...], area: Area) -> None:
    """What has to be released, why, and who signs."""
    pen.box(area.x, area.y, area.w, area.h, BOLD)
    inner = area.inset(2.0)
    pen.say(inner.x, inner.y + capital(READ), "RELEASE NEEDED", READ, "bold")
    y = inner.y + 6.0
    room = int((inner.h - 6.0 - 16.0) / (LEADING * READ))
    words = " ".join(f"{each.says} {each.reason}" for each in says)
    pen.fitted(inner.x, y, inner.w, words, READ, floor=3.4, lines=max(1, room))
    for place, label in enumerate(("name", "signature, date")):
        base = inner.bottom - 8.0 * (1 - place)
        pen.lines(((inner.x, base, inner.right, base),), THIN)
        pen.say(inner.x, base - 1.4, label, FINE)
