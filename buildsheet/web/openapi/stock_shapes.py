"""What the routes of the shelves answer."""

from __future__ import annotations

from buildsheet.web.openapi.shapes import FindingShape, Shape


class Coming(Shape):
    """One delivery that is announced and has not come."""

    on: str
    pieces: int


class StockSums(Shape):
    """One article. `free` is `shelf` less `held`; below zero where a count was wrong. `expected` pieces are
    the deliveries of `coming` together, the earliest first."""

    part: str
    bin: str
    shelf: int
    held: int
    free: int
    expected: int
    coming: list[Coming]


class StockPart(StockSums):
    """One article with its name."""

    name: str


class StockList(Shape):
    """The shelves. `kept` false: nothing was ever counted, so nothing is held and nothing is short."""

    kept: bool
    parts: list[StockPart]


class MovementsAnswer(Shape):
    """A list that was entered: how many lines, the number of the last, the sums after them."""

    movements: int
    last: int
    parts: list[StockSums]
    findings: list[FindingShape]
