"""A set of two wheels as PDF, beside the bare drawing library with the same strokes and strings.

Both run in one process, by turns, with the fonts registered before either is timed. The first row
forgets every string and QR code that an earlier printing remembered, as a new order finds it; the bare
way draws the codes, too, but is handed their modules. The whole way starts at the requests: words,
layout, ink. The bare way starts at a list of calls that was written down beforehand and does nothing
but make them. The bar is a median ratio of 1.5.
"""

from __future__ import annotations

import statistics
from collections.abc import Callable
from io import BytesIO
from time import perf_counter
from typing import Any

from reportlab.pdfgen.canvas import Canvas
from reportlab.pdfgen.pathobject import PDFPathObject

from buildsheet.sheet import SheetRequest, pdf
from buildsheet.sheet.code import dark_runs
from buildsheet.sheet.fonts import printable, width_share
from buildsheet.sheet.layout.fit import fit
from buildsheet.sheet.render import pages
from tests.sheet.wheels import request_of

ROUNDS = 41
BAR = 1.5

NEW = "a new order"
KNOWN_CODE = "its code known"
REMEMBERED = "printed again"

Call = tuple[str, tuple[Any, ...], dict[str, Any]]
DRAWN = ("drawString", "drawPath", "rect", "roundRect", "circle", "showPage")
SET = ("setPageSize", "setFont", "setLineWidth", "setDash", "setFillGray")
PATH = ("moveTo", "lineTo", "rect", "close")


def the_set() -> list[SheetRequest]:
    """Front and rear of one order."""
    return [
        request_of("disc front", wheel_of=(1, 2)),
        request_of("asymmetric rear", wheel_of=(2, 2), note="Please ring before delivery."),
    ]


class Written(Canvas):
    """A canvas that also writes down every call made on it and on its paths."""

    calls: list[Call]

    def __init__(self) -> None:
        super().__init__(BytesIO(), invariant=1, pageCompression=1)
        self.calls = []

    def beginPath(self) -> Any:  # noqa: N802 - the library's name
        return WrittenPath()


class WrittenPath(PDFPathObject):
    """A path with its own calls in order."""

    def __init__(self) -> None:
        super().__init__()
        self.calls: list[Call] = []


def _writes(kind: type, name: str) -> None:
    before = getattr(kind, name)

    def call(self: Any, *args: Any, **kwargs: Any) -> Any:
        kept = (tuple(args[0].calls), *args[1:]) if name == "drawPath" else args
        depth = getattr(self, "depth", 0)
        if depth == 0:  # what the library calls within itself is its own business
            self.calls.append((name, kept, kwargs))
        self.depth = depth + 1
        try:
            return before(self, *args, **kwargs)
        finally:
            self.depth = depth

    setattr(kind, name, call)


for _name in DRAWN + SET:
    _writes(Written, _name)
for _name in PATH:
    _writes(WrittenPath, _name)


def written(requests: list[SheetRequest]) -> list[Call]:
    """Every call that the sheets make on the library, in order."""
    from buildsheet.sheet.ink import pdf as ink

    canvas = Written()
    for request in requests:
        for page in pages(request):
            size = (page.w_mm * ink.POINTS_PER_MM, page.h_mm * ink.POINTS_PER_MM)
            canvas.setPageSize(size)
            ink._Ink(canvas, page.h_mm).page(page)
            canvas.showPage()
    return canvas.calls


def bare(calls: list[Call]) -> bytes:
    """The same calls made on a canvas of the library alone."""
    buffer = BytesIO()
    canvas = Canvas(buffer, invariant=1, pageCompression=1)
    for name, args, kwargs in calls:
        if name == "drawPath":
            path = canvas.beginPath()
            for step, numbers, _ in args[0]:
                getattr(path, step)(*numbers)
            canvas.drawPath(path, *args[1:], **kwargs)
        else:
            getattr(canvas, name)(*args, **kwargs)
    canvas.save()
    return buffer.getvalue()


def forget(*, codes: bool) -> None:
    """What was remembered of these strings: a set is not helped by an earlier printing of itself."""
    fit.cache_clear()
    width_share.cache_clear()
    printable.cache_clear()
    if codes:
        dark_runs.cache_clear()


def timed(make: Callable[[], bytes]) -> float:
    start = perf_counter()
    make()
    return (perf_counter() - start) * 1e3


def ratios(requests: list[SheetRequest], kind: str) -> list[tuple[float, float]]:
    """Milliseconds of both ways, by turns; which goes first changes every round."""
    calls = written(requests)
    found: list[tuple[float, float]] = []
    for place in range(ROUNDS):
        if kind != REMEMBERED:
            forget(codes=kind == NEW)
        if place % 2:
            alone = timed(lambda: bare(calls))
            whole = timed(lambda: pdf(requests))
        else:
            whole = timed(lambda: pdf(requests))
            alone = timed(lambda: bare(calls))
        found.append((whole, alone))
    return found


def main() -> None:
    requests = the_set()
    pdf(requests)  # fonts
    calls = written(requests)
    strings = sum(name == "drawString" for name, _, _ in calls)
    sizes = len(pdf(requests)), len(bare(calls))
    print(f"{len(calls)} calls, {strings} of them strings; {sizes[0]} and {sizes[1]} bytes")
    print(f"{'':18} {'whole ms':>9} {'bare ms':>9} {'ratio':>6}   bar {BAR}")
    for words in (NEW, KNOWN_CODE, REMEMBERED):
        found = ratios(requests, words)
        whole = statistics.median(each for each, _ in found)
        alone = statistics.median(each for _, each in found)
        ratio = statistics.median(one / other for one, other in found)
        print(f"{words:18} {whole:9.2f} {alone:9.2f} {ratio:6.2f}")


if __name__ == "__main__":
    main()
