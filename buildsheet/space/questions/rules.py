"""An edition's rules as askings: each asked by itself of the members that its facts follow from."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import lru_cache, partial
from typing import Final

from buildsheet.catalog.edition import Edition
from buildsheet.catalog.parts import Position
from buildsheet.catalog.rules.rule import Rule
from buildsheet.orders.checks import Question
from buildsheet.orders.checks.rule_members import BOTH_SIDES, CROSSINGS, OTHER_WHEEL, members_read
from buildsheet.orders.checks.rules import ORDER_TABLES, of_order, of_wheel
from buildsheet.orders.posted import Posted
from buildsheet.orders.raised import Raised
from buildsheet.space.questions.asking import RULES_FAMILY, Asking

POSITIONS: Final[tuple[Position, Position]] = ("front", "rear")


def rule_askings(edition: Edition) -> tuple[Asking, ...]:
    """The askings of every rule that counts in this edition, of scope part and wheel for either
    position; the same objects for the same rules."""
    return _askings(_Same(edition.rules), edition.number) if edition.rules else ()


class _Same:
    """A mapping of rules by identity: rules hold tables and cannot be hashed."""

    def __init__(self, rules: Mapping[str, Rule]) -> None:
        self.rules = rules

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Same) and self.rules is other.rules

    def __hash__(self) -> int:
        return id(self.rules)


@lru_cache(maxsize=64)
def _askings(same: _Same, edition: int) -> tuple[Asking, ...]:
    rules = (rule for rule in same.rules.values() if rule.asked_in(edition))
    return tuple(asking for rule in rules for asking in _of_rule(rule))


def _of_rule(rule: Rule) -> Iterator[Asking]:
    name = RULES_FAMILY + rule.id
    if rule.scope in ("set", "order"):
        yield Asking(Question(None, partial(_ask_order, rule), name), _places_of_order(rule))
        return
    for position in POSITIONS:
        question = Question(position, partial(_ask_wheel, rule, position), name)
        for members in _groups(rule):
            yield Asking(question, _places(members, position))


def _groups(rule: Rule) -> tuple[frozenset[str], ...]:
    """What the rule is asked of at once: a part rule about spokes, of either side by itself."""
    members = members_read(rule)
    if rule.scope == "part" and members == frozenset(BOTH_SIDES):
        return tuple(frozenset({side}) for side in BOTH_SIDES)
    return (members,)


def _places_of_order(rule: Rule) -> tuple[str, ...]:
    """Of a set, both wheels' members: the rule is asked of each wheel beside the other."""
    found: dict[str, None] = {}
    for position in POSITIONS if rule.scope == "set" else POSITIONS[:1]:
        found.update(dict.fromkeys(_places(members_read(rule), position)))
    return tuple(sorted(found))


def _places(members: frozenset[str], position: Position) -> tuple[str, ...]:
    """Members as places of the order; both sides of a pattern are one."""
    return tuple(dict.fromkeys(_place(member, position) for member in sorted(members)))


def _place(member: str, position: Position) -> str:
    if member.startswith(OTHER_WHEEL):
        other = POSITIONS[1] if position == POSITIONS[0] else POSITIONS[0]
        return _place(member.removeprefix(OTHER_WHEEL), other)
    if member in CROSSINGS:
        member = "crossings"
    of_order = member.split("/", 1)[0] in ORDER_TABLES
    return f"/{member}" if of_order else f"/{position}/{member}"


def _ask_wheel(rule: Rule, position: Position, posted: Posted) -> tuple[Raised, ...]:
    wheel = posted.wheel(position)
    return tuple(of_wheel(rule, wheel)) if wheel is not None else ()


def _ask_order(rule: Rule, posted: Posted) -> tuple[Raised, ...]:
    return tuple(of_order(rule, posted))
