"""Which questions a change of an order asks anew: those that look at a place that it touches.

What every check looks at stands in `buildsheet.orders.reads`, proved by tests; what an edition's rules
look at follows from their facts. All other answers stand as they were before the change.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache
from itertools import chain
from typing import Final

from buildsheet.catalog.edition import Edition
from buildsheet.catalog.parts import Position
from buildsheet.orders.checks import QUESTIONS, Question
from buildsheet.orders.checks.rule_members import OTHER_WHEEL, members_told
from buildsheet.orders.checks.rules import ORDER_TABLES, asked_by
from buildsheet.orders.reads import RULES_FAMILY, reads_of

_POSITIONS: Final[frozenset[Position]] = frozenset({"front", "rear"})
_WHOLE: Final = frozenset({"/kind", "/front", "/rear"})
"""Places that decide which wheels there are."""


@dataclass(frozen=True, slots=True)
class Again:
    """Questions, those of them that can block, and all their identities: hashing a question costs more
    than asking most of them."""

    questions: tuple[Question, ...]
    blocking: tuple[Question, ...]
    ids: frozenset[int]


def _again(questions: Iterable[Question]) -> Again:
    asked = tuple(questions)
    return Again(asked, tuple(filter(_can_block, asked)), frozenset(map(id, asked)))


def _can_block(question: Question) -> bool:
    """Whether a check has groups that it blocks for; what a rule does is for its edition to say."""
    return question.check.startswith(RULES_FAMILY) or bool(reads_of(question).groups)


def asked_again(places: tuple[str, ...], wheels: frozenset[Position], edition: Edition) -> Again:
    """The questions that may have another answer once other values stand at these places, cheap ones
    first. ``wheels`` are those that the order has: a change inside another one brings a wheel that
    nobody was asked about yet."""
    if brings_or_takes_a_wheel(places, wheels):
        return _asked_of(frozenset(at.split("/", 2)[1] for at in places))
    return _asked_again(places, _RulesOf(edition))


def looked_at(question: Question, edition: Edition) -> frozenset[str]:
    """Every place that a question reads: where two orders say the same there, they get the same answer."""
    return _looked_at(question, _RulesOf(edition))


def touches(at: str, read: str) -> bool:
    """Whether a change at one place changes what is read at another: the same, inside it, or round it."""
    return at == read or _is_inside(at, read[1:]) or _is_inside(read, at[1:])


def brings_or_takes_a_wheel(places: tuple[str, ...], wheels: frozenset[Position]) -> bool:
    """Whether changes there may leave an order with other wheels than those that it has."""
    return not _WHOLE.isdisjoint(places) or any(
        _is_inside(at, each) for at in places for each in _POSITIONS - wheels
    )


class _RulesOf:
    """An edition as far as its rules go: the key that remembers which questions read what."""

    def __init__(self, edition: Edition) -> None:
        self.edition = edition

    def __eq__(self, other: object) -> bool:
        return (
            isinstance(other, _RulesOf)
            and self.edition.rules is other.edition.rules
            and self.edition.number == other.edition.number
        )

    def __hash__(self) -> int:
        return id(self.edition.rules)


@lru_cache(maxsize=256)
def _asked_of(members: frozenset[str]) -> Again:
    """Every question, but those about a wheel where only the other wheel changes."""
    if not members <= _POSITIONS:
        return _again(QUESTIONS)
    return _again(each for each in QUESTIONS if each.position is None or each.position in members)


@lru_cache(maxsize=4096)
def _asked_again(places: tuple[str, ...], rules: _RulesOf) -> Again:
    return _again(
        question
        for question in QUESTIONS
        if any(touches(at, read) for read in _looked_at(question, rules) for at in places)
    )


@lru_cache(maxsize=2048)
def _looked_at(question: Question, rules: _RulesOf) -> frozenset[str]:
    if not question.check.startswith(RULES_FAMILY):
        reads = reads_of(question)
        return frozenset(chain(reads.beside, *reads.groups))
    asked = asked_by(question.check.removeprefix(RULES_FAMILY), rules.edition)
    told = frozenset(chain.from_iterable(map(members_told, asked)))
    return frozenset(at for member in told for at in _places_of(member, question.position))


def _places_of(member: str, position: Position | None) -> Iterator[str]:
    """Where a rule's member may stand: in either wheel, where it is asked of both or of the other one."""
    inside = member.removeprefix(OTHER_WHEEL)
    if inside.split("/", 1)[0] in ORDER_TABLES:
        yield f"/{inside}"
    elif position is None or inside != member:
        yield from (f"/{each}/{inside}" for each in sorted(_POSITIONS))
    else:
        yield f"/{position}/{inside}"


def _is_inside(at: str, place: str) -> bool:
    return at.startswith(f"/{place}/")
