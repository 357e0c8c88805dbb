"""An edition's rules as askings: each asked by itself of the members that its facts follow from."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import lru_cache, partial
from typing import Final

from buildsheet.catalog.edition import Edition
from buildsheet.catalog.parts import Position
from buildsheet.catalog.rules.facts import OTHER, root_of
from buildsheet.catalog.rules.judge import judge, reads
from buildsheet.catalog.rules.rule import Fact, Rule
from buildsheet.findings import Value
from buildsheet.orders.checks import Question
from buildsheet.orders.checks.rule_members import (
    BOTH_SIDES,
    CROSSINGS,
    OTHER_WHEEL,
    members_of,
    members_read,
)
from buildsheet.orders.checks.rules import ORDER_TABLES, of_order, of_pair, of_wheel
from buildsheet.orders.posted import Posted, PostedWheel
from buildsheet.orders.raised import Raised
from buildsheet.orders.reads import RULES_FAMILY
from buildsheet.remembered import Same
from buildsheet.space.questions.asking import Asking, only

POSITIONS: Final[tuple[Position, Position]] = ("front", "rear")
PLAN: Final = "plan."
Planned = Mapping[str, Fact]
"""The facts of one wheel's plan, by name."""


def rule_askings(edition: Edition) -> tuple[RuleAsking, ...]:
    """The askings of every rule that counts in this edition, of scope part and wheel for either
    position; the same objects for the same rules."""
    return _askings(Same(edition.rules), edition.number) if edition.rules else ()


@dataclass(frozen=True, slots=True)
class RuleAsking(Asking):
    """One rule asked of its members. ``whose``: the wheel it is asked of, None for the whole order;
    ``beside``: what it reads apart from the plan; ``planned``: the facts of the plan that it reads."""

    rule: Rule = field(compare=False)
    whose: Position | None
    beside: tuple[str, ...]
    planned: tuple[str, ...]

    def blocks_with(
        self, document: Mapping[str, Value], edition: Edition, plans: Iterable[Planned]
    ) -> Iterator[bool]:
        """For each plan of the wheel that it is asked of, whether the rule blocks. Only ``beside`` is
        looked at, and nothing computed."""
        posted = Posted(self.part(document, self.beside), edition)
        wheel = posted.wheel(self.whose or "")
        other = posted.wheel(wheel.other) if wheel is not None else None
        for planned in plans:
            if wheel is None:
                yield False
            elif self.rule.scope != "set":
                yield _any_blocks(of_wheel(self.rule, wheel, planned))
            elif other is not None:
                yield _any_blocks(of_pair(self.rule, wheel, other, planned))
            else:
                yield False

    def read_of(self, wheel: PostedWheel) -> tuple[object, ...]:
        """All that the rule's answer takes from one wheel of a set, its plan apart: wheels for which this
        is equal are one to the rule. Facts that are missing say whether the part is there at all."""
        is_other = wheel.position != self.whose
        named = sorted(name for name in reads(self.rule) if name.startswith(OTHER) == is_other)
        facts, found = wheel.facts, list[object]()
        for name in (each.removeprefix(OTHER) for each in named):
            sides = ("left_spoke", "right_spoke") if root_of(name) == "spoke" else (root_of(name),)
            for root in sides:
                own = root + name.removeprefix(root_of(name))
                found += [facts.get(own), facts.parts.get(root) is None]
        return (*found, wheel.straight_pull, wheel.spokes.left is wheel.spokes.right)

    def is_settled(self, document: Mapping[str, Value], edition: Edition) -> bool:
        """Whether the use alone lets it pass, whatever the wheel is."""
        if self.rule.scope != "wheel":
            return False
        known = Posted(only(document, self.reads), edition).facts
        use = {name: known[name] for name in reads(self.rule) if _is_of_the_use(name, known)}
        return judge(self.rule, use).outcome in ("holds", "not-asked")


def _any_blocks(raised: Iterable[Raised]) -> bool:
    return any(each.finding.blocks for each in raised)


def _is_of_the_use(name: str, known: Mapping[str, Fact]) -> bool:
    """A fact that no wheel has a part in."""
    return name in known and (name.startswith("use.") or name == "order.market")


@lru_cache(maxsize=64)
def _askings(same: Same[Mapping[str, Rule]], edition: int) -> tuple[RuleAsking, ...]:
    rules = (rule for rule in same.it.values() if rule.asked_in(edition))
    return tuple(asking for rule in rules for asking in _of_rule(rule))


def _of_rule(rule: Rule) -> Iterator[RuleAsking]:
    name = RULES_FAMILY + rule.id
    if rule.scope == "order":
        question = Question(None, partial(_ask_order, rule), name)
        yield _asking(rule, question, None, members_read(rule))
        return
    for position in POSITIONS:
        if rule.scope == "set":
            question = Question(None, partial(_ask_pair, rule, position), name)
        else:
            question = Question(position, partial(_ask_wheel, rule, position), name)
        for members in _groups(rule):
            yield _asking(rule, question, position, members)


def _asking(
    rule: Rule, question: Question, whose: Position | None, members: frozenset[str]
) -> RuleAsking:
    read = reads(rule)
    planned = tuple(sorted(name for name in read if name.startswith(PLAN)))
    beside = members_of(read - frozenset(planned), rule.scope) & members if planned else members
    return RuleAsking(
        question=question,
        reads=_places(members, whose or POSITIONS[0]),
        rule=rule,
        whose=whose,
        beside=_places(beside, whose or POSITIONS[0]),
        planned=planned,
    )


def _groups(rule: Rule) -> tuple[frozenset[str], ...]:
    """What the rule is asked of at once: a part rule about spokes, of either side by itself."""
    members = members_read(rule)
    if rule.scope == "part" and members == frozenset(BOTH_SIDES):
        return tuple(frozenset({side}) for side in BOTH_SIDES)
    return (members,)


def _places(members: frozenset[str], position: Position) -> tuple[str, ...]:
    """Members as places of the order; both sides of a pattern are one."""
    return tuple(dict.fromkeys(_place(member, position) for member in sorted(members)))


def _place(member: str, position: Position) -> str:
    if member.startswith(OTHER_WHEEL):
        return _place(member.removeprefix(OTHER_WHEEL), _other(position))
    if member in CROSSINGS:
        member = "crossings"
    of_order = member.split("/", 1)[0] in ORDER_TABLES
    return f"/{member}" if of_order else f"/{position}/{member}"


def _other(position: Position) -> Position:
    return POSITIONS[1] if position == POSITIONS[0] else POSITIONS[0]


def _ask_wheel(rule: Rule, position: Position, posted: Posted) -> tuple[Raised, ...]:
    wheel = posted.wheel(position)
    return tuple(of_wheel(rule, wheel)) if wheel is not None else ()


def _ask_pair(rule: Rule, position: Position, posted: Posted) -> tuple[Raised, ...]:
    wheel, other = posted.wheel(position), posted.wheel(_other(position))
    return tuple(of_pair(rule, wheel, other)) if wheel is not None and other is not None else ()


def _ask_order(rule: Rule, posted: Posted) -> tuple[Raised, ...]:
    return tuple(of_order(rule, posted))
