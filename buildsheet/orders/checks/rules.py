"""The catalog's own rules, asked of the parts, wheels and order that they are about.

A fact that is missing because the order does not say it leaves the rule silent: that absence has a
finding of its own, or the member may be left out. A fact that is missing because a part does not say
it makes the rule unjudgeable, and that blocks, whatever the rule's severity.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from buildsheet.catalog.edition import Edition
from buildsheet.catalog.parts import Part
from buildsheet.catalog.rules.asking import Asked, ask
from buildsheet.catalog.rules.facts import OTHER, OTHER_ROOTS, root_of
from buildsheet.catalog.rules.judge import reads
from buildsheet.catalog.rules.rule import Fact, Rule, Scope
from buildsheet.catalog.rules.saying import facts_in, said
from buildsheet.catalog.rules.wheel_facts import Facts, as_other, is_planned
from buildsheet.findings import Finding, Severity, Value
from buildsheet.orders.checks.rule_members import OTHER_WHEEL, members_read, place_of, ways_of
from buildsheet.orders.posted import Posted, PostedWheel
from buildsheet.orders.raised import Raised
from buildsheet.remembered import Same


@dataclass(frozen=True, slots=True)
class _Asking:
    """What one rule is asked of; ``part_place`` is where the part stands that a rule of scope part is
    asked of."""

    rule: Rule
    of: PostedWheel | Posted
    part_place: str | None = None


ORDER_TABLES: Final = frozenset({"kind", "market", "use", "finish"})


def part_rules(wheel: PostedWheel) -> Iterator[Raised]:
    """Every rule of scope part, asked of each part of its kind."""
    for rule in asked_by("part_rules", wheel.edition):
        yield from of_wheel(rule, wheel)


def wheel_rules(wheel: PostedWheel) -> Iterator[Raised]:
    """Every rule of scope wheel that needs nothing computed."""
    for rule in asked_by("wheel_rules", wheel.edition):
        yield from of_wheel(rule, wheel)


def planned_rules(wheel: PostedWheel) -> Iterator[Raised]:
    """Every rule of scope wheel that reads what is computed, where the wheel can be computed."""
    for rule in asked_by("planned_rules", wheel.edition):
        yield from of_wheel(rule, wheel)


def set_rules(order: Posted) -> Iterator[Raised]:
    """Every rule of scope set, asked of the front wheel beside the rear one and the reverse."""
    for rule in asked_by("set_rules", order.edition):
        yield from of_order(rule, order)


def order_rules(order: Posted) -> Iterator[Raised]:
    """Every rule of scope order."""
    for rule in asked_by("order_rules", order.edition):
        yield from of_order(rule, order)


def asked_by(check: str, edition: Edition) -> Iterator[Rule]:
    """The rules that a check of this file asks, by the check's name."""
    if check in ("wheel_rules", "planned_rules"):
        planned = check == "planned_rules"
        return (rule for rule in _rules(edition, "wheel") if needs_plan(rule) == planned)
    return iter(_rules(edition, _SCOPES[check]))


_SCOPES: Final[Mapping[str, Scope]] = {
    "part_rules": "part",
    "set_rules": "set",
    "order_rules": "order",
}


def of_wheel(
    rule: Rule, wheel: PostedWheel, planned: Mapping[str, Fact] | None = None
) -> Iterator[Raised]:
    """What one rule of scope part or wheel says about a wheel. ``planned``: the facts of its plan, where
    they are known without computing the wheel."""
    if rule.scope == "part":
        root = next((root_of(name) for name in reads(rule)), "")
        for at, part in _parts(wheel, root):
            yield from _answers(_Asking(rule, wheel, at), Facts({root: part}))
    else:
        yield from _answers(_Asking(rule, wheel), _facts(rule, wheel, planned))


def of_pair(
    rule: Rule,
    wheel: PostedWheel,
    other: PostedWheel,
    planned: Mapping[str, Fact] | None = None,
) -> Iterator[Raised]:
    """What one rule of scope set says about a wheel beside the other one. ``planned`` as above."""
    facts = beside(_facts(rule, wheel, planned), other.facts)
    yield from _answers(_Asking(rule, wheel), facts)


def of_order(rule: Rule, order: Posted) -> Iterator[Raised]:
    """What one rule of scope set or order says about an order."""
    if rule.scope == "order":
        yield from _answers(_Asking(rule, order), Facts({}, order.facts))
    elif order.pair is not None:
        front, rear = order.pair
        yield from of_pair(rule, front, rear)
        yield from of_pair(rule, rear, front)


