"""What could be ordered instead of an order whose parts are short: changes that can be built.

Whether a changed order can be built, and how near it is to what was ordered, has nothing to do with the
shelves, so that is found once for a document, and remembered; which of the changes the shelves can serve is
asked every time.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import islice, product
from typing import Final

from buildsheet.catalog.edition import Edition
from buildsheet.errors import CannotCompute, CannotLace
from buildsheet.findings import Value
from buildsheet.orders.changes import Changes, values_at
from buildsheet.orders.checks.finish import decals
from buildsheet.orders.judging import Judgement
from buildsheet.orders.reservation.nearness import Nearness, New, unlike
from buildsheet.orders.reservation.need import pieces
from buildsheet.orders.search import Search
from buildsheet.orders.text import sift
from buildsheet.plan.build import picked

MOST_TRIED: Final = 300
"""Changes tried for one place; the demo's wheels have some 200 worth trying."""

MOST_SETS: Final = 48
"""Sets of changes kept for one place, the nearest: the shelves may serve some of them only."""

_REMEMBERED: Final = 256

IDENTITY: Final = frozenset({"source", "number", "revision", "wanted_by", "note"})
"""Members that say who orders, not what is built."""

_WAYS: Final[Mapping[str, tuple[str, ...]]] = {
    "rim": ("rim", "holes"),
    "hub": ("hub", "holes"),
    "spoke": ("spoke", "crossings", "hub", "nipple", "washer", "holes", "rim"),
    "nipple_colour": ("nipple_colour", "nipple"),
    "washer": ("washer", "nipple"),
    "driver": ("driver",),
}
"""Members of a wheel that may make an article of this member needless, the nearest first."""

_SWAPPED: Final = ("hub", "spoke", "crossings")
"""What has to change together where a hub of another build takes the place of one."""


@dataclass(frozen=True, slots=True)
class Option:
    """Changes that can be built, what the changed order takes from the shelves, and how near it is to what
    was ordered."""

    changes: Changes
    takes: Mapping[str, int]
    nearness: Nearness


@dataclass(frozen=True, slots=True)
class Instead:
    """The changes that make one article needless, the nearest first: single ones, and sets made at once."""

    single: tuple[Option, ...]
    sets: tuple[Option, ...]


_found: dict[tuple[str, str, str], Instead] = {}


def instead(document: Mapping[str, Value], edition: Edition, at: str) -> Instead:
    """Every change round one place of the order that can be built without a release.

    ``at`` is the place that asks for the article: ``/front/spoke``, ``/finish/decal_colour``.
    """
    said = {name: value for name, value in document.items() if name not in IDENTITY}
    key = (edition.digest, json.dumps(said, sort_keys=True), at)
    known = _found.get(key)
    if known is None:
        known = _search(document, edition, at)
        if len(_found) >= _REMEMBERED:
            _found.clear()
        _found[key] = known
    return known


def _search(document: Mapping[str, Value], edition: Edition, at: str) -> Instead:
    sound = _Sound(Judgement(sift(document), edition))
    wheel, _, member = at.rpartition("/")
    places = tuple(f"{wheel}/{each}" for each in _WAYS.get(member, ()))
    if wheel == "/finish":
        places = ("/finish/decal_colour", "/finish/rear_decal_colour")
    singles = (
        ((place, value),) for place in places for value in values_at(place, edition, document)
    )
    swaps = _hub_swaps(wheel, edition, document) if member in ("hub", "spoke") else iter(())
    return Instead(sound.among(singles, MOST_TRIED), sound.among(swaps, MOST_SETS))


def _hub_swaps(wheel: str, edition: Edition, document: Mapping[str, Value]) -> Iterator[Changes]:
    """Another hub with other spokes, another pattern or both, those most like the ordered spokes first."""
    hub, *beside = (f"{wheel}/{each}" for each in _SWAPPED)
    hubs = [((hub, value),) for value in values_at(hub, edition, document)]
    others = [
        ((), *(((place, value),) for value in values_at(place, edition, document)))
        for place in beside
    ]
    swaps = [(*first, *second, *third) for first, second, third in product(hubs, *others)]
    swaps.sort(key=lambda changes: (unlike(changes, edition, document), len(changes)))
    return (changes for changes in swaps if len(changes) > 1)


class _Sound:
    """The changes of an order that can be built."""

    def __init__(self, judged: Judgement) -> None:
        self._judged = judged
        self._search = Search(judged)
        self._new = New(judged)

    def among(self, tried: Iterable[Changes], most: int) -> tuple[Option, ...]:
        """Those of the first `MOST_TRIED` that can be built without a release, the nearest first; what is
        as near stays in its order. Nothing is tried any more when so many bring nothing new."""
        found: list[Option] = []
        quiet = 0
        for changes in islice(tried, MOST_TRIED):
            after = self._search.sound(changes)
            takes = _takes(after) if after is not None else None
            if takes is None:
                continue
            nearness = self._nearness(changes)
            found.append(Option(changes, takes, nearness))
            quiet += nearness.cautions == 0
            if quiet == most:
                break
        return tuple(sorted(found, key=lambda option: option.nearness)[:most])

    def _nearness(self, changes: Changes) -> Nearness:
        document = self._judged.parsed.document or {}
        return Nearness(
            self._new.cautions(changes),
            unlike(changes, self._judged.edition, document),
            len(changes),
        )


def _takes(judged: Judgement) -> dict[str, int] | None:
    """What the order takes from the shelves; None where a wheel of it cannot be computed."""
    taken: dict[str, int] = {}
    for wheel in judged.posted.wheels:
        if wheel.computed is None:
            return None
        sets = tuple(each.code for each in decals(wheel))
        try:
            picks = picked(wheel.computed.assembly, wheel.edition, decals=sets)
        except (CannotCompute, CannotLace):
            return None
        for item, count in pieces(picks).items():
            taken[item] = taken.get(item, 0) + count
    return taken
