"""Ways out: the changes of an order that clear a finding and break nothing else, all of them proved.

No rule is turned round to guess at a way out. Every value that the catalog offers at a place that
may clear the finding is put there, the whole order is judged again, and the value is kept only if
the finding is gone and nothing as bad has come. Judgements are shared between findings.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping
from functools import cached_property
from itertools import chain, combinations, islice, product
from typing import Final

from buildsheet.findings import SEVERITIES, Change, Value
from buildsheet.orders.again import Again, asked_again
from buildsheet.orders.changes import Changes, companions, values_at
from buildsheet.orders.checks import Question
from buildsheet.orders.judging import Judgement, Key, key_of
from buildsheet.orders.raised import Raised

MOST_VALUES: Final = 12
"""More values than this at one place help nobody to choose."""

MOST_SETS: Final = 3
SETS_TRIED: Final = 300
"""For one finding; the demo's wheels have up to 300 pairs of changes worth trying."""

SETS_IN_ALL: Final = 700
"""For one order: bounds the time of an answer that has nothing to offer."""

Name = tuple[str, Hashable]
"""A change, to be looked up by: its place and its value."""

Mark = Key | int
"""Why a change failed: it leaves a finding (its key), or brings something as bad as a rank."""

RANK: Final = {severity: rank for rank, severity in enumerate(SEVERITIES)}


