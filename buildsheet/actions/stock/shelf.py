"""What lies where, what is free, what comes, and what happened to one article."""

from __future__ import annotations

from dataclasses import dataclass

from buildsheet.actions.editions import NoEdition, running_edition
from buildsheet.actions.stock.holds import sweep_first
from buildsheet.actions.stock.move import line_of
from buildsheet.actions.workshop import Workshop
from buildsheet.catalog.stock import part_names
from buildsheet.findings import Value
from buildsheet.orders.reservation.shortage import still_to_come
from buildsheet.storage import stock
from buildsheet.storage.stock import Level, StoredMovement


@dataclass(frozen=True, slots=True)
class ShelfLine:
    """One article; ``coming`` is (day, pieces), the earliest first."""

    level: Level
    name: str
    coming: tuple[tuple[str, int], ...]

    def as_json(self) -> dict[str, Value]:
        """One line of the list."""
        return {**line_of(self.level, self.coming), "name": self.name}


@dataclass(frozen=True, slots=True)
class Shelf:
    """``kept`` False: nothing was ever counted here, so nothing can be short."""

    kept: bool
    lines: tuple[ShelfLine, ...]

    def as_json(self) -> dict[str, Value]:
        """The document of ``GET /stock``."""
        return {"kept": self.kept, "parts": [line.as_json() for line in self.lines]}


def show_shelf(workshop: Workshop, part: str | None = None) -> Shelf:
    """Every article, or those of one part: ``SSB9`` has all lengths, ``SSB9/267`` one."""
    sweep_first(workshop)
    try:
        names = part_names(running_edition(workshop))
    except NoEdition:
        names = {}
    with workshop.database.reading() as section:
        levels = stock.every_level(section)
        announced = stock.announced(section)
    lines = tuple(
        ShelfLine(
            level,
            names.get(level.item.partition("/")[0], ""),
            still_to_come(announced.get(level.item, ()), level.expected),
        )
        for level in levels
        if part is None or part in (level.item, level.item.partition("/")[0])
    )
    return Shelf(bool(levels), lines)


def history(workshop: Workshop, item: str) -> tuple[StoredMovement, ...]:
    """The newest movements of one article, newest first."""
    with workshop.database.reading() as section:
        return stock.movements_of(section, item)


def disagreements(workshop: Workshop) -> tuple[str, ...]:
    """Every article whose kept sums differ from its movements added up anew; none in a sound record."""
    with workshop.database.reading() as section:
        kept = {
            level.item: (level.shelf, level.held, level.expected)
            for level in stock.every_level(section)
        }
        added = stock.sums(section)
    return tuple(
        f"{item}: kept {kept.get(item)}, added up {added.get(item)}"
        for item in sorted({*kept, *added})
        if kept.get(item) != added.get(item)
    )
