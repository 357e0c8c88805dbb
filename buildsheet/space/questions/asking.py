"""One check asked of a few members of an order, and what it refuses about them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from buildsheet.catalog.edition import Edition
from buildsheet.findings import Finding, Value
from buildsheet.orders.changes import changed, value_at
from buildsheet.orders.checks import QUESTIONS, Question
from buildsheet.orders.posted import Posted
from buildsheet.orders.reads import RULES_FAMILY, reads_of

ABSENCES: Final = frozenset({"order.missing-member", "lacing.pattern-missing"})
"""Findings that a member is not there, rather than that it does not suit."""

_WHEELS: Final = ("front", "rear")
_EMPTY_WHEEL: Final[Mapping[str, Value]] = {"rim": None}
"""A wheel of which nothing is said yet: a null member reads as absent."""


@dataclass(frozen=True, slots=True)
class Asking:
    """One check asked of the members at ``reads`` (JSON Pointers) and of nothing else.

    ``crossings`` stands for both sides at once: a pattern is named for both or for none.
    """

    question: Question
    reads: tuple[str, ...]

    def block(self, document: Mapping[str, Value], edition: Edition) -> Finding | None:
        """The first finding that makes these members unbuildable; None where there is none.

        Members of ``document`` outside ``reads`` are not looked at. Absent members count as left out
        on purpose: an absence is refused where it stands at a member that this asking reads. A wheel
        that the document does not have is not asked about.
        """
        position = self.question.position
        if position is not None and not isinstance(document.get(position), dict):
            return None
        posted = Posted(self.part(document, self.reads), edition)
        for raised in self.question.ask(posted):
            finding = raised.finding
            if finding.blocks and not self._is_elsewhere(finding):
                return finding
        return None

    @staticmethod
    def part(document: Mapping[str, Value], places: tuple[str, ...]) -> dict[str, Value]:
        """These places of the document alone, and the wheels that it has, if only by name."""
        part = only(document, places)
        for position in _WHEELS:
            if position not in part and isinstance(document.get(position), dict):
                part[position] = dict(_EMPTY_WHEEL)
        return part

    def _is_elsewhere(self, finding: Finding) -> bool:
        return finding.code in ABSENCES and not any(
            at == finding.at or at.startswith(finding.at + "/") for at in self.reads
        )


def only(document: Mapping[str, Value], places: tuple[str, ...]) -> dict[str, Value]:
    """The document with these places alone; what is absent or null there is left out.

    >>> only({"front": {"rim": "A", "hub": "B"}, "note": "x"}, ("/front/hub", "/front/washer"))
    {'front': {'hub': 'B'}}
    """
    standing = ((at, value_at(document, at)) for at in places)
    return changed({}, ((at, value) for at, value in standing if value is not None))


def _askings() -> Iterator[Asking]:
    for question in QUESTIONS:
        if question.check.startswith(RULES_FAMILY):
            continue  # an edition's own rules are asked by `rules`
        for group in reads_of(question).groups:
            yield Asking(question, group)


ASKINGS: Final[tuple[Asking, ...]] = tuple(_askings())
"""Every check with every group of members that it can block for, cheap checks first.

A complete order whose codes the edition knows is buildable exactly where no asking blocks.
"""


def askings_within(places: frozenset[str]) -> tuple[Asking, ...]:
    """The askings that read none but these places."""
    return tuple(each for each in ASKINGS if places.issuperset(each.reads))
