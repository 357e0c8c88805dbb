"""Open orders under another edition: what they would newly be told, and which figures would move."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, fields
from functools import lru_cache, partial
from typing import Any, Final

from buildsheet.catalog.edition import Edition
from buildsheet.findings import Finding, in_stable_order
from buildsheet.orders.checks import QUESTIONS, Question
from buildsheet.orders.judging import Key, key_of
from buildsheet.orders.posted import Posted
from buildsheet.plan.build import Computed
from buildsheet.space.impact.content import Changed
from buildsheet.space.questions.rules import rule_askings
from buildsheet.space.remembered import SameEdition

OF_THE_NUMBER: Final = frozenset({"order.edition_seen"})
"""Checks that speak about an edition's number: between two editions they always differ."""

_SETTLED: Final = frozenset({"note"})
"""Severities that touch nobody's order."""

REMEMBERED_ANSWERS: Final = 2048
"""Of one order over one edition each, some kilobytes."""

SAME_MM: Final = 1e-6
SAME_N: Final = 1e-3
SAME_G: Final = 1e-3


@dataclass(frozen=True, slots=True)
class OpenOrder:
    """An order that is not shipped, closed or cancelled: its document, where it stands, and the edition
    that it is held to."""

    id: str
    source: str
    number: str
    state: str
    edition: Edition
    document: Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class WheelFigures:
    """What a builder goes by, of one wheel: mm, N, g. ``stock_mm`` are left and right; None: none."""

    exact_mm: tuple[float, float]
    target_mm: tuple[float, float]
    stock_mm: tuple[int | None, int | None]
    tension_n: tuple[float, float]
    stop_n: float
    mass_g: float
    program: str | None

    def differs(self, other: WheelFigures) -> tuple[str, ...]:
        """The names of the figures that are not the same."""
        return tuple(
            each.name
            for each in fields(self)
            if not _same(each.name, getattr(self, each.name), getattr(other, each.name))
        )


@dataclass(frozen=True, slots=True)
class Moved:
    """One wheel of an order whose figures differ: as on the order's own sheet, and as they would be.
    None: it cannot be computed there."""

    position: str
    own: WheelFigures | None
    new: WheelFigures | None

    @property
    def names(self) -> tuple[str, ...]:
        """Which figures."""
        if self.own is None or self.new is None:
            return tuple(each.name for each in fields(WheelFigures))
        return self.own.differs(self.new)


@dataclass(frozen=True, slots=True)
class Touched:
    """An order that the new edition would answer otherwise than the old one.

    ``findings`` are those that the order's own edition does not make, ``cleared`` the codes of those
    that would go away; ``moved`` are its wheels with other figures than on their sheets.
    """

    order: OpenOrder
    findings: tuple[Finding, ...]
    cleared: tuple[str, ...]
    moved: tuple[Moved, ...]


@dataclass(frozen=True, slots=True)
class _Answer:
    findings: Mapping[Key, Finding]
    figures: Mapping[str, WheelFigures | None]

    @property
    def keys(self) -> frozenset[tuple[Key, str]]:
        return frozenset((key, each.severity) for key, each in self.findings.items())


def touched(
    orders: Iterable[OpenOrder], old: Edition, new: Edition, changed: Changed
) -> tuple[Touched, ...]:
    """The orders that the change from ``old`` to ``new`` touches, in the order given.

    Only questions whose answer can differ are asked: an order that names nothing changed is asked the
    rules at most.
    """
    found = (_touched(order, old, new, changed) for order in orders)
    return tuple(each for each in found if each is not None)


def _touched(order: OpenOrder, old: Edition, new: Edition, changed: Changed) -> Touched | None:
    if changed.touches(order.document):
        ask = partial(_whole_answer, json.dumps(order.document, sort_keys=True))
    elif changed.rules:
        ask = partial(_answer_of_rules, order.document, changed.rules)
    else:
        return None
    before, after = ask(SameEdition(old)), ask(SameEdition(new))
    if before.keys == after.keys and not _moved(before, after):
        return None
    own = before if order.edition.digest == old.digest else ask(SameEdition(order.edition))
    return Touched(
        order,
        in_stable_order(
            [
                each
                for key, each in after.findings.items()
                if key not in own.findings or own.findings[key].severity != each.severity
            ]
        ),
        tuple(
            sorted({each.code for key, each in own.findings.items() if key not in after.findings})
        ),
        _moved(own, after),
    )


@lru_cache(maxsize=REMEMBERED_ANSWERS)
def _whole_answer(text: str, same: SameEdition) -> _Answer:
    """What an order's document, as JSON, gets from every check: it is held to the running edition while
    one draft after another is compared with that."""
    # It was taken, so its form is faultless and need not be read again.
    posted = Posted(json.loads(text), same.edition)
    findings = _findings(posted, [each for each in QUESTIONS if each.check not in OF_THE_NUMBER])
    return _Answer(findings, {each.position: _figures(each.computed) for each in posted.wheels})


def _answer_of_rules(
    document: Mapping[str, Any], rules: frozenset[str], same: SameEdition
) -> _Answer:
    """What the document gets from the rules that differ alone."""
    own = {
        (each.rule.id, each.whose): each.question
        for each in rule_askings(same.edition)
        if each.rule.id in rules
    }
    return _Answer(_findings(Posted(document, same.edition), own.values()), {})


def _findings(posted: Posted, questions: Iterable[Question]) -> dict[Key, Finding]:
    findings: dict[Key, Finding] = {}
    for question in questions:
        for raised in question.ask(posted):
            if raised.finding.severity not in _SETTLED:
                findings.setdefault(key_of(raised.finding), raised.finding)
    return findings


def _figures(computed: Computed | None) -> WheelFigures | None:
    if computed is None:
        return None
    sides, stock, tension = computed.mechanics.sides, computed.stock, computed.tension
    return WheelFigures(
        exact_mm=(sides.left.exact_mm, sides.right.exact_mm),
        target_mm=(sides.left.target_mm, sides.right.target_mm),
        stock_mm=(stock.left.stock_mm, stock.right.stock_mm),
        tension_n=(tension.left_n, tension.right_n),
        stop_n=tension.stop_n,
        mass_g=computed.mass_g,
        program=computed.drilling.program,
    )


def _moved(own: _Answer, new: _Answer) -> tuple[Moved, ...]:
    found = (
        Moved(position, own.figures.get(position), figures)
        for position, figures in new.figures.items()
    )
    return tuple(each for each in found if each.own != each.new and each.names)


def _same(name: str, one: Any, other: Any) -> bool:
    if isinstance(one, tuple):
        return all(_same(name, *each) for each in zip(one, other, strict=True))
    if isinstance(one, float) and isinstance(other, float):
        apart = {"g": SAME_G, "n": SAME_N}.get(name.rsplit("_", 1)[-1], SAME_MM)
        return abs(one - other) <= apart
    return bool(one == other)
