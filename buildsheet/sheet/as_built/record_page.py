"""The record's page: everything that is known of one wheel, on one side of paper."""

from __future__ import annotations

from typing import Final

from buildsheet.sheet.as_built import figures, identity
from buildsheet.sheet.as_built.document import Recorded
from buildsheet.sheet.as_built.table import (
    FLOOR,
    HEAD,
    ROW,
    SIZE,
    draw_rows,
    draw_title,
    named_height,
)
from buildsheet.sheet.charts.run_out_round import draw_strip
from buildsheet.sheet.charts.tension_round import TensionRound, draw_tension_round, legend
from buildsheet.sheet.layout.blocks.identity import draw_position
from buildsheet.sheet.layout.fit import LEADING, Fitted, fit
from buildsheet.sheet.layout.paper import SIZES_MM, Area, printable_area
from buildsheet.sheet.layout.pen import BOLD, FINE, GOOD, Pen, capital
from buildsheet.sheet.layout.primitives import Box, Page
from buildsheet.sheet.request import Paper
from buildsheet.wheel.spec import SIDES, Side

BANNER: Final = 17.0
FOOT: Final = 8.0
GAP: Final = 2.2
MOST_PASSES: Final = 6
MOST_ROWS: Final = 18
"""More spokes of a side than that stand in two columns."""

_PICTURE: Final = 62.0
_LEAST_ROW: Final = 3.2
_STRIP: Final = 18.0
_LEGEND: Final = 9.0


def record_page(record: Recorded, paper: Paper) -> Page:
    """Identity, parts, people; tension as picture and by hole; figures; steps; digest."""
    pen, area = Pen(), printable_area(paper)
    draw_banner(pen, record, Area(area.x, area.y, area.w, BANNER), "AS-BUILT RECORD")
    y = _lists(pen, record, Area(area.x, area.y + BANNER + GAP, area.w, 0.0)) + GAP
    draw_foot(pen, record, area, "page 1 of 2")
    room = Area(area.x, y, area.w, area.bottom - FOOT - y)
    bottom = _below(pen, record, room, _least(record))
    _readings(pen, record, Area(area.x, y, area.w, bottom - GAP - y))
    title = f"As-built record {record.text('serial')}"
    return Page(*SIZES_MM[paper], title, tuple(pen.ink))


def draw_banner(pen: Pen, record: Recorded, area: Area, title: str) -> None:
    """The wheel's position and serial, and the word that counts."""
    draw_position(pen, record.text("position").upper(), Area(area.x, area.y, area.h, area.h))
    left, right = Area(area.x + area.h + 3.0, area.y, area.w - area.h - 3.0, area.h).columns(55, 45)
    pen.fitted(left.x, left.y, left.w, record.text("serial"), 8.4, "bold", 4.0)
    pen.say(left.x, left.y + 11.4, title, 3.8, "bold")
    pen.fitted(left.x, left.y + 13.6, left.w, record.text("workshop"), FINE)
    word = identity.verdict(record)
    white = word == identity.NO_CERTIFICATE
    pen.draw(Box(right.x, right.y, right.w, right.h, BOLD, "black" if white else "white"))
    pen.say(right.x + right.w / 2, right.y + 7.0, word, 5.4, "bold", "middle", white)
    _why(pen, identity.why(record), right, white=white)


def _why(pen: Pen, text: str, box: Area, *, white: bool) -> None:
    inner = Pen()
    inner.fitted(box.x + 2.0, box.y + 9.4, box.w - 4.0, text, FINE, "plain", FLOOR, 2)
    for each in inner.ink:
        pen.say(each.x_mm, each.y_mm, each.text, each.size_mm, white=white)  # type: ignore[union-attr]


def draw_foot(pen: Pen, record: Recorded, area: Area, page: str) -> None:
    """The digest over the record's content, and which page this is."""
    y = area.bottom - FOOT + 2.0
    pen.lines([(area.x, y, area.right, y)], BOLD)
    pen.fitted(area.x, y + 1.4, area.w - 24.0, f"digest {record.text('digest')}", FINE, "bold", 2.0)
    pen.say(area.right, y + 1.4 + capital(FINE), page, FINE, align="right")


def _lists(pen: Pen, record: Recorded, area: Area) -> float:
    """The three lists at the top; their lower edge comes back."""
    lists = (
        ("Order and sheet", identity.sheet_rows(record), (1.0, 2.1)),
        ("Parts", identity.part_rows(record), (1.0, 2.6)),
        ("People and gauge", identity.people_rows(record), (1.0, 1.9)),
    )
    lowest = area.y
    for place, (name, rows, shares) in zip(area.columns(56, 76, 56), lists, strict=True):
        y = draw_title(pen, name, place)
        lowest = max(lowest, draw_rows(pen, Area(place.x, y, place.w, 0.0), rows, shares))
    for name, text in (
        ("part batches", record.text("parts", "batches")),
        ("people", record.text("people")),
    ):
        lowest = 1.0 + pen.fitted(
            area.x, lowest + 1.2, area.w, f"{name}: {text}", SIZE, floor=FLOOR, lines=2
        )
    return lowest