class Search:
    """The ways out of one document's findings. Remembers every judgement it made."""

    def __init__(self, before: Judgement) -> None:
        self._before = before
        self._judged: dict[tuple[Name, ...], Judgement] = {}
        self._sets_left = SETS_IN_ALL
        self._against: dict[tuple[Name, Mark], Question] = {}
        self._asked_again: dict[tuple[str, ...], Again] = {}
        self._offered: dict[str, tuple[Value, ...]] = {}
        self._wheels = frozenset(before.posted.positions)

    @cached_property
    def _ranks(self) -> dict[Key, int]:
        return {
            key_of(raised.finding): RANK[raised.finding.severity]
            for raised, _ in self._before.everything()
        }

    def sound(self, changes: Changes) -> Judgement | None:
        """The judgement after the changes, where they bring neither a new block nor a new approval."""
        after = self._after(changes)
        return after if self._brings_nothing(after, changes, RANK["approval"]) else None

    def single(self, raised: Raised, asked: Question | None) -> tuple[Change, ...]:
        """Single changes that clear the finding, by place in the order the check names them."""
        found: list[Change] = []
        for at in dict.fromkeys(raised.ways):
            values = (
                value for value in self._values(at) if self._clears(raised, asked, ((at, value),))
            )
            kept = tuple(islice(values, MOST_VALUES))
            if kept:
                found.append(Change(at, kept))
        return tuple(found)

    def together(self, raised: Raised, asked: Question | None) -> tuple[Mapping[str, Value], ...]:
        """Changes made at once that clear the finding where no single one does: pairs, and where no
        pair helps, another hub with the spokes and the pattern that go with it.

        A few of them, and for each first change only the first that clears, so that offers differ.
        """
        for sets in (self._pairs(raised), self._hub_swaps(raised)):
            found = self._first_few(raised, asked, sets)
            if found:
                return found
        return ()

    def _first_few(
        self, raised: Raised, asked: Question | None, sets: Iterator[Changes]
    ) -> tuple[Mapping[str, Value], ...]:
        found: list[Mapping[str, Value]] = []
        begun: set[Name] = set()
        for changes in islice(sets, min(SETS_TRIED, self._sets_left)):
            self._sets_left -= 1
            first = _name(changes[0])
            if first not in begun and self._clears(raised, asked, changes):
                begun.add(first)
                found.append(dict(changes))
                if len(found) == MOST_SETS:
                    break
        return tuple(found)

    def _pairs(self, raised: Raised) -> Iterator[Changes]:
        places = [
            *dict.fromkeys((*raised.ways, *chain.from_iterable(map(companions, raised.ways))))
        ]
        for first, second in combinations(places, 2):
            if first not in raised.ways or first.startswith(second) or second.startswith(first):
                continue
            yield from (
                ((first, one), (second, other))
                for one, other in product(self._values(first), self._values(second))
            )

    def _hub_swaps(self, raised: Raised) -> Iterator[Changes]:
        for at in raised.ways:
            if not at.endswith("/hub"):
                continue
            wheel = at.removesuffix("/hub")
            places = (at, f"{wheel}/spoke", f"{wheel}/crossings")
            for values in product(*(self._values(place) for place in places)):
                yield tuple(zip(places, values, strict=True))

    def _values(self, at: str) -> tuple[Value, ...]:
        values = self._offered.get(at)
        if values is None:
            document = self._before.parsed.document or {}
            values = self._offered[at] = values_at(at, self._before.edition, document)
        return values

    def _clears(self, raised: Raised, asked: Question | None, changes: Changes) -> bool:
        """Whether the finding is gone after the changes, and nothing as bad has come."""
        bar, key = RANK[raised.finding.severity], key_of(raised.finding)
        if asked is not None and id(asked) not in self._again(changes).ids:
            return False  # what the check looks at is as it was
        if len(changes) > 1 and self._is_hopeless(changes, (key, bar)):
            return False
        after = self._after(changes)
        if asked is not None and any(key_of(each.finding) == key for each in after.answer(asked)):
            self._note(asked, changes, key)
            return False
        if not self._brings_nothing(after, changes, bar):
            return False
        return asked is not None or _is_gone(key, after)

    def _is_hopeless(self, changes: Changes, marks: tuple[Mark, ...]) -> bool:
        """Whether one of the changes failed by itself, for what a question said that the others leave as
        it is."""
        for change in changes:
            name = _name(change)
            spoke = [self._against[name, mark] for mark in marks if (name, mark) in self._against]
            if spoke:
                others = self._again(tuple(each for each in changes if each is not change))
                if any(id(each) not in others.ids for each in spoke):
                    return True
        return False

    def _note(self, question: Question, changes: Changes, mark: Mark) -> None:
        """Remember the question that speaks against a change made alone."""
        if len(changes) == 1:
            self._against[_name(changes[0]), mark] = question

    def _brings_nothing(self, after: Judgement, changes: Changes, bar: int) -> bool:
        """Whether nothing new is said that is as bad as ``bar`` or worse."""
        again = self._again(changes)
        for question in again.blocking if bar == RANK["block"] else again.questions:
            if question.of_computed and question.position in after.apart:
                continue
            answer = after.answer(question)
            if answer and any(self._is_new(each, bar) for each in answer):
                self._note(question, changes, bar)
                return False
        # the form comes last: catalog values are sound, so it is read again only to prove a way out
        return not any(self._is_new(each, bar) for each in after.form_again)

    def _again(self, changes: Changes) -> Again:
        """The questions that may have another answer after the changes."""
        places = tuple([at for at, _ in changes])
        again = self._asked_again.get(places)
        if again is None:
            again = asked_again(places, self._wheels, self._before.edition)
            self._asked_again[places] = again
        return again

    def _is_new(self, raised: Raised, bar: int) -> bool:
        rank = RANK[raised.finding.severity]
        return rank <= bar and self._ranks.get(key_of(raised.finding), len(RANK)) > rank

    def _after(self, changes: Changes) -> Judgement:
        name = tuple(map(_name, changes))
        if name not in self._judged:
            self._judged[name] = self._before.after(changes)
        return self._judged[name]


def _name(change: tuple[str, Value]) -> Name:
    """What one change is known by: values may be objects, which cannot be looked up."""
    at, value = change
    return at, str(value) if isinstance(value, dict | list) else value


def _is_gone(key: Key, after: Judgement) -> bool:
    """Whether the form does not say this any more."""
    code, at, _ = key
    if code != "pair.kind" and not any(f"{at}/".startswith(f"{each}/") for each in after.places):
        return False
    return all(key_of(each.finding) != key for each in after.form_again)
