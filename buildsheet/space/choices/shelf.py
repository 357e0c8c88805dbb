"""What goes into orders of one kind for bicycles of one kind: wheels, lists, and what goes together."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Mapping
from dataclasses import dataclass
from threading import Lock
from typing import Final

import numpy as np

from buildsheet.catalog.edition import Edition
from buildsheet.findings import Value
from buildsheet.space.choices.columns import Columns, Flags, Numbers
from buildsheet.space.choices.part import Frame
from buildsheet.space.choices.places import asked_places, values_of
from buildsheet.space.choices.sorting import Sorted, sort_askings
from buildsheet.space.choices.tables import Tables, rows_passing
from buildsheet.space.choices.verdicts import Read, Verdicts
from buildsheet.space.counting import Space
from buildsheet.space.questions import Asking

SPACES_KEPT: Final = 64
"""For one kind of order: one for every set of members that an order names off the lists."""


@dataclass(frozen=True, eq=False)
class Layout:
    """Which askings bear on what, where the places in ``lists`` are those that can be chosen from."""

    lists: Mapping[str, tuple[Value, ...]]
    of_order: tuple[Sorted, ...]
    of_wheels: Mapping[str, tuple[Sorted, ...]]
    together: tuple[Sorted, ...]

    @property
    def fixed(self) -> tuple[str, ...]:
        """Places outside the lists that bear on what goes together."""
        return tuple(dict.fromkeys(at for each in self.together for at in each.fixed))


class Shelf:
    """The wheels, lists and checks of orders of one kind for bicycles of one kind of brake."""

    def __init__(
        self,
        frame: Frame,
        edition: Edition,
        columns: tuple[Columns, ...],
        askings: tuple[Asking, ...],
        verdicts: Verdicts,
    ) -> None:
        self.frame = frame
        self.verdicts = verdicts
        self.columns = columns
        self._askings = askings
        self.asked = asked_places(frame.kind, frame.brake)
        self.lists = {at: values_of(at, edition) for at in self.asked}
        self.rows: Mapping[str, Numbers] = {
            each.position: np.flatnonzero(self._passing(each)) for each in self.columns
        }
        self._layouts: dict[frozenset[str], Layout] = {}
        self._spaces: OrderedDict[tuple[object, ...], Space] = OrderedDict()
        self._lock = Lock()

    def _passing(self, columns: Columns) -> Flags:
        """Which wheels pass all that this kind of order and bicycle decides."""
        sort = sort_askings(self._askings, self.frame, self.columns, frozenset(self.asked))
        decided = [each for each in sort if each.wheels == (columns,) and each.decided]
        return rows_passing(columns, decided, self.frame.value, self.verdicts)

    def asks(self, at: str) -> bool:
        """Whether such an order says anything at this place."""
        whole = at.removesuffix("/left").removesuffix("/right")
        builds = any(at in each.places or whole in each.places for each in self.columns)
        return builds or at in self.lists or self.frame.value(at) is not None

    def layout(self, listed: frozenset[str]) -> Layout:
        """The layout where these places are chosen from their lists."""
        known = self._layouts.get(listed)
        if known is None:
            known = self._layouts[listed] = self._laid_out(listed)
        return known

    def _laid_out(self, listed: frozenset[str]) -> Layout:
        every = sort_askings(self._askings, self.frame, self.columns, listed)
        return Layout(
            {at: values for at, values in self.lists.items() if at in listed},
            tuple(each for each in every if each.bearing == "order"),
            {
                wheel.position: tuple(
                    each
                    for each in every
                    if each.bearing == "wheel" and each.wheels == (wheel,) and not each.decided
                )
                for wheel in self.columns
            },
            tuple(each for each in every if each.bearing == "together"),
        )

    def space(self, layout: Layout, fixed: Read) -> Space:
        """The space of this layout, where members without a list are ``fixed``; remembered."""
        names = frozenset(layout.lists)
        key = (names, *(repr(fixed(at)) for at in layout.fixed))
        with self._lock:
            known = self._spaces.get(key)
            if known is None:
                tables = Tables(self.verdicts, self.rows, layout.lists)
                known = self._spaces[key] = tables.space(layout.together, fixed)
                if len(self._spaces) > SPACES_KEPT:
                    self._spaces.popitem(last=False)
            return known
