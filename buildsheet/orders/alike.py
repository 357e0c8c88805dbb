"""Orders that say the same wherever a question looks get the same answer to it: it is asked once for all
of them.

What a question looks at is what `buildsheet.orders.again` says; the kind and the wheels of an order are
part of every key beside it. Only what a search for ways out has to know is kept: which findings, how bad.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import chain
from operator import itemgetter
from typing import Final

from buildsheet.catalog.edition import Edition
from buildsheet.findings import Value
from buildsheet.orders.again import looked_at, touches
from buildsheet.orders.checks import QUESTIONS
from buildsheet.orders.judging import Key
from buildsheet.remembered import Remembered, Same

MOST_KEPT: Final = 20_000
"""Keys of an edition's answers, each for up to a dozen questions that look at the same places."""

MOST_EDITIONS: Final = 4

Said = tuple[tuple[Key, int], ...]
"""What one question raised: the key of each finding and the rank of its severity."""


@dataclass(frozen=True, slots=True)
class View:
    """What a question looks at: ``take`` picks it, as a key, out of what an order says at all places.
    Questions that look at the same places share a ``number``."""

    number: int
    take: Callable[[Sequence[Hashable]], Hashable]


class Views:
    """The places that an edition's questions look at, and what is known to be said of orders there."""

    def __init__(self, edition: Edition) -> None:
        looked = {id(each): tuple(sorted(looked_at(each, edition))) for each in QUESTIONS}
        self.places = tuple(sorted(set(chain.from_iterable(looked.values()))))
        self._roots = frozenset(place.split("/", 2)[1] for place in self.places)
        index = {place: at for at, place in enumerate(self.places)}
        numbers = {places: number for number, places in enumerate(dict.fromkeys(looked.values()))}
        self.of: Mapping[int, View] = {
            question: View(numbers[places], _picking([index[each] for each in places]))
            for question, places in looked.items()
        }
        """By the identity of each question."""
        self.known: Remembered[dict[int, Said]] = Remembered(MOST_KEPT)
        self._touched: dict[tuple[str, ...], tuple[int, ...]] = {}

    def touched(self, places: tuple[str, ...]) -> tuple[int, ...]:
        """Where in `places` something else may stand once other values stand at these ones."""
        known = self._touched.get(places)
        if known is None:
            known = self._touched[places] = tuple(
                index
                for index, read in enumerate(self.places)
                if any(touches(at, read) for at in places)
            )
        return known

    def marks(self, at: Iterable[int], told: frozenset[str]) -> list[tuple[str, ...]]:
        """What of all that is ``told`` touches each of these places, by their index: a check that finds
        nothing at its place asks whether that is told already."""
        inside = _by_what_is_round(each for each in told if each.split("/", 2)[1] in self._roots)
        return [
            (*inside.get(place, ()), *(each for each in _round(place) if each in told))
            for place in map(self.places.__getitem__, at)
        ]


def _picking(at: Sequence[int]) -> Callable[[Sequence[Hashable]], Hashable]:
    return itemgetter(*at) if at else len


def as_key(value: Value, marks: tuple[str, ...]) -> Hashable:
    """What stands at one place and touches it, to be looked up by. All that may stand at one place is of
    one type: what is not is no part of what is judged."""
    key: Hashable = ("object", str(value)) if isinstance(value, dict | list) else value
    return (key, marks) if marks else key


def _by_what_is_round(told: Iterable[str]) -> Mapping[str, list[str]]:
    """Place -> what is told at it and inside it."""
    inside: dict[str, list[str]] = {}
    for each in sorted(told):
        for place in (each, *_round(each)):
            inside.setdefault(place, []).append(each)
    return inside


def _round(place: str) -> Iterator[str]:
    """The objects round a place, from the inside.

    >>> list(_round("/front/spoke/left"))
    ['/front/spoke', '/front']
    """
    while place := place.rpartition("/")[0]:
        yield place


def views(edition: Edition) -> Views:
    """The views of an edition's questions, the same ones each time."""
    return _views(Same(edition))


@lru_cache(maxsize=MOST_EDITIONS)
def _views(same: Same[Edition]) -> Views:
    return Views(same.it)


def forget() -> None:
    """Forget every answer: for tests that want to see one given."""
    _views.cache_clear()