def _facts(rule: Rule, wheel: PostedWheel, planned: Mapping[str, Fact] | None) -> Facts:
    if planned is not None:
        return wheel.facts.with_plain(planned)
    return wheel.planned_facts if needs_plan(rule) else wheel.facts


def _parts(wheel: PostedWheel, root: str) -> Iterator[tuple[str, Part]]:
    if root == "spoke":
        yield from ((at, spoke) for at, spoke, _ in wheel.spoke_types())
        return
    part = wheel.facts.parts.get(root)
    if part is not None:
        yield root, part


def beside(facts: Facts, other: Facts) -> Facts:
    """A wheel's facts with those of the other wheel of the set as ``other.*``."""
    parts = {OTHER + root: other.parts.get(root) for root in OTHER_ROOTS}
    return Facts({**facts.parts, **parts}, {**facts.plain, **as_other(other.plain)})


@lru_cache(maxsize=4096)
def _planned(read: frozenset[str], says: str) -> bool:
    return any(map(is_planned, read | facts_in(says)))


def needs_plan(rule: Rule) -> bool:
    """Whether a rule reads or says what has to be computed first."""
    return _planned(reads(rule), rule.says)


def _rules(edition: Edition, scope: Scope) -> tuple[Rule, ...]:
    if not edition.rules:
        return ()
    return _grouped(Same(edition.rules), scope, edition.number)


@lru_cache(maxsize=64)
def _grouped(same: Same[Mapping[str, Rule]], scope: Scope, edition: int) -> tuple[Rule, ...]:
    return tuple(
        rule for rule in same.it.values() if rule.scope == scope and rule.asked_in(edition)
    )


def _answers(asking: _Asking, facts: Facts) -> Iterator[Raised]:
    for asked in ask(asking.rule, facts):
        if asked.verdict.outcome == "fails":
            says = said(asking.rule.says, asked.facts)
            yield _raised(asking, asked, asking.rule.severity, says, _have(asking.rule, asked))
        elif asked.verdict.outcome == "unknown":
            why = _unjudged(asked)
            if why is not None:
                says = (
                    f"Rule {asking.rule.id} cannot be judged: {why}. Have it measured or released, "
                    "or take another part."
                )
                missing: list[Value] = [*asked.verdict.missing]
                yield _raised(asking, asked, "block", says, {"missing": missing})


def _unjudged(asked: Asked) -> str | None:
    """Why the rule blocks without an answer; None where the order itself is not complete."""
    silent: list[str] = []
    for name in asked.verdict.missing:
        prefix = OTHER if name.startswith(OTHER) else ""
        if asked.facts.knows_part(name):
            part = asked.facts.parts[root_of(name)]
            attribute = name.removeprefix(root_of(name) + ".")
            silent.append(f"{part.code if part else ''} does not say its {attribute}")
        elif name.endswith("_crossings") and asked.facts.get(f"{prefix}wheel.straight_pull"):
            silent.append(f"{name} is not the order's to say, the hub dictates its pattern")
        else:
            return None
    return " and ".join(silent) or asked.verdict.why


def _raised(
    asking: _Asking, asked: Asked, severity: Severity, says: str, have: Mapping[str, Value]
) -> Raised:
    rule = asking.rule
    at = asking.part_place or place_of(rule.at, asked.side)
    ways = ways_of(members_read(rule), asked.side) if asking.part_place is None else (at,)
    places = dict.fromkeys(_pointer(asking, each) for each in (at, *ways))
    first, *also = places
    finding = Finding(
        code=rule.code,
        severity=severity,
        at=first,
        says=says,
        reason=rule.reason,
        source=rule.source,
        have=have,
        need={"rule": rule.needs},
        also=tuple(also),
        edition=asking.of.edition.number,
    )
    return Raised(finding, tuple(places))


def _pointer(asking: _Asking, member: str) -> str:
    wheel = asking.of
    if member.split("/", 1)[0] in ORDER_TABLES or isinstance(wheel, Posted):
        return f"/{member}"
    if member.startswith(OTHER_WHEEL):
        return f"/{wheel.other}/{member.removeprefix(OTHER_WHEEL)}"
    return wheel.place(member)


def _have(rule: Rule, asked: Asked) -> dict[str, Value]:
    """Every fact that the rule read, as it stands."""
    known = ((name, asked.facts.get(name)) for name in sorted(reads(rule)))
    return {name: _value(value) for name, value in known if value is not None}


def _value(fact: Fact) -> Value:
    return [*fact] if isinstance(fact, tuple) else fact


CHECKS = (part_rules, wheel_rules)
ORDER_CHECKS = (set_rules, order_rules)
COMPUTED_CHECKS = (planned_rules,)
