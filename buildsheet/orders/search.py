"""Ways out: the changes of an order that clear a finding and break nothing else, all of them proved.

No rule is turned round to guess at a way out. Every value that the catalog offers at a place that
may clear the finding is put there, the whole order is judged again, and the value is kept only if
the finding is gone and nothing as bad has come. Judgements are shared between findings.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cached_property
from itertools import chain, combinations, islice, product
from typing import Final

from buildsheet.findings import Change, Value
from buildsheet.orders.changes import Changes, companions, values_at
from buildsheet.orders.checks import Question
from buildsheet.orders.judging import Judgement, Key, key_of
from buildsheet.orders.raised import Raised
from buildsheet.orders.trial import RANK, Name, Put, Trial, Trials, put

MOST_VALUES: Final = 12
"""More values than this at one place help nobody to choose."""

MOST_SETS: Final = 3
SETS_TRIED: Final = 300
"""For one finding; the demo's wheels have up to 300 pairs of changes worth trying."""

SETS_IN_ALL: Final = 700
"""For one order: bounds the time of an answer that has nothing to offer."""

Mark = Key | int
"""Why a change failed: it leaves a finding (its key), or brings something as bad as a rank."""


class Search:
    """The ways out of one document's findings. Remembers every judgement it made."""

    def __init__(self, before: Judgement) -> None:
        self._before = before
        self._tried: dict[tuple[Name, ...], Trial] = {}
        self._nothing_new: dict[tuple[tuple[Name, ...], int], bool] = {}
        self._sets_left = SETS_IN_ALL
        self._against: dict[tuple[Name, Mark], Question] = {}
        self._offered: dict[str, tuple[Put, ...]] = {}

    @cached_property
    def _trials(self) -> Trials:
        return Trials(self._before)

    @cached_property
    def _ranks(self) -> dict[Key, int]:
        return {
            key_of(raised.finding): RANK[raised.finding.severity]
            for raised, _ in self._before.everything()
        }

    def sound(self, changes: Changes) -> Judgement | None:
        """The judgement after the changes, where they bring neither a new block nor a new approval."""
        tried = put(changes)
        sound = self._brings_nothing(tried, RANK["approval"])
        return self._try(tried).judgement if sound else None

    def single(self, raised: Raised, asked: Question | None) -> tuple[Change, ...]:
        """Single changes that clear the finding, by place in the order the check names them."""
        found: list[Change] = []
        for at in dict.fromkeys(raised.ways):
            clearing = (each for each in self._offers(at) if self._clears(raised, asked, each))
            kept = tuple(each.changes[0][1] for each in islice(clearing, MOST_VALUES))
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
        self, raised: Raised, asked: Question | None, sets: Iterator[Put]
    ) -> tuple[Mapping[str, Value], ...]:
        found: list[Mapping[str, Value]] = []
        begun: set[Name] = set()
        for tried in islice(sets, min(SETS_TRIED, self._sets_left)):
            self._sets_left -= 1
            first = tried.names[0]
            if first not in begun and self._clears(raised, asked, tried):
                begun.add(first)
                found.append(dict(tried.changes))
                if len(found) == MOST_SETS:
                    break
        return tuple(found)

    def _pairs(self, raised: Raised) -> Iterator[Put]:
        places = [
            *dict.fromkeys((*raised.ways, *chain.from_iterable(map(companions, raised.ways))))
        ]
        for first, second in combinations(places, 2):
            if first not in raised.ways or first.startswith(second) or second.startswith(first):
                continue
            yield from self._sets(first, second)

    def _hub_swaps(self, raised: Raised) -> Iterator[Put]:
        for at in raised.ways:
            if at.endswith("/hub"):
                wheel = at.removesuffix("/hub")
                yield from self._sets(at, f"{wheel}/spoke", f"{wheel}/crossings")

    def _sets(self, *places: str) -> Iterator[Put]:
        """Every choice of one offer at each place."""
        for offers in product(*map(self._offers, places)):
            yield Put(
                tuple([each.changes[0] for each in offers]),
                places,
                tuple([each.names[0] for each in offers]),
            )

    def _offers(self, at: str) -> tuple[Put, ...]:
        offers = self._offered.get(at)
        if offers is None:
            document = self._before.parsed.document or {}
            values = values_at(at, self._before.edition, document)
            offers = self._offered[at] = tuple([put(((at, each),)) for each in values])
        return offers

    def _clears(self, raised: Raised, asked: Question | None, tried: Put) -> bool:
        """Whether the finding is gone after the changes, and nothing as bad has come."""
        if asked is not None and id(asked) not in self._trials.where(tried.places).again.ids:
            return False  # what the check looks at is as it was
        bar, key = RANK[raised.finding.severity], key_of(raised.finding)
        if len(tried.names) > 1 and self._is_hopeless(tried, (key, bar)):
            return False
        if asked is not None and self._still_says(asked, key, tried):
            return False
        if not self._brings_nothing(tried, bar):
            return False
        return asked is not None or _is_gone(key, self._try(tried).judgement)

    def _still_says(self, asked: Question, key: Key, tried: Put) -> bool:
        said = self._try(tried).said(asked)
        if not said or all(each != key for each, _ in said):
            return False
        self._note(asked, tried, key)
        return True

    def _is_hopeless(self, tried: Put, marks: tuple[Mark, ...]) -> bool:
        """Whether one of the changes failed by itself, for what a question said that the others leave as
        it is."""
        for at, name in enumerate(tried.names):
            spoke = [self._against[name, mark] for mark in marks if (name, mark) in self._against]
            if spoke:
                others = self._trials.where((*tried.places[:at], *tried.places[at + 1 :])).again
                if any(id(each) not in others.ids for each in spoke):
                    return True
        return False

    def _note(self, question: Question, tried: Put, mark: Mark) -> None:
        """Remember the question that speaks against a change made alone."""
        if len(tried.names) == 1:
            self._against[tried.names[0], mark] = question

    def _brings_nothing(self, tried: Put, bar: int) -> bool:
        """Whether nothing new is said that is as bad as ``bar`` or worse."""
        nothing = self._nothing_new.get((tried.names, bar))
        if nothing is None:
            nothing = self._nothing_new[tried.names, bar] = self._says_nothing_new(tried, bar)
        return nothing

    def _says_nothing_new(self, tried: Put, bar: int) -> bool:
        again, trial = self._trials.where(tried.places).again, self._try(tried)
        for question in again.blocking if bar == RANK["block"] else again.questions:
            said = trial.said(question)
            if said and any(self._is_new(key, rank, bar) for key, rank in said):
                self._note(question, tried, bar)
                return False
        # the form comes last: catalog values are sound, so it is read again only to prove a way out
        form = [each.finding for each in trial.judgement.form_again]
        return not any(self._is_new(key_of(each), RANK[each.severity], bar) for each in form)

    def _is_new(self, key: Key, rank: int, bar: int) -> bool:
        return rank <= bar and self._ranks.get(key, len(RANK)) > rank

    def _try(self, tried: Put) -> Trial:
        trial = self._tried.get(tried.names)
        if trial is None:
            trial = self._tried[tried.names] = Trial(self._trials, tried)
        return trial


def _is_gone(key: Key, after: Judgement) -> bool:
    """Whether the form does not say this any more."""
    code, at, _ = key
    if code != "pair.kind" and not any(f"{at}/".startswith(f"{each}/") for each in after.places):
        return False
    return all(key_of(each.finding) != key for each in after.form_again)
