"""Laws of the two pages, whatever an order says: nothing leaves the margins, no text lies on text."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from buildsheet.sheet import SheetRequest
from buildsheet.sheet.fonts import NO_GLYPH, width_share
from buildsheet.sheet.layout.fit import CUT, fit
from buildsheet.sheet.layout.paper import MARGIN_MM
from buildsheet.sheet.layout.pen import capital
from buildsheet.sheet.layout.primitives import (
    Box,
    Cells,
    Disc,
    Outline,
    Page,
    Primitive,
    Strokes,
    Text,
)
from buildsheet.sheet.render import pages
from tests.sheet.pictures import finding, texts, words
from tests.sheet.wheels import WHEELS, request_of

TOUCH_MM = 0.15
"""Frames may share this much: they are drawn as high as a capital and as deep as a tail."""

LEAST_CAPITAL_MM = 3.3
"""16 arc-minutes at 700 mm; character size guidance that cites ISO 9241-3, read second-hand."""

WILD = (
    "",
    " ",
    "Ξάνθη, παρακαλώ",
    "Привет, мастер",
    "Huế cảm ơn",
    "שלום רב",
    "\u202eevil\u202c",
    "東京の車輪",
    "🚲🚲🚲",
    "\x00\x07\x1b[31m",
    "<b>bold</b> & <script>",
    "W" * 3000,
    "i" * 3000,
    "one\ntwo\r\nthree\n" * 30,
    "a\u0301" * 50,
    "word " * 600,
)
ANYTHING = st.one_of(st.sampled_from(WILD), st.text(max_size=400))
RELEASE = finding(
    "approval", "Spokes pass the next head by 3.0 mm.", "A leaning spoke breaks early."
)
PUMPED = replace(
    finding("note", "Never above 5 bar (73 psi) with a 32 mm tyre on rim OR33D."),
    code="tyre.pressure",
)
CAUTION = finding(
    "caution", "Reflective decals do not replace the reflectors that the law asks for."
)


def extent(ink: Primitive) -> tuple[float, float, float, float]:
    """Left, top, right, bottom of the ink, with half of the width of a frame's line."""
    found: list[tuple[float, float]] = []
    match ink:
        case Text():
            return ink.frame
        case Box():
            half = ink.width_mm / 2
            return (
                ink.x_mm - half,
                ink.y_mm - half,
                ink.x_mm + ink.w_mm + half,
                ink.y_mm + ink.h_mm + half,
            )
        case Disc():
            reach = ink.r_mm + ink.width_mm / 2
            return ink.x_mm - reach, ink.y_mm - reach, ink.x_mm + reach, ink.y_mm + reach
        case Strokes():
            found = [each for x1, y1, x2, y2 in ink.segments for each in ((x1, y1), (x2, y2))]
        case Outline():
            found = list(ink.points)
        case Cells():
            found = [each for x, y, w, h in ink.cells for each in ((x, y), (x + w, y + h))]
    xs, ys = [x for x, _ in found], [y for _, y in found]
    return min(xs), min(ys), max(xs), max(ys)


def outside(page: Page) -> list[Primitive]:
    """Ink beyond the margins; a frame's line may stand on the margin with half its width."""
    line = 0.65
    found: list[Primitive] = []
    for ink in page.ink:
        if isinstance(ink, Strokes) and not ink.segments:
            continue
        left, top, right, bottom = extent(ink)
        inside = left >= MARGIN_MM - line and top >= MARGIN_MM - line
        inside &= right <= page.w_mm - MARGIN_MM + line
        inside &= bottom <= page.h_mm - MARGIN_MM + line
        if not inside:
            found.append(ink)
    return found


def overlaps(page: Page) -> list[tuple[str, str]]:
    """Pairs of strings whose frames lie on each other."""
    found: list[tuple[str, str]] = []
    for one, other in combinations([text for text in texts(page) if text.text.strip()], 2):
        a, b = one.frame, other.frame
        wide = min(a[2], b[2]) - max(a[0], b[0])
        high = min(a[3], b[3]) - max(a[1], b[1])
        if wide > TOUCH_MM and high > TOUCH_MM and not _only_tails(one, other):
            found.append((one.text, other.text))
    return found