def _least(record: Recorded) -> float:
    """Height that the readings need: every spoke readable, then the picture, then run-out by hole."""
    most = max(sum(each == side for each in record.sides) for side in SIDES)
    rows = most if most <= MOST_ROWS else -(-most // 2)
    strips = any(each.by_hole_mm for each in figures.strips(record))
    least = max(_PICTURE, HEAD + _LEAST_ROW * (rows + 1))
    return least + (_STRIP + GAP if strips else 0.0)


def _below(pen: Pen, record: Recorded, area: Area, least: float) -> float:
    """What stands at the foot of the page, from below; its upper edge comes back. ``least`` is what the
    readings above need: remarks beyond that are counted, and stand in the JSON record."""
    steps = identity.step_rows(record)
    passes = identity.pass_rows(record, MOST_PASSES)
    compared = figures.compared(record)
    beside = named_height(len(steps)) + 1.0 + named_height(len(passes))
    high = max(named_height(len(compared) + 1), beside)
    said = _remarks(record, area.w, area.h - least - high - 2.0 * GAP - HEAD - 1.0)
    y = area.bottom - HEAD - 1.0 - sum(_height(each) for each in said)
    top = draw_title(pen, "Said of the pass that counts", _at(area, y)) + 1.0
    for each in said:
        pen.set(each, area.x, top)
        top += _height(each)
    y -= GAP + high
    left, right = Area(area.x, y, area.w, high).columns(106, 86, gap=4.0)
    top = draw_title(pen, "Planned against measured", left)
    draw_rows(
        pen, Area(left.x, top, left.w, 0.0), compared, (3.0, 1.7, 3.0, 2.9), head=figures.HEAD
    )
    top = draw_title(pen, "Steps", right)
    top = draw_rows(pen, Area(right.x, top, right.w, 0.0), steps, (1.7, 1.9, 1.4))
    top = draw_title(pen, "Passes of readings", Area(right.x, top + 1.0, right.w, 0.0))
    draw_rows(pen, Area(right.x, top, right.w, 0.0), passes, (1.5, 1.0, 2.3, 1.1))
    return y


def _remarks(record: Recorded, w: float, room: float) -> list[Fitted]:
    """What was said of the pass that counts, as far as there is room, and how much more there is."""
    every = identity.remarks(record) or ("nothing" if record.at("measured") else "not recorded",)
    found = [fit(each, w, SIZE, floor_mm=2.4, lines=3) for each in every]
    shown = len(found)
    while shown and sum(_height(each) for each in found[:shown]) > room - 4.0 * (
        shown < len(found)
    ):
        shown -= 1
    if shown == len(found):
        return found
    more = f"{len(found) - shown} {'more ' if shown else ''}remarks stand in the JSON record"
    return [*found[:shown], fit(more, w, SIZE)]


def _height(found: Fitted) -> float:
    return (len(found.lines) - 1) * LEADING * found.size_mm + 4.0


def _at(area: Area, y: float) -> Area:
    return Area(area.x, y, area.w, 0.0)


def _readings(pen: Pen, record: Recorded, area: Area) -> None:
    """Tension and run-out as pictures, and every spoke by hole."""
    strips = [each for each in figures.strips(record) if each.by_hole_mm]
    strip_mm = min(26.0, 0.3 * area.h) if strips else 0.0
    if strips:
        y = area.bottom - strip_mm
        places = _at_height(area, y, strip_mm).columns(*(1 for _ in strips))
        for place, strip in zip(places, strips, strict=True):
            draw_strip(pen, strip, place)
    free = Area(area.x, area.y, area.w, area.h - strip_mm - (GAP if strips else 0.0))
    picture, tables = free.columns(92, 100, gap=3.0)
    _picture(pen, record, picture)
    for side, place in zip(SIDES, tables.columns(1, 1), strict=True):
        _spokes(pen, record, side, place)


def _at_height(area: Area, y: float, h: float) -> Area:
    return Area(area.x, y, area.w, h)


def chart_of(record: Recorded) -> TensionRound:
    """The record's tensions as the picture wants them."""
    return TensionRound(
        sides=record.sides,
        tension_n=record.tension_n,
        target_n=record.target_n,
        stop_n=record.number("planned", "stop_n") or 0.0,
        band_percent=record.number("planned", "allowed", "band_percent") or 1.0,
    )


def _picture(pen: Pen, record: Recorded, area: Area) -> None:
    y = draw_title(pen, "Tension round the wheel", area)
    chart = chart_of(record)
    if all(each is None for each in chart.tension_n):
        pen.say(area.x, y + 4.0, "not recorded", GOOD, "bold")
        return
    h = area.bottom - _LEGEND - y
    radius = min(area.w, h) / 2.0
    draw_tension_round(pen, chart, area.x + area.w / 2.0, y + h / 2.0, radius)
    top = area.bottom - _LEGEND + 0.6
    for line in legend(chart):
        top = pen.fitted(area.x, top, area.w, line, 2.3, floor=FLOOR) + 0.9


def _spokes(pen: Pen, record: Recorded, side: Side, area: Area) -> None:
    y = draw_title(pen, f"{side.upper()}, by rim hole", area)
    rows, unit = figures.reading_rows(record, side), figures.unit_of(record)
    columns = 1 if len(rows) <= MOST_ROWS else 2
    each = -(-len(rows) // columns)
    row = min(ROW + 1.0, (area.bottom - y) / (each + 1))
    middle = () if unit == "n" else (unit,)
    shares = (1.0, *(1.6 for _ in middle), 1.6, 1.5)
    chart = chart_of(record)
    places = Area(area.x, y, area.w, 0.0).columns(*(1 for _ in range(columns)), gap=2.0)
    for number, place in enumerate(places):
        here = rows[number * each : (number + 1) * each]
        outside = {at for at, cells in enumerate(here) if chart.outside(int(cells[0]))}
        head = ("hole", *middle, "N", "off mean %" if columns == 1 else "off %")
        draw_rows(pen, place, here, shares, row=row, bold=frozenset(outside), head=head)
