"""All that one edition offers, prepared to be asked what may still be chosen."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Mapping
from functools import cached_property
from threading import Lock
from typing import Final

from buildsheet.catalog.edition import Edition
from buildsheet.space.builds import builds_of
from buildsheet.space.choices.columns import Columns
from buildsheet.space.choices.part import Frame
from buildsheet.space.choices.places import POSITIONS, positions_in
from buildsheet.space.choices.shelf import Shelf
from buildsheet.space.choices.verdicts import Verdicts
from buildsheet.space.questions import Asking, askings_of

EDITIONS_KEPT: Final = 4


class Assortment:
    """One edition's sound wheels, its lists, and the answers of its checks."""

    def __init__(self, edition: Edition) -> None:
        self.edition = edition
        self.askings = askings_of(edition)
        builds = builds_of(edition)
        self.columns: tuple[Columns, ...] = tuple(
            Columns(builds[each], edition) for each in POSITIONS
        )
        self.verdicts = Verdicts(edition)
        self._shelves: dict[Frame, Shelf] = {}

    @cached_property
    def askings_by_place(self) -> Mapping[str, tuple[Asking, ...]]:
        """For each place, the askings that read it, cheap ones first."""
        found: dict[str, list[Asking]] = {}
        for asking in self.askings:
            for at in asking.reads:
                found.setdefault(at, []).append(asking)
        return {at: tuple(askings) for at, askings in found.items()}

    def shelf(self, frame: Frame) -> Shelf:
        """What goes into orders of one kind for one kind of bicycle."""
        known = self._shelves.get(frame)
        if known is None:
            columns = tuple(
                each for each in self.columns if each.position in positions_in(frame.kind)
            )
            known = Shelf(frame, self.edition, columns, self.askings, self.verdicts)
            self._shelves[frame] = known
        return known

    def of(self, position: str) -> Columns:
        """The wheels of a position."""
        return next(each for each in self.columns if each.position == position)


_assortments: OrderedDict[tuple[int, str], Assortment] = OrderedDict()
_taking = Lock()


def assortment_of(edition: Edition) -> Assortment:
    """The edition's assortment, prepared when it is first asked for and kept while it is in use."""
    key = (edition.number, edition.digest)
    with _taking:
        known = _assortments.get(key)
        if known is None:
            known = _assortments[key] = Assortment(edition)
        _assortments.move_to_end(key)
        while len(_assortments) > EDITIONS_KEPT:
            _assortments.popitem(last=False)
        return known