def _only_tails(one: Text, other: Text) -> bool:
    """Whether only the room below a baseline is shared, and no letter of the upper line uses it."""
    upper, lower = sorted((one, other), key=lambda text: text.y_mm)
    clear = lower.y_mm - capital(lower.size_mm) >= upper.y_mm - TOUCH_MM
    return clear and not set(upper.text) & set("gjpqyQ,;()")


def assert_tidy(request: SheetRequest) -> None:
    for page in pages(request):
        assert outside(page) == []
        assert overlaps(page) == []


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize(
    "findings", [(), (CAUTION,), (RELEASE,), (RELEASE, CAUTION, CAUTION, CAUTION, PUMPED)]
)
@pytest.mark.parametrize("name", WHEELS)
def test_every_wheel_fits_both_papers_with_and_without_a_release(name, findings, paper):
    assert_tidy(request_of(name, findings=findings, paper=paper, note="Please ring."))


@settings(max_examples=40)
@given(ANYTHING, ANYTHING, ANYTHING, ANYTHING, st.sampled_from(sorted(WHEELS)), st.booleans())
@example(*("W" * 3000,) * 4, "asymmetric rear", True)
@example(*("\u202e🚲\x07",) * 4, "asymmetric front", False)
def test_no_text_from_outside_leaves_its_place(number, source, serial, note, name, letter):
    request = request_of(
        name,
        order_number=number,
        source=source,
        serial=serial,
        note=note,
        findings=(finding("approval", source, note), finding("caution", note)),
        paper="Letter" if letter else "A4",
    )
    assert_tidy(request)


@given(ANYTHING, st.floats(5.0, 190.0), st.floats(2.4, 12.0), st.integers(1, 6))
def test_fitted_lines_are_never_wider_than_their_room_and_a_cut_has_a_sign(
    text, width, size, lines
):
    found = fit(text, width, size, floor_mm=2.4, lines=lines)
    assert len(found.lines) <= lines
    assert all(
        width_share(line, "plain") * found.size_mm <= width + 1e-6
        for line in found.lines
        if len(line) > 1
    )
    assert found.cut is (found.lines[-1].endswith(CUT) and found.cut)
    if not found.cut:
        kept = "".join(found.lines).replace(" ", "")
        assert len(kept) >= len("".join(text.split())) // 4 or NO_GLYPH in kept


def test_a_word_of_three_thousand_letters_is_cut_with_a_sign():
    assert any(
        text.startswith("WWW") and text.endswith(CUT) for text in words(note_of("W" * 3000), 1)
    )


def note_of(note: str) -> SheetRequest:
    return request_of(note=note)


@pytest.mark.parametrize(
    "note", ["Ξάνθη, παρακαλώ", "Привет, мастер", "Huế cảm ơn", "<b>bold</b> & co"]
)
def test_letters_the_face_has_are_printed_as_they_are(note):
    assert note in words(note_of(note), 1)


@pytest.mark.parametrize("note", ["東京", "🚲", "\x07\x1b", "\u202e"])
def test_what_cannot_be_printed_leaves_a_visible_mark(note):
    assert NO_GLYPH * len(note) in words(note_of(note), 1)


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("name", WHEELS)
def test_letters_needed_while_building_are_tall_enough(name, paper):
    """Of the building side. What may be smaller is listed: nobody needs it with a spoke in hand."""
    request = request_of(name, paper=paper)
    small = {
        text.text: capital(text.size_mm)
        for text in texts(pages(request)[0])
        if capital(text.size_mm) < LEAST_CAPITAL_MM and text.text
    }
    allowed = ("class ", "Oddmoor Wheelworks", "initials", "label")
    left = {words: high for words, high in small.items() if not words.startswith(allowed)}
    if request.plan.holes >= 32 and paper == "Letter":
        # So many beads on the smaller paper: the ring's numbers may lose a tenth.
        left = {words: high for words, high in left.items() if not words.isdigit() or high < 3.0}
    assert left == {}


@pytest.mark.parametrize("name", WHEELS)
def test_key_numbers_are_set_in_28_to_40_points(name):
    request = request_of(name)
    sizes: dict[str, float] = {}
    for text in texts(pages(request)[0]):
        sizes[text.text] = max(text.size_mm, sizes.get(text.text, 0.0))
    for spokes in (request.plan.spokes.left, request.plan.spokes.right):
        for number in (str(spokes.count), str(spokes.stock_mm)):
            assert 28.0 <= sizes[number] * 72.0 / 25.4 + 0.1 <= 40.0
