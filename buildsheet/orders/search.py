"""Ways out: the changes of an order that clear a finding and break nothing else, all of them proved.

No rule is turned round to guess at a way out. Every value that the catalog offers at a place that
may clear the finding is put there, the whole order is judged again, and the value is kept only if
the finding is gone and nothing as bad has come. Judgements are shared between findings.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from itertools import combinations, islice, product
from typing import Final

from buildsheet.catalog.edition import Edition
from buildsheet.findings import SEVERITIES, Change, Finding, Value
from buildsheet.orders.changes import Changes, changed, values_at
from buildsheet.orders.judging import Judgement, Key, judge, key_of
from buildsheet.orders.raised import Raised
from buildsheet.orders.text import Parsed

MOST_VALUES: Final = 12
"""More values than this at one place help nobody to choose."""

MOST_PAIRS: Final = 3
PAIRS_TRIED: Final = 400
"""Bounds the answer's time where nothing helps; a demo wheel has about 300 pairs."""

RANK: Final = {severity: rank for rank, severity in enumerate(SEVERITIES)}


class Search:
    """The ways out of one document's findings. Remembers every judgement it made."""

    def __init__(self, parsed: Parsed, edition: Edition, before: Judgement) -> None:
        self._parsed = parsed
        self._document: Mapping[str, Value] = parsed.document or {}
        self._edition = edition
        self._before = before
        self._judged: dict[str, Judgement] = {}

    def single(self, raised: Raised) -> tuple[Change, ...]:
        """Single changes that clear the finding, by place in the order the check names them."""
        found: list[Change] = []
        for at in dict.fromkeys(raised.ways):
            values = (
                value
                for value in values_at(at, self._edition, self._document)
                if self._clears(raised.finding, ((at, value),))
            )
            kept = tuple(islice(values, MOST_VALUES))
            if kept:
                found.append(Change(at, kept))
        return tuple(found)

    def pairs(self, raised: Raised) -> tuple[Mapping[str, Value], ...]:
        """Pairs of changes that clear the finding where no single one does; the first few."""
        clearing = (
            dict(changes)
            for changes in islice(self._pairs(raised), PAIRS_TRIED)
            if self._clears(raised.finding, changes)
        )
        return tuple(islice(clearing, MOST_PAIRS))

    def _pairs(self, raised: Raised) -> Iterator[Changes]:
        places = [*dict.fromkeys((*raised.ways, *raised.together))]
        for first, second in combinations(places, 2):
            if first not in raised.ways or first.startswith(second) or second.startswith(first):
                continue
            yield from (
                ((first, one), (second, other))
                for one, other in product(
                    values_at(first, self._edition, self._document),
                    values_at(second, self._edition, self._document),
                )
            )

    def _clears(self, finding: Finding, changes: Changes) -> bool:
        after = self._after(changes)
        if self._new_or_same(finding, after.cheap_keys, self._before.cheap_keys):
            return False
        return not self._new_or_same(finding, after.structural_keys, self._before.structural_keys)

    def _new_or_same(
        self, finding: Finding, after: Mapping[Key, str], before: Mapping[Key, str]
    ) -> bool:
        """Whether the finding is still there, or another at least as bad has come."""
        if key_of(finding) in after:
            return True
        bar = RANK[finding.severity]
        return any(
            RANK[severity] <= bar and RANK[before.get(key, "note")] > RANK[severity]
            for key, severity in after.items()
        )

    def _after(self, changes: Changes) -> Judgement:
        name = json.dumps(changes, sort_keys=True)
        if name not in self._judged:
            places = tuple(at for at, _ in changes)
            faults = {
                at: fault
                for at, fault in self._parsed.faults.items()
                if not any(at == place or at.startswith(place + "/") for place in places)
            }
            document = changed(self._document, changes)
            self._judged[name] = judge(Parsed(document, faults), self._edition)
        return self._judged[name]
