"""Every finding with its ways out; those of orders that say the same are looked for once.

What a search comes to follows from what is built, for whom and for what use. Who orders, by when, and what
is noted beside it is no part of that: a shop that has one mistake in its list has it in hundreds of orders.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from hashlib import sha256
from typing import Final

from pydantic_core import to_json

from buildsheet.catalog.edition import Edition
from buildsheet.findings import Change, Finding, Value
from buildsheet.orders.alike import MOST_EDITIONS
from buildsheet.orders.checks import Question
from buildsheet.orders.judging import Judgement, Key, key_of
from buildsheet.orders.raised import Raised
from buildsheet.orders.search import Search
from buildsheet.remembered import Remembered, Same

SEARCHED: Final = ("kind", "market", "edition_seen", "use", "front", "rear", "finish")
"""Members of an order that a search looks at. Of the others no check reads any but the note, and nothing is
on offer that changes what is said of a note."""

MOST_KEPT: Final = 1024
"""Orders of an edition whose ways out are kept: some five kilobytes each."""


@dataclass(frozen=True, slots=True)
class Ways:
    """The ways out of one finding, as it shows them."""

    single: tuple[Change, ...] = ()
    together: tuple[Mapping[str, Value], ...] = ()


_NONE: Final = Ways()


def with_ways_out(judged: Judgement, before_search: Callable[[], None]) -> list[Finding]:
    """Every finding of a judgement, with what clears it. ``before_search`` is called before ways out are
    looked for, which takes far longer than the findings did."""
    said = [*judged.everything()]
    if not any(_has_ways(raised) for raised, _ in said):
        return [raised.finding for raised, _ in said]
    kept, at = _kept(Same(judged.edition)), _searched(judged)
    ways = kept.get(at)
    if ways is None:
        before_search()
        ways = _found(judged, said)
        kept.put(at, ways)
    return [_with(raised.finding, ways) if ways else raised.finding for raised, _ in said]


def _has_ways(raised: Raised) -> bool:
    return bool(raised.ways) and raised.finding.severity != "note"


@lru_cache(maxsize=MOST_EDITIONS)
def _kept(_: Same[Edition]) -> Remembered[Mapping[Key, Ways]]:
    return Remembered(MOST_KEPT)


def forget() -> None:
    """Forget every search: for tests that want to see one made."""
    _kept.cache_clear()


def _searched(judged: Judgement) -> bytes:
    """What a search looks at in a document, as a digest of its text and of the faults of its text."""
    document = judged.parsed.document or {}
    faults = [
        (at, fault.code)
        for at, fault in judged.parsed.faults.items()
        if at.split("/", 2)[1:2] and at.split("/", 2)[1] in SEARCHED
    ]
    return sha256(to_json(([document.get(each) for each in SEARCHED], faults))).digest()


def _found(judged: Judgement, said: Iterable[tuple[Raised, Question | None]]) -> Mapping[Key, Ways]:
    """The ways out of all findings that have any."""
    search = Search(judged)
    found = {
        key_of(raised.finding): _looked_for(search, raised, asked)
        for raised, asked in said
        if _has_ways(raised)
    }
    return {key: ways for key, ways in found.items() if ways != _NONE}


def _looked_for(search: Search, raised: Raised, asked: Question | None) -> Ways:
    single = search.single(raised, asked)
    if single or not raised.finding.blocks:
        return Ways(single)
    return Ways(together=search.together(raised, asked))


def _with(finding: Finding, ways: Mapping[Key, Ways]) -> Finding:
    found = ways.get(key_of(finding))
    if found is None:
        return finding
    return replace(finding, try_=found.single, together=found.together)
