"""An order with other values put in on trial, and what its questions say of it then.

What they said of an order that is alike wherever they look is not asked again (`buildsheet.orders.alike`);
the changed order is only written out where something has to be asked.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Final, NamedTuple

from buildsheet.catalog.parts import Position
from buildsheet.findings import SEVERITIES, Value
from buildsheet.orders.again import Again, asked_again, brings_or_takes_a_wheel
from buildsheet.orders.alike import Said, Views, as_key, views
from buildsheet.orders.changes import Changes, changed, names_of, value_at, value_inside
from buildsheet.orders.checks import Question
from buildsheet.orders.judging import Judgement, key_of

RANK: Final = {severity: rank for rank, severity in enumerate(SEVERITIES)}

Name = tuple[str, Hashable]
"""A change, to be looked up by: its place and its value."""


class Put(NamedTuple):
    """Values put in at once: the changes, where they are made, and what each is known by."""

    changes: Changes
    places: tuple[str, ...]
    names: tuple[Name, ...]


def put(changes: Changes) -> Put:
    """The same changes, with all that is asked of them over and over."""
    return Put(
        changes, tuple([at for at, _ in changes]), tuple([_name(at, each) for at, each in changes])
    )


def _name(at: str, value: Value) -> Name:
    """Values may be objects, which cannot be looked up."""
    return at, str(value) if isinstance(value, dict | list) else value


@dataclass(frozen=True, slots=True)
class Touched:
    """A place of the views where a change may leave something else: its index, and what touches it of all
    that stays told. What stands there then is what stands in the value of one change, by the names of the
    members on the way (``within``); else ``within`` is None and the whole document has to be looked at."""

    index: int
    place: str
    marks: tuple[str, ...]
    change: int = 0
    within: tuple[str, ...] | None = None


@dataclass(frozen=True, slots=True)
class Where:
    """What follows from the places of changes alone: the questions to be asked again, what they may see,
    and whether the order may have other wheels."""

    again: Again
    touched: tuple[Touched, ...]
    other_wheels: bool


class Trials:
    """A document that values are put into on trial."""

    def __init__(self, before: Judgement) -> None:
        self.before = before
        self.views: Views = views(before.edition)
        self.which = _which(before)
        self._wheels: frozenset[Position] = frozenset(before.posted.positions)
        self._where: dict[tuple[str, ...], Where] = {}
        draft, places = before.reading.draft, self.views.places
        marks = self.views.marks(range(len(places)), before.told)
        self._values = [
            as_key(value_at(draft, place), mark) for place, mark in zip(places, marks, strict=True)
        ]

    def where(self, places: tuple[str, ...]) -> Where:
        """What follows from changes at these places, whatever they put there."""
        known = self._where.get(places)
        if known is None:
            known = self._where[places] = Where(
                asked_again(places, self._wheels, self.before.edition),
                tuple(self._touched(places)),
                brings_or_takes_a_wheel(places, self._wheels),
            )
        return known

    def _touched(self, places: tuple[str, ...]) -> Iterator[Touched]:
        at = self.views.touched(places)
        _, told = self.before.beside(places)
        for index, marks in zip(at, self.views.marks(at, told), strict=True):
            place = self.views.places[index]
            for change, changed_at in enumerate(places):
                if place == changed_at or place.startswith(changed_at + "/"):
                    within = names_of(place)[len(names_of(changed_at)) :]
                    yield Touched(index, place, marks, change, within)
                    break
            else:
                yield Touched(index, place, marks)

    def values(self, changes: Changes, touched: Iterable[Touched]) -> list[Hashable]:
        """What the document says at every place of the views, with these values put in."""
        values = self._values.copy()
        for each in touched:
            if each.within is None:
                stands = value_at(changed(self.before.reading.draft, changes), each.place)
            else:
                stands = value_inside(changes[each.change][1], each.within)
            values[each.index] = as_key(stands, each.marks)
        return values


class Trial:
    """A document with some values put in."""

    def __init__(self, trials: Trials, tried: Put) -> None:
        where = trials.where(tried.places)
        self._before = trials.before
        self._changes = tried.changes
        self._views = trials.views
        self._values = trials.values(tried.changes, where.touched)
        self._which = _which(self.judgement) if where.other_wheels else trials.which
        self._known: dict[int, dict[int, Said]] = {}

    @cached_property
    def judgement(self) -> Judgement:
        """The judgement of the whole document."""
        return self._before.after(self._changes)

    def said(self, question: Question) -> Said:
        """What a question raises of the document."""
        view = self._views.of[id(question)]
        known = self._known.get(view.number)
        if known is None:
            known = self._known[view.number] = self._of_all_alike(
                (view.number, self._which, view.take(self._values))
            )
        said = known.get(id(question))
        if said is None:
            said = known[id(question)] = self._ask(question)
        return said

    def _of_all_alike(self, key: Hashable) -> dict[int, Said]:
        """What is known of all orders with this key; whoever asks more adds to it."""
        known = self._views.known.get(key)
        if known is None:
            known = {}
            self._views.known.put(key, known)
        return known

    def _ask(self, question: Question) -> Said:
        judgement = self.judgement
        if question.of_computed and question.position in judgement.apart:
            return ()
        raised = judgement.answer(question)
        return tuple([(key_of(each.finding), RANK[each.finding.severity]) for each in raised])


def _which(judgement: Judgement) -> Hashable:
    """What an order is of and which wheels it has: every question depends on it, and says so nowhere."""
    return judgement.posted.kind, judgement.posted.positions
