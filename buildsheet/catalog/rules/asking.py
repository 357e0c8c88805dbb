"""Whom a rule is asked of: once a wheel, or once a side where the two sides' spokes differ."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

from buildsheet.catalog.rules.facts import OPTIONAL, OTHER, root_of
from buildsheet.catalog.rules.judge import NOT_ASKED, Verdict, judge, reads
from buildsheet.catalog.rules.rule import Rule
from buildsheet.catalog.rules.saying import facts_in
from buildsheet.catalog.rules.wheel_facts import Facts

Side = Literal["left", "right"]


@dataclass(frozen=True, slots=True)
class Asked:
    """One answer: of one side's spokes, or of the whole (``side`` None)."""

    side: Side | None
    verdict: Verdict
    facts: Facts


def ask(rule: Rule, facts: Facts) -> tuple[Asked, ...]:
    """The rule's answers about one wheel.

    A rule that reads the driver body or the washer is asked only of wheels that have one. A rule that
    reads ``spoke.*`` is asked once of spokes that are the same on both sides, else of each side. An
    answer ``not-asked`` stands alone.
    """
    optional, sided = _whom(reads(rule), facts_in(rule.says))
    if any(_is_without(facts, root) for root in optional):
        return (Asked(None, NOT_ASKED, facts),)
    if not sided or "spoke" in facts.parts:
        return (Asked(None, judge(rule, facts), facts),)
    left, right = facts.parts.get("left_spoke"), facts.parts.get("right_spoke")
    if left is right and not _sides_differ(facts):
        both = facts.with_spoke("left_spoke")
        return (Asked(None, judge(rule, both), both),)
    sides: tuple[Side, Side] = ("left", "right")
    answers = []
    for side in sides:
        own = facts.with_spoke(f"{side}_spoke")
        answers.append(Asked(side, judge(rule, own), own))
    return tuple(answers)


@lru_cache(maxsize=4096)
def _whom(read: frozenset[str], told: frozenset[str]) -> tuple[frozenset[str], bool]:
    """The roots of optional parts that a rule reads, and whether it is asked of each side."""
    roots = frozenset(root_of(name) for name in read)
    optional = frozenset(root for root in roots if root.removeprefix(OTHER) in OPTIONAL)
    return optional, any(name.startswith("spoke.") for name in read | told)


def _is_without(facts: Facts, root: str) -> bool:
    """Whether this wheel is without the part, and no example speaks of one."""
    if facts.parts.get(root) is not None:
        return False
    return not any(each.startswith(f"{root}.") for each in facts.plain)


def _sides_differ(facts: Facts) -> bool:
    """Whether figures given apart from the parts (in examples) differ from side to side."""
    own = {
        side: {
            name.removeprefix(side): value
            for name, value in facts.plain.items()
            if name.startswith(f"{side}.")
        }
        for side in ("left_spoke", "right_spoke")
    }
    return own["left_spoke"] != own["right_spoke"]
