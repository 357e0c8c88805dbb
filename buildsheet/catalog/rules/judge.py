"""A rule's answer: holds, fails, cannot be judged, or is not asked. Never raises, and is bounded.

The same facts give the same verdict, so verdicts are remembered by what the rule reads.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

from buildsheet.catalog.rules.language import Condition, Outcome, condition
from buildsheet.catalog.rules.rule import Fact, Rule, Scope

REMEMBERED = 16_384
"""Verdicts. A search for ways out asks a rule some thousand times, mostly about the same parts."""


@dataclass(frozen=True, slots=True)
class Verdict:
    """``missing`` are the facts that were needed and not known; ``why`` says it in words, '' where
    the rule could be judged."""

    outcome: Literal["holds", "fails", "unknown", "not-asked"]
    missing: tuple[str, ...] = ()
    why: str = ""


NOTHING: frozenset[str] = frozenset()
HOLDS, FAILS, NOT_ASKED = Verdict("holds"), Verdict("fails"), Verdict("not-asked")


def judge(rule: Rule, facts: Mapping[str, Fact]) -> Verdict:
    """The rule's verdict on these facts; a fact that is not known is absent.

    A condition that is settled without a missing fact is judged: false && x is false, true || x true.
    A rule whose ``when`` is unknown holds where its ``needs`` does, for then it holds either way.
    """
    asked = _compiled(rule.scope, rule.when, rule.needs)
    if isinstance(asked, Verdict):
        return asked
    return _verdict(asked, tuple(facts.get(name) for name in asked.names))


def reads(rule: Rule) -> frozenset[str]:
    """The dotted facts that the rule's verdict depends on."""
    asked = _compiled(rule.scope, rule.when, rule.needs)
    return NOTHING if isinstance(asked, Verdict) else asked.reads


@dataclass(frozen=True, eq=False)
class _Asked:
    """A rule's two conditions; compared by identity, which is quick."""

    when: Condition | None
    needs: Condition
    names: tuple[str, ...]
    reads: frozenset[str]


@lru_cache(maxsize=4096)
def _compiled(scope: Scope, when: str | None, needs: str) -> _Asked | Verdict:
    first = condition(when, scope) if when is not None else None
    second = condition(needs, scope)
    if isinstance(first, tuple) or isinstance(second, tuple):
        return Verdict("unknown", why="its condition is not sound")
    names = second.reads | (first.reads if first is not None else frozenset())
    return _Asked(first, second, tuple(sorted(names)), names)


@lru_cache(maxsize=REMEMBERED)
def _verdict(asked: _Asked, values: tuple[Fact | None, ...]) -> Verdict:
    facts = {
        name: value for name, value in zip(asked.names, values, strict=True) if value is not None
    }
    when = asked.when.ask(facts) if asked.when is not None else Outcome(True)
    if when.holds is False:
        return NOT_ASKED
    needs = asked.needs.ask(facts)
    if needs.holds is True:
        return HOLDS
    if when.holds is True and needs.holds is False:
        return FAILS
    return _unknown(facts, asked, when, needs)


def _unknown(facts: Mapping[str, Fact], asked: _Asked, when: Outcome, needs: Outcome) -> Verdict:
    unsettled = [
        (each, outcome)
        for each, outcome in ((asked.when, when), (asked.needs, needs))
        if each is not None and outcome.holds is None
    ]
    missing = sorted({name for each, _ in unsettled for name in each.reads - facts.keys()})
    return Verdict("unknown", tuple(missing), unsettled[0][1].why)
